/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavfilter/avfilter.h>
#include <stdbool.h>
#include <stdint.h>

#include "reader.h"

/* The two moments of an interlaced frame as pictures of their own: libavfilter's "bwdif" makes
 * the lines that a field does not have from those around them and from the frames before and
 * after. Frames asked for in order are filtered once each. */
typedef struct {
    AVFilterGraph *graph; /* owned, NULL: none */
    AVFilterContext *in;  /* the graph's */
    AVFilterContext *out;
    int width; /* of the frames that the graph takes */
    int height;
    int format;
    int64_t fed;        /* the newest frame in the graph */
    int64_t ordinal;    /* frame of `fields`; -1: none */
    AVFrame *fields[2]; /* owned, nullable */
} Fields;

/* As reader_get(), for one field of a frame. field: 1 or 2, in the order of time. whole: (out):
 * the frame has one moment only, and is given as it is. */
ReaderResult fields_get(Fields *fields, Reader *reader, int64_t ordinal, int field,
                        ReaderStop stop, void *data, const AVFrame **frame,
                        bool *doubtful, bool *whole);
void fields_close(Fields *fields);
