/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/open-data.h"

#include <glib/gi18n-lib.h>

#include "rb/store/judged.h"
#include "rb/store/statement.h"
#include "rb/store/touched.h"
#include "rb/work/snapshot.h"

#include "library-private.h"

static RbJudgedSnap judged_of(const RbDropback *row)
{
    return (RbJudgedSnap){
        .snap = row->snap,
        .quarterback = row->quarterback,
        .concept = row->concept,
        .coverage = row->coverage,
        .verdict = row->verdict,
        .stage = row->stage,
        .stage_read = row->stage_read,
        .right_read = row->right_read,
        .ball_read = row->ball_read,
        .result = row->result,
        .has_gain = row->has_gain,
        .gain = row->gain,
        .success = row->success,
        .has_points = row->has_points,
        .points = row->points,
        .pressured = row->pressured,
        .release_ms = row->release_ms,
        .counts = row->in_ladder,
    };
}

/* Returns: (transfer full): of RbJudgedSnap. */
static GArray *judged_rows(const RbSnapshot *snapshot)
{
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    GArray *judged = g_array_sized_new(FALSE, FALSE, sizeof(RbJudgedSnap), (guint)n);
    for (int i = 0; i < n; i++) {
        const RbJudgedSnap one = judged_of(&rows[i]);
        g_array_append_val(judged, one);
    }
    return judged;
}

bool rb_library_refresh_open_data(RbLibrary *library, RbCancel *cancel, GError **error)
{
    RbStore *store = rb_library_store(library);
    if (rb_store_judged_is_fresh(store)) {
        return true;
    }
    /* First of all: what is done while this judges is then followed the next time. */
    g_autoptr(GArray) seen = rb_store_list_seen(store, error);
    g_autoptr(RbSnapshot) snapshot =
        seen != NULL ? rb_snapshot_take(library, NULL, cancel, error) : NULL;
    if (snapshot == NULL) {
        return false;
    }
    const RbSuccessProfile profile = rb_snapshot_get_profile(snapshot);
    g_autofree char *success =
        g_strdup_printf("%d/%d/%d/%d", profile.percent[0], profile.percent[1],
                        profile.percent[2], profile.percent[3]);
    g_autoptr(GArray) rows = judged_rows(snapshot);
    return rb_store_keep_judged(store, rows, seen, success, error);
}

static const RbOpenView views[] = {
    { "games", N_("game") },
    { "snaps", N_("snap") },
    { "charts", N_("chart: one person's tags of one snap") },
    { "looks", N_("read state of a chart") },
    { "verdicts", N_("pass play of ours, judged") },
    { "pairings", N_("concept against a coverage") },
    { "ladder", N_("read and stage of a pairing") },
    { "freshness", N_("library: when its verdicts were last written") },
};

const RbOpenView *rb_open_views(int *n)
{
    *n = G_N_ELEMENTS(views);
    return views;
}

int64_t rb_library_count_view(RbLibrary *library, const RbOpenView *view, GError **error)
{
    g_autofree char *sql = g_strdup_printf("SELECT count(*) AS n FROM %s", view->name);
    g_autoptr(RbStatement) query =
        rb_statement_new(rb_library_store(library), sql, error);
    if (query == NULL || rb_statement_step(query, error) != RB_STEP_ROW) {
        return -1;
    }
    return rb_statement_get_int(query, "n");
}
