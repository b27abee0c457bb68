/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/model/successor.h"

/* Expected points: what a situation is worth to the team with the ball, in points of the next
 * score of the half. Multinomial logit on down, distance and yards to goal (R. Yurko,
 * S. Ventura, M. Horowitz, "nflWAR", J. Quantitative Analysis in Sports 15(3), 2019; our own
 * terms and fit, see the table's own header). */
typedef struct RbPointsModel RbPointsModel;

#define RB_STATS_ERROR (rb_stats_error_quark())

typedef enum {
    RB_STATS_ERROR_TABLE, /* a coefficient table that cannot be read */
} RbStatsError;

GQuark rb_stats_error_quark(void);

#define RB_POINTS_CLASSES 7 /* -7 -3 -2 0 +2 +3 +7 */

/* text: a coefficient table as CSV, as schema/expected-points.csv describes. Returns:
 * (transfer full) (nullable): with `error` naming line and reason. */
RbPointsModel *rb_points_model_parse(const char *text, GError **error);
/* The table the program ships. Returns: (transfer none). */
const RbPointsModel *rb_points_model_default(void);
void rb_points_model_free(RbPointsModel *model);

/* down 1..4, distance 1 and up (more than yards_to_goal counts as yards_to_goal, more than 40
 * as 40), yards_to_goal 1..99. probabilities: (nullable), from the offense's view. */
double rb_points_value(const RbPointsModel *model, int down, int distance,
                       int yards_to_goal, double probabilities[RB_POINTS_CLASSES]);

/* Points added by one snap: value after minus value before, with the successor rule of
 * rb/model/successor.h; a score is worth 7, 3, 2; the sign flips with possession. False when
 * the facts do not say, on tries and on kicks. For comparing a team with itself. */
bool rb_points_added(const RbPointsModel *model, const RbSnap *snap, RbRules rules,
                     double *points);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbPointsModel, rb_points_model_free)
