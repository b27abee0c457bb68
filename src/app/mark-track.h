/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdint.h>

#include "rb/model/film.h"

/* One named frame on the track. */
typedef struct {
    RbMarkKind kind;
    int64_t frame;
} RbTrackMark;

typedef struct {
    int64_t first;
    int64_t last;
} RbTrackSpan;

/* The line under the film: the clip from its first to its last frame, its marks by name, and
 * where the film stands. A slider to screen readers. Signals "scrubbed" (gint64 frame) and
 * "rested" (the pointer was let go). */
#define RB_TYPE_MARK_TRACK (rb_mark_track_get_type())
G_DECLARE_FINAL_TYPE(RbMarkTrack, rb_mark_track, RB, MARK_TRACK, GtkWidget)

/* first > last: nothing to show. */
void rb_mark_track_set_span(RbMarkTrack *track, int64_t first, int64_t last);
/* The part of the clip that is played; first > last: all of it. */
void rb_mark_track_set_part(RbMarkTrack *track, int64_t first, int64_t last);
void rb_mark_track_set_marks(RbMarkTrack *track, const RbTrackMark *marks, int n);
/* text: what a screen reader says for this frame: the film clock. */
void rb_mark_track_set_frame(RbMarkTrack *track, int64_t frame, const char *text);
/* Clips that are logged on it: bars on the line. Copied. */
void rb_mark_track_set_spans(RbMarkTrack *track, const RbTrackSpan *spans, int n);
