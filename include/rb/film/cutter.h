/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"

/* Writes spans of films, joined, to one MP4: H.264, and AAC if sound is wanted. Bounds are exact
 * to the frame. What can be is copied without loss; the rest is encoded again, and the result
 * says what and why. Works in a helper process of its own; a blocking call for worker threads.
 * The film files are only read.
 *
 *     RbCutSpan spans[] = { { .path = "wide.mp4", .first = 120, .last = 400, … } };
 *     ok = rb_cutter_write("monday.mp4", spans, 1, &options, cancel, progress, results, &error);
 */

/* Share of the progress that is finding the films' indexes: at once where they are known. */
#define RB_CUTTER_OPEN_SHARE 0.1

/* A picture shown before a span. */
typedef struct {
    const uint8_t
        *gray; /* borrowed: width * height bytes, 0 black to 255 white; NULL: none */
    int width;
    int height;
    int ms;
} RbCutCardPicture;

/* A picture over some frames of a span, as large as the film's own picture. */
typedef struct {
    const uint8_t
        *rgba; /* borrowed: width * height * 4 bytes, red, green, blue, opacity */
    int width;
    int height;
    int64_t first; /* frames of the film it lies over, both ends included */
    int64_t last;
    bool beside; /* over the angle on the right */
} RbCutDrawingPicture;

typedef struct {
    const char *path;   /* borrowed */
    const char *beside; /* borrowed, nullable: the angle shown on the right */
    int64_t first;      /* frames of `path`, both ends included */
    int64_t last;
    int64_t anchor; /* frames of the two films that show one moment: the snap */
    int64_t beside_anchor;
    int64_t freeze; /* frame that stands for freeze_ms; -1: none */
    int freeze_ms;
    int speed; /* percent; any but 100 is without sound, as is a span that stands */
    int loops; /* times shown */
    RbCutCardPicture card;
    const RbCutDrawingPicture *drawings; /* borrowed, nullable */
    int n_drawings;
    int number; /* what sentences call it: "Clip 7"; 0: its place, from 1 */
} RbCutSpan;

/* A span without extras. */
#define RB_CUT_SPAN(film, from, to)                                                      \
    {                                                                                    \
        .path = (film), .first = (from), .last = (to), .freeze = -1, .speed = 100,       \
        .loops = 1                                                                       \
    }

typedef struct {
    bool sound;
    bool encode; /* copy nothing */
    int crf;     /* quality of what is encoded, 1 to 51; 0: 18 */
    int threads; /* 0: as many as there are processors */
    bool skip;   /* leave out spans that cannot be made and go on with the rest */
} RbCutterOptions;

typedef struct {
    int64_t copied; /* frames */
    int64_t encoded;
    char *why;     /* owned, nullable: why frames were encoded, for people */
    GError *error; /* owned, nullable: why the span was left out */
} RbCutResult;

/* results: (out) (nullable): n of them, to be cleared. `path` appears, or is replaced, only when
 * all is written; a cut-up is never written over one of its films. options, cancel, progress:
 * (nullable). False also when all spans were left out. */
bool rb_cutter_write(const char *path, const RbCutSpan *spans, int n,
                     const RbCutterOptions *options, RbCancel *cancel,
                     RbProgress *progress, RbCutResult *results, GError **error);
void rb_cut_result_clear(RbCutResult *result);
