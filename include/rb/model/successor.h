/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/snap.h"

/* What the situation of the next snap must be, as far as the facts of this one say. */
typedef enum {
    RB_NEXT_UNKNOWN,     /* not enough is known */
    RB_NEXT_SAME_SERIES, /* the offense keeps the ball: down, distance, spot follow */
    RB_NEXT_TURNOVER, /* the other team has the ball; the spot follows if `spot_known` */
    RB_NEXT_TRY,      /* after the offense's touchdown */
    RB_NEXT_TRY_AGAINST, /* after the other team's touchdown */
    RB_NEXT_KICKOFF,     /* the offense kicks off: after a field goal or a try */
    RB_NEXT_SAFETY_KICK, /* the offense kicks from its own side after a safety */
    RB_NEXT_AFTER_KICK, /* after a punt or kickoff: possession and spot are not told here */
} RbNextKind;

typedef struct {
    RbNextKind kind;
    bool spot_known;       /* situation.yards_to_goal, down and distance are set */
    RbSituation situation; /* from the view of the team that has the ball next; its score
                            * counts this play's points; quarter and clock as this snap's */
} RbNext;

/* rules: where a try is spotted and the like. Gains are whole yards, the yard-line rule of
 * the NCAA statisticians' manual (a first down not made leaves at least one yard). Accepted
 * penalties are applied by their own record. The offense's team changes only for a turnover;
 * then `defense` (0 when unknown) becomes the offense. */
RbNext rb_next_situation(const RbSnap *snap, RbTeamId defense, RbRules rules);

/* Points scored on the play: positive for the offense, negative for the other team; a
 * touchdown counts 6 (the try is its own snap). */
int rb_snap_points(const RbSnap *snap);

/* Yards to goal of the dead-ball spot with accepted penalties, from the offense's view: 0 or
 * less is a touchdown, 100 or more a safety or touchback. False when not known. */
bool rb_snap_end_spot(const RbSnap *snap, int *yards_to_goal);
