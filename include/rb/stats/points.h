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

#define RB_POINTS_CLASSES 7 /* -7 -3 -2 0 +2 +3 +7 */

/* text: a coefficient table as CSV (term,k-7,…). Returns: (transfer full) (nullable): with
 * `error` naming line and reason. */
RbPointsModel *rb_points_model_parse(const char *text, GError **error);
/* The table the program ships. Returns: (transfer none). */
const RbPointsModel *rb_points_model_default(void);
void rb_points_model_free(RbPointsModel *model);

/* down 1..4, distance 1..40 (more counts as 40, more than yards_to_goal as yards_to_goal),
 * yards_to_goal 1..99. probabilities: (nullable). */
double rb_points_value(const RbPointsModel *model, int down, int distance,
                       int yards_to_goal, double probabilities[RB_POINTS_CLASSES]);

/* Points added by one snap: value after minus value before; a score is worth 7, 3, 2; the
 * sign flips with possession. False when the facts do not say. */
bool rb_points_added(const RbPointsModel *model, const RbSnap *snap, RbRules rules,
                     double *points);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbPointsModel, rb_points_model_free)
