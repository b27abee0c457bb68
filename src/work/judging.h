/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/read/verdict.h"
#include "rb/stats/success.h"
#include "rb/work/names.h"

/* One pass play judged, as snapshot and sheet both do it. */
typedef struct {
    RbJudgment judgment;
    bool success;
    bool has_points;
    double points;
} RbJudged;

/* The chart as the engine should see it: the release measured on film where there is one, and
 * no rush in 7-on-7. clips: (nullable): of this snap. Returns: (transfer full). */
RbChart *rb_chart_for_judging(const RbChart *chart, const RbGame *game,
                              const GPtrArray *clips);

/* The context of a chart's call. */
RbReadContext rb_context_for(const RbNames *names, const RbSnap *snap,
                             const RbChart *chart);

/* chart: from rb_chart_for_judging(). */
void rb_judge_snap(const RbNames *names, const RbSnap *snap, const RbChart *chart,
                   RbSuccessProfile profile, const RbReadSettings *settings,
                   RbJudged *judged);

/* Sentences of a judgment's reasons. Returns: (transfer full): of char *. */
GPtrArray *rb_judgment_reasons(const RbReadContext *context, const RbJudgment *judgment);
