/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/film.h"
#include "rb/model/filter.h"
#include "rb/model/ids.h"
#include "rb/model/words.h"

/* Cut-ups: ordered lists of snaps to watch or export. Plain values. */

/* A fixed list keeps its snaps however they are tagged later; a live one follows its filter. */
typedef enum { RB_CUTUP_FIXED, RB_CUTUP_LIVE } RbCutupKind; /* always known */

/* Which film of a snap. A snap without the angle asked for is shown from what there is. */
typedef enum {
    RB_VIEW_WIDE,
    RB_VIEW_TIGHT,
    RB_VIEW_BOTH, /* side by side, their snap marks at one moment */
} RbView;         /* always known */

/* Where a clip starts, stops or stands still. A mark that a clip lacks is stood in for by the
 * nearest end of the clip; a freeze there is left out. */
typedef enum {
    RB_POINT_NONE, /* freeze only: none */
    RB_POINT_FIRST,
    RB_POINT_SET,
    RB_POINT_SNAP,
    RB_POINT_TOP,
    RB_POINT_RELEASE,
    RB_POINT_ARRIVAL,
    RB_POINT_END,
    RB_POINT_LAST,
} RbPoint;

/* What a title card can say, in the order in which it says it. */
typedef enum {
    RB_CARD_GAME,
    RB_CARD_SNAP,
    RB_CARD_SITUATION,
    RB_CARD_CALL,
    RB_CARD_COVERAGE,
    RB_CARD_VERDICT,
    RB_CARD_RESULT,
    RB_CARD_QUARTERBACK, /* a name: left out when names are */
    RB_CARD_NOTE,
} RbCardWord;

extern const RbWords rb_cutup_kind_words, rb_view_words, rb_point_words, rb_card_words;

#define RB_SPEED_MIN 5 /* percent */
#define RB_SPEED_MAX 400
#define RB_LOOPS_MAX 20
#define RB_FREEZE_MS_MAX 60000

/* How one clip is shown. */
typedef struct {
    RbView view;
    RbPoint start;
    RbPoint stop;
    int speed; /* percent of the film's own */
    int loops; /* times shown, 1 and up */
    RbPoint freeze;
    int freeze_ms;
    char *
        card; /* owned, nullable: tokens of rb_card_words apart by commas; NULL: no card */
} RbCut;

typedef struct {
    RbCutupId id;
    char *name; /* owned */
    RbCutupKind kind;
    char *
        filter; /* owned, nullable: what the list follows, or a fixed one was made with; see
                     rb_filter_to_text() */
    RbCut
        cut; /* what its clips start with; loops and freeze are those of each clip alone */
    char *note; /* owned, nullable */
} RbCutup;

typedef struct {
    RbCutupEntryId id;
    RbCutupId cutup;
    RbSnapId snap;
    int64_t place; /* order; ties by id */
    RbCut cut;
    char *note; /* owned, nullable */
} RbCutupEntry;

/* The whole clip from the wide angle at its own speed, once, without card. */
RbCut rb_cut_default(void);
RbCut rb_cut_copy(const RbCut *cut);
void rb_cut_clear(RbCut *cut);
bool rb_cut_equal(const RbCut *a, const RbCut *b);
/* False with a sentence when a number is out of its range, a card word is none, or the clip
 * would stop before it starts. */
bool rb_cut_check(const RbCut *cut, GError **error);

/* Makes a cut usable that arrived in pieces from another computer: what cannot be is set to what
 * rb_cut_default() says. */
void rb_cut_mend(RbCut *cut);

/* Bits 1 << RbCardWord. False with a sentence for a word that is none; NULL and "" are 0. */
bool rb_card_parse(const char *card, unsigned *bits, GError **error);
/* Returns: (transfer full) (nullable): NULL for 0. */
char *rb_card_text(unsigned bits);

/* The frame of `clip` that a point names; false when the clip lacks the mark (frame: (out) is
 * then the nearest end of the clip). */
bool rb_clip_find_point(const RbClip *clip, RbPoint point, int64_t *frame);

RbCutup *rb_cutup_new(RbCutupId id, const char *name, RbCutupKind kind);
RbCutup *rb_cutup_copy(const RbCutup *cutup);
void rb_cutup_free(RbCutup *cutup);
RbCutupEntry *rb_cutup_entry_new(RbCutupEntryId id, RbCutupId cutup, RbSnapId snap);
RbCutupEntry *rb_cutup_entry_copy(const RbCutupEntry *entry);
void rb_cutup_entry_free(RbCutupEntry *entry);

/* The entry of a snap in a live list has one id on every laptop. */
RbCutupEntryId rb_cutup_entry_id(RbCutupId cutup, RbSnapId snap);

/* Distance of two places as they are first given. */
#define RB_PLACE_STEP (INT64_C(1) << 32)

/* A place between two neighbours. False when there is no room and the list must be numbered
 * anew. before, after: (nullable): the ends of the list. */
bool rb_place_between(const int64_t *before, const int64_t *after, int64_t *place);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbCutup, rb_cutup_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbCutupEntry, rb_cutup_entry_free)
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(RbCut, rb_cut_clear)
