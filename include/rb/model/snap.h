/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/situation.h"

/* The facts of one snap: shared by all who chart it. */
typedef struct {
    RbPenaltyId id;
    RbSnapId snap;
    RbTermId foul; /* 0 unknown */
    RbFoulSide side;
    RbRuling ruling;
    RbEnforced enforced;
    int yards; /* walked off, 0 or more: the actual distance */
    int spot;  /* yards to goal of the spot of the foul; 0 unless enforced there */
    RbYesNo down_counts; /* unknown: yes, unless the result is no play */
    RbYesNo first_down;  /* automatic first down */
} RbPenalty;

typedef struct {
    RbSnapId id;
    RbGameId game;
    int number; /* order in the game, 1 and up; ties by id */
    RbSituation situation;
    int timeouts_offense; /* left before the snap; -1 unknown */
    int timeouts_defense; /* -1 unknown */
    RbYesNo hurry;        /* tempo: snapped without a huddle, in a hurry */
    RbPlayerId quarterback;
    RbTermId personnel;
    RbTermId formation;
    RbTermId motion;
    RbStrong strong; /* side with more receivers after motion */
    RbWidth width;
    RbPlay play;
    RbResult result;
    RbEnding ending;
    RbYesNo has_gain; /* RB_YES when `gain` holds a value */
    int gain;         /* whole yards from the previous spot to the dead-ball spot */
    RbPlayerId intended;
    GArray *penalties; /* owned, of RbPenalty; never NULL */
    GArray *own_tags;  /* owned, of RbTermId, each once, by id; never NULL */
    char *note;        /* owned, nullable */
} RbSnap;

/* A snap with nothing known. Returns: (transfer full). */
RbSnap *rb_snap_new(RbSnapId id, RbGameId game, int number);
RbSnap *rb_snap_copy(const RbSnap *snap);
void rb_snap_free(RbSnap *snap); /* NULL is allowed */

bool rb_snap_has_tag(const RbSnap *snap, RbTermId tag);
/* Puts one of the staff's own tags on the snap, or takes it off. */
void rb_snap_set_tag(RbSnap *snap, RbTermId tag, bool on);

/* A dropback that counts: a pass play from scrimmage (not a try, a screen or a run-pass
 * option) that was not wiped out. */
bool rb_snap_is_dropback(const RbSnap *snap);
/* True when a penalty, accepted or offset, leaves no result of the down: the result says no
 * play, or the penalty's own record says that the down does not count. */
bool rb_snap_is_wiped_out(const RbSnap *snap);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSnap, rb_snap_free)
