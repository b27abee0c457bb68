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
    RB_NEXT_AFTER_KICK,  /* after a punt or kickoff: the spot is not told here; possession
                         * is given as the other team's, which a muff or an onside kick
                         * can belie */
} RbNextKind;

typedef struct {
    RbNextKind kind;
    bool spot_known;       /* situation.yards_to_goal is set, from scrimmage also down and
                            * distance */
    RbSituation situation; /* from the view of the team that has the ball next; its score
                            * counts this play's points; quarter and clock as this snap's */
} RbNext;

/* rules: where a try is spotted and the like. Gains are whole yards, the yard-line rule of
 * the NCAA statisticians' manual (a first down not made leaves at least one yard). Accepted
 * penalties are applied by their own record; the next down's line to gain stays where it was
 * unless the series ends. Where the other team gets the ball, `defense` (0 when unknown)
 * becomes the offense. A lost ball's spot is told by the gain, which runs to the dead-ball
 * spot, return included; dead in the end zone it is a touchback, given as the own 20. */
RbNext rb_next_situation(const RbSnap *snap, RbTeamId defense, RbRules rules);

/* Points scored on the play: positive for the offense, negative for the other team; a
 * touchdown counts 6 (the try is its own snap, 1 by kick and 2 by a score). */
int rb_snap_points(const RbSnap *snap);

/* Yards to goal of the dead-ball spot with accepted penalties, from the offense's view: 0 or
 * less is a touchdown, 100 or more a safety or touchback. Offsetting fouls leave the previous
 * spot. An incomplete pass needs no gain. False when not known. */
bool rb_snap_end_spot(const RbSnap *snap, int *yards_to_goal);
