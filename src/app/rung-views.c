/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>

#include "read-ladder.h"

static void rung_view_free(void *pointer)
{
    RbRungView *view = pointer;
    g_free(view->title);
    g_free(view->detail);
    g_free(view->remark);
    g_free(view);
}

static char *seconds(int ms)
{
    return g_strdup_printf("%.1f s", ms / 1000.0);
}

static char *describe(const RbRung *rung)
{
    GString *text = g_string_new(NULL);
    if (rung->runner != RB_RUNNER_UNKNOWN) {
        g_string_append(text, rb_words_label(&rb_runner_words, rung->runner));
    }
    if (rung->clock_ms >= 0) {
        g_autofree char *clock = seconds(rung->clock_ms);
        g_string_append_printf(text, _("%sby %s"), text->len > 0 ? ", " : "", clock);
    }
    return g_string_free(text, FALSE);
}

static RbRungView *rung_view(const RbRung *rung, const RbChart *chart,
                             const RbJudgment *judgment)
{
    RbRungView *view = g_new0(RbRungView, 1);
    view->slot = rung->slot;
    view->title = g_strdup(rb_words_label(&rb_route_words, rung->route));
    view->detail = describe(rung);
    view->look = chart->looks[rung->slot - 1];
    view->dead = rung->dead;
    view->outlet = rung->outlet;
    if (judgment != NULL) {
        view->right = judgment->right_slot == rung->slot;
        view->ball = judgment->ball_slot == rung->slot;
    } else {
        view->ball = chart->ball == RB_BALL_READ && chart->ball_read == rung->slot;
    }
    if (view->ball && chart->release_ms >= 0) {
        view->late = rung->clock_ms >= 0 &&
                     chart->release_ms > rung->clock_ms + rung->tolerance_ms;
        g_autofree char *when = seconds(chart->release_ms);
        view->remark = g_strdup_printf(_("ball, %s"), when);
    } else if (view->ball) {
        view->remark = g_strdup(_("ball"));
    } else if (view->dead) {
        view->remark = g_strdup(_("dead by rule"));
    } else if (view->outlet) {
        view->remark = g_strdup(_("outlet"));
    }
    return view;
}

/* A ball that went to no read stands below the ladder. */
static RbRungView *elsewhere_view(const RbChart *chart)
{
    RbRungView *view = g_new0(RbRungView, 1);
    view->off = true;
    view->ball = true;
    view->title = g_strdup(rb_words_label(&rb_ball_words, chart->ball));
    if (chart->release_ms >= 0) {
        g_autofree char *when = seconds(chart->release_ms);
        view->remark = g_strdup_printf(_("ball, %s"), when);
    } else {
        view->remark = g_strdup(_("ball"));
    }
    return view;
}

GPtrArray *rb_rung_views_build(const RbRung *slots, int n_slots, const RbChart *chart,
                               const RbJudgment *judgment)
{
    GPtrArray *views = g_ptr_array_new_with_free_func(rung_view_free);
    const bool ordered = judgment != NULL && judgment->order.n > 0;
    const RbRung *rungs = ordered ? judgment->order.rungs : slots;
    const int n = ordered ? judgment->order.n : n_slots;
    bool placed = false;
    for (int i = 0; i < n; i++) {
        RbRungView *view = rung_view(&rungs[i], chart, judgment);
        placed = placed || view->ball;
        g_ptr_array_add(views, view);
    }
    if (n > 0 && !placed && chart->ball != RB_BALL_UNKNOWN &&
        chart->ball != RB_BALL_READ) {
        g_ptr_array_add(views, elsewhere_view(chart));
    }
    return views;
}
