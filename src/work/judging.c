/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "judging.h"

#include "rb/model/film.h"
#include "rb/stats/points.h"

/* Release measured from the snap on one clip; false when it lacks one of the two marks. Each
 * mark is right to half a frame, so the span is right to one; of interlaced film to a field. */
static bool measured_release(const RbClip *clip, int *ms, int *pm_ms)
{
    const RbMark *snap = rb_clip_find_mark(clip, RB_MARK_SNAP);
    const RbMark *release = rb_clip_find_mark(clip, RB_MARK_RELEASE);
    if (snap == NULL || release == NULL) {
        return false;
    }
    const int64_t span_ms = rb_time_diff_ms(release->time, snap->time);
    const int64_t frames = release->frame - snap->frame;
    if (span_ms < 0 || span_ms > G_MAXINT || frames <= 0) {
        return false;
    }
    const bool fields =
        rb_mark_is_of_field(clip, snap) && rb_mark_is_of_field(clip, release);
    const int64_t moments = fields ? 2 * frames : frames;
    *ms = (int)span_ms;
    *pm_ms = (int)((span_ms + moments - 1) / moments);
    return true;
}

RbChart *rb_chart_for_judging(const RbChart *chart, const RbGame *game,
                              const GPtrArray *clips)
{
    RbChart *copy = rb_chart_copy(chart);
    for (guint i = 0; clips != NULL && i < clips->len; i++) {
        if (measured_release(clips->pdata[i], &copy->release_ms, &copy->release_pm_ms)) {
            break;
        }
    }
    if (game != NULL && game->kind == RB_GAME_SEVEN) {
        copy->pressure = RB_PRESSURE_NONE;
        copy->pressure_ms = -1;
        copy->contact = RB_CONTACT_NONE;
    }
    return copy;
}

RbReadContext rb_context_for(const RbNames *names, const RbSnap *snap,
                             const RbChart *chart)
{
    return (RbReadContext){
        .snap = snap,
        .first = rb_names_find_concept(names, chart->call.first),
        .second = rb_names_find_concept(names, chart->call.second),
        .terms = rb_names_terms(names),
        .footwork = rb_names_footwork(names),
    };
}

void rb_judge_snap(const RbNames *names, const RbSnap *snap, const RbChart *chart,
                   RbSuccessProfile profile, const RbReadSettings *settings,
                   RbJudged *judged)
{
    const RbGame *game = rb_names_find_game(names, snap->game);
    const bool seven = game != NULL && game->kind == RB_GAME_SEVEN;
    const RbRules rules = game != NULL ? game->rules : RB_RULES_COLLEGE;
    const RbReadContext context = rb_context_for(names, snap, chart);
    bool known = false;
    *judged = (RbJudged){ 0 };
    judged->success = rb_success_snap(profile, snap, &known) && known;
    judged->has_points = !seven && rb_points_added(rb_points_model_default(), snap, rules,
                                                   &judged->points);
    judged->points = judged->has_points ? judged->points : 0.0;
    rb_judge(&context, chart, judged->success, settings, &judged->judgment);
}

GPtrArray *rb_judgment_reasons(const RbReadContext *context, const RbJudgment *judgment)
{
    GPtrArray *reasons = g_ptr_array_new_with_free_func(g_free);
    for (int i = 0; i < judgment->n_reasons; i++) {
        g_ptr_array_add(reasons,
                        rb_reason_text(context, judgment, &judgment->reasons[i]));
    }
    return reasons;
}
