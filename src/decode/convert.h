/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavutil/frame.h>
#include <libswscale/swscale.h>
#include <stdbool.h>
#include <stdint.h>

#include "film/protocol.h"
#include "halve.h"
#include "tone.h"

/* From what the decoder gives to what was asked for: colours by the film's own matrix and
 * range, high range brought down to an ordinary screen's (tone.h), upright, opaque, and smaller
 * if wanted. Grey, and planes as coded, are the film's own values. Recycles its scalers and
 * scratch memory. */
typedef enum {
    PLACE_SHOWN, /* what is shown, or before it is turned */
    PLACE_DEEP,  /* 16 bits a colour, before its range is brought down */
    PLACE_PLAIN, /* after that, where planes are wanted */
    PLACES,
} Place;

typedef struct {
    struct SwsContext *scalers[PLACES];
    uint8_t *scratch[PLACES]; /* owned */
    size_t scratch_bytes[PLACES];
    ToneTable *tone; /* owned, NULL before the first film that needs it */
    /* Rows of the next picture: others than all only where convert_is_half(). */
    HalveRows rows;
} Converter;

typedef enum {
    CONVERT_DONE,
    CONVERT_NO_ROOM, /* tell->bytes says how much is needed */
    CONVERT_FAILED,
} ConvertResult;

/* Fills `slot` and the picture's part of `tell`, which already says the shape of a coded pixel.
 * rotation: degrees clockwise. */
ConvertResult convert(Converter *converter, const AVFrame *frame, const RbAskFrame *ask,
                      int rotation, uint8_t *slot, uint64_t slot_bytes,
                      RbTellFrame *tell);
/* True if what is asked for are planes of half the size, made by means alone: then a field needs
 * no lines made for it. */
bool convert_is_half(const AVFrame *frame, const RbAskFrame *ask, int rotation);
void convert_close(Converter *converter);

/* The format without a range in its name; *full: set if that range was full. */
enum AVPixelFormat convert_plain_format(enum AVPixelFormat format, bool *full);
/* For sws_setColorspaceDetails(): the matrix a picture is coded by. Borrowed. */
const int *convert_matrix(const AVFrame *frame);

/* Degrees clockwise to turn a picture upright, from a display matrix; 0 for odd angles. */
int rotation_of_matrix(const int32_t *matrix);
