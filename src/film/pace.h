/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

/* Which frame is due when, while a film runs at some speed in either direction: plain
 * arithmetic on the film's own clock, so frames of uneven length stay as long as they should. */

/* Speeds are in eighths of the film's own: 8 is 1x, -4 is half speed backward. */
#define RB_PACE_NORMAL 8

/* No screen shows more pictures than one in this time: a film that runs faster is thinned. */
#define RB_PACE_SHOW_US 16000

/* The film's clock. */
typedef struct {
    int64_t (*start_us)(void *data, int64_t frame); /* -1: no such frame */
    int64_t (*end_us)(void *data, int64_t frame);
    void *data;
} RbPaceClock;

typedef struct {
    int64_t frame;
    int64_t
        at_us; /* film time at which it appears, loops not taken off; falls backward */
} RbPaceFrame;

typedef struct {
    int eighths;   /* never 0 */
    int64_t first; /* of the span that is played */
    int64_t last;
    bool loop;
    /* set when the first picture stands: */
    int64_t start_us; /* monotonic, when film time base_us was there */
    int64_t base_us;
} RbPace;

/* The frame itself, with which a run begins. */
RbPaceFrame rb_pace_begin(const RbPace *pace, const RbPaceClock *clock, int64_t frame);
/* The frame to be shown after `frame`, frames too short to be seen left out; false at the end
 * of a span that is not looped. */
bool rb_pace_next(const RbPace *pace, const RbPaceClock *clock, RbPaceFrame *frame);
/* Monotonic time at which film time `at_us` is due, and back. */
int64_t rb_pace_due(const RbPace *pace, int64_t at_us);
int64_t rb_pace_film_time(const RbPace *pace, int64_t now_us);
