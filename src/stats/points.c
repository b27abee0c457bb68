/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/points.h"

/* A score counts what it brings on average with the kick that follows it: the classes of the
 * model. False when the play did not score. */
static bool score_value(const RbSnap *snap, double *value)
{
    switch (rb_snap_points(snap)) {
    case 6:
        *value = 7.0;
        return true;
    case 3:
        *value = 3.0;
        return true;
    case -2:
        *value = -2.0;
        return true;
    case -6:
        *value = -7.0;
        return true;
    default:
        return false;
    }
}

static bool situation_value(const RbPointsModel *model, const RbSituation *situation,
                            double *value)
{
    if (situation->phase != RB_PHASE_SCRIMMAGE || situation->down < 1 ||
        situation->down > 4 || situation->distance < 1 || situation->yards_to_goal < 1 ||
        situation->yards_to_goal > 99) {
        return false;
    }
    *value = rb_points_value(model, situation->down, situation->distance,
                             situation->yards_to_goal, NULL);
    return true;
}

/* What the next situation is worth to the team that had the ball on the snap. */
static bool next_value(const RbPointsModel *model, const RbSnap *snap, RbRules rules,
                       double *value)
{
    const RbNext next = rb_next_situation(snap, (RbTeamId){ 0 }, rules);
    if (!next.spot_known) {
        return false;
    }
    switch (next.kind) {
    case RB_NEXT_SAME_SERIES:
        return situation_value(model, &next.situation, value);
    case RB_NEXT_TURNOVER:
        if (!situation_value(model, &next.situation, value)) {
            return false;
        }
        *value = -*value;
        return true;
    case RB_NEXT_UNKNOWN:
    case RB_NEXT_TRY:
    case RB_NEXT_TRY_AGAINST:
    case RB_NEXT_KICKOFF:
    case RB_NEXT_SAFETY_KICK:
    case RB_NEXT_AFTER_KICK:
        return false; /* scores are counted before; a kick does not say who has the ball */
    }
    return false;
}

bool rb_points_added(const RbPointsModel *model, const RbSnap *snap, RbRules rules,
                     double *points)
{
    double before = 0.0;
    double after = 0.0;
    if (!situation_value(model, &snap->situation, &before) ||
        !(score_value(snap, &after) || next_value(model, snap, rules, &after))) {
        return false;
    }
    *points = after - before;
    return true;
}
