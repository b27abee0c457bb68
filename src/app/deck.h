/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/model/film.h"

#include "projector.h"

/* The clips of one snap, wide and tight, on one moment: switching the angle keeps the time
 * since the snap. No widgets. Signals: "changed" (clips, angle, state, playing, error) and
 * "frame" (a new picture of the angle shown). */
#define RB_TYPE_DECK (rb_deck_get_type())
G_DECLARE_FINAL_TYPE(RbDeck, rb_deck, RB, DECK, GObject)

RbDeck *rb_deck_new(void);

/* clips: of RbClip; paths: of char *, by clip, "" unknown; both (transfer none), references
 * are taken. Starts on the snap mark, else on the first frame. The same clips again (their
 * marks changed) keep the moment. */
void rb_deck_set_clips(RbDeck *deck, GPtrArray *clips, GPtrArray *paths);

bool rb_deck_has_angle(RbDeck *deck, RbAngle angle);
/* The angle shown; does nothing when the snap was not filmed from there. */
void rb_deck_set_angle(RbDeck *deck, RbAngle angle);
RbAngle rb_deck_get_angle(RbDeck *deck);
/* From wide to tight, from any other to wide. */
void rb_deck_switch_angle(RbDeck *deck);

/* Of the angle shown. Each (transfer none) (nullable). */
RbProjector *rb_deck_get_projector(RbDeck *deck);
const RbClip *rb_deck_get_clip(RbDeck *deck);
/* True when there is a clip but nobody knows where its film lies. */
bool rb_deck_is_film_missing(RbDeck *deck);

/* The frame asked for last, or -1. */
int64_t rb_deck_get_frame(RbDeck *deck);
/* The frame that a key means, or -1. While the film runs, the one that is seen. While it stands,
 * the one asked for last, seen or still on its way: two steps and a mark pressed faster than the
 * film decodes mark the same frame as when they are pressed slowly. */
int64_t rb_deck_get_frame_at_hand(RbDeck *deck);
/* When a frame is shown; by_field: of interlaced film the field at hand, if it is of that frame, else
 * its first one. False while the film does not tell. */
bool rb_deck_get_moment(RbDeck *deck, int64_t frame, bool by_field, RbTime *time);
/* The frame that is shown `us` after zero of the film's own time stamps, and its moment; of
 * interlaced film that of the field shown then. time: (out) (nullable). False, and frame -1, while the
 * film does not tell. */
bool rb_deck_find_moment(RbDeck *deck, int64_t us, int64_t *frame, RbTime *time);
/* Seconds after the snap of the moment at hand, "1.833". Returns: (transfer full) (nullable). */
char *rb_deck_dup_seconds(RbDeck *deck);
void rb_deck_show(RbDeck *deck, int64_t frame);
void rb_deck_step(RbDeck *deck, int frames);
/* A step key is held down, until rb_deck_let_go(): steps as fast as they are seen. */
void rb_deck_hold(RbDeck *deck, int direction);
void rb_deck_let_go(RbDeck *deck);
/* A pointer moves along the clip, until rb_deck_scrub_end(). */
void rb_deck_scrub(RbDeck *deck, int64_t frame);
void rb_deck_scrub_end(RbDeck *deck);
/* 0 pauses. */
void rb_deck_play(RbDeck *deck, double speed);
void rb_deck_toggle(RbDeck *deck);
/* J and L: slower or backward, faster or forward, one press at a time. direction: -1, 1. */
void rb_deck_shuttle(RbDeck *deck, int direction);
double rb_deck_get_speed(RbDeck *deck);
/* Less than asked for where decoding cannot keep up. */
double rb_deck_get_real_speed(RbDeck *deck);

/* Plays the span again and again. The span is the clip unless one end is set by
 * rb_deck_set_span_end(): the frame at hand becomes its first (0) or last (1) frame. */
void rb_deck_set_loop(RbDeck *deck, bool loop);
bool rb_deck_get_loop(RbDeck *deck);
void rb_deck_set_span_end(RbDeck *deck, int end);
void rb_deck_clear_span(RbDeck *deck);
/* False when the span is the whole clip. */
bool rb_deck_get_span(RbDeck *deck, int64_t *first, int64_t *last);

/* Both angles side by side, on the same moment since the snap. */
void rb_deck_set_both(RbDeck *deck, bool both);
bool rb_deck_get_both(RbDeck *deck);
/* The angle beside the one shown. (transfer none) (nullable): there is none, or not both. */
RbProjector *rb_deck_get_second(RbDeck *deck);
/* Pictures as large as the films have them. */
void rb_deck_set_close(RbDeck *deck, bool close);
/* To the nearest mark before (-1) or after (1) the frame shown. */
void rb_deck_jump(RbDeck *deck, int direction);
void rb_deck_jump_to(RbDeck *deck, RbMarkKind kind);

/* "0:12.43" and "snap +1.83 s"; empty strings when not known. Each (transfer full). */
char *rb_deck_clock_text(RbDeck *deck);
char *rb_deck_since_snap_text(RbDeck *deck);
