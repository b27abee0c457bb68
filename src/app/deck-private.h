/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "deck.h"

/* The deck in pieces: deck.c shows and runs the clip of one angle, deck-place.c says where in it,
 * deck-second.c has the other angle beside it. */
struct _RbDeck {
    GObject parent_instance;
    GPtrArray *clips;       /* owned, nullable */
    GPtrArray *paths;       /* owned, nullable */
    int shown;              /* index of the clip; -1 none */
    GPtrArray *open;        /* owned, of RbProjector: newest last; path as object data */
    RbProjector *projector; /* borrowed from `open`: of the clip shown */
    gulong handlers[2];
    bool loop;
    bool close;
    int64_t span_first; /* of the clip shown; first > last: the whole clip */
    int64_t span_last;
    bool both;
    int beside;          /* index of the clip beside; -1 none */
    RbProjector *second; /* borrowed from `open`: of that clip */
    gulong second_handlers[2];
};

/* Where a clip begins to be looked at: its snap mark, else its first frame. */
int64_t rb_deck_start_frame(const RbClip *clip);
const RbClip *rb_deck_clip_at(const RbDeck *deck, int index);
/* Index of the clip of that angle; -1. */
int rb_deck_find_angle(const RbDeck *deck, RbAngle angle);
/* An open projector of that film, opened if need be. Returns: (transfer none). */
RbProjector *rb_deck_open_film(RbDeck *deck, const char *path);
void rb_deck_emit_changed(RbDeck *deck);
void rb_deck_emit_frame(RbDeck *deck);

/* deck-place.c. Microseconds from the snap mark to a frame; false when the film does not tell yet. */
bool rb_deck_since_snap(RbDeck *deck, int64_t frame, int64_t *us);

/* deck-second.c. enter: where both angles are wanted and there is another one. */
void rb_deck_enter_second(RbDeck *deck);
void rb_deck_leave_second(RbDeck *deck);
/* The second follows the first as soon as both films tell where their snap marks are. */
void rb_deck_align_second(RbDeck *deck);
