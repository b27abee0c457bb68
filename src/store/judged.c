/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/store/judged.h"

#include "rb/store/statement.h"
#include "rb/store/touched.h"

#include "store-private.h"

/* A row that is as it was is not written again. */
static const char *const keep_sql =
    "INSERT INTO judged_snap VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
    " ON CONFLICT (snap) DO UPDATE SET quarterback = excluded.quarterback,"
    " concept = excluded.concept, coverage = excluded.coverage,"
    " verdict = excluded.verdict, stage = excluded.stage,"
    " stage_read = excluded.stage_read, right_read = excluded.right_read,"
    " ball_read = excluded.ball_read, result = excluded.result, gain = excluded.gain,"
    " success = excluded.success, points = excluded.points,"
    " pressured = excluded.pressured, release_ms = excluded.release_ms,"
    " counts = excluded.counts"
    " WHERE (quarterback, concept, coverage, verdict, stage, stage_read, right_read,"
    " ball_read, result, gain, success, points, pressured, release_ms, counts) IS NOT"
    " (excluded.quarterback, excluded.concept, excluded.coverage, excluded.verdict,"
    " excluded.stage, excluded.stage_read, excluded.right_read, excluded.ball_read,"
    " excluded.result, excluded.gain, excluded.success, excluded.points,"
    " excluded.pressured, excluded.release_ms, excluded.counts)";

static void bind_known(RbStatement *statement, bool known, int64_t value)
{
    if (known) {
        rb_statement_bind_int(statement, value);
    } else {
        rb_statement_bind_null(statement);
    }
}

static bool keep_row(RbStatement *statement, const RbJudgedSnap *row, GError **error)
{
    rb_statement_reset(statement);
    rb_statement_bind_int(statement, row->snap.value);
    rb_statement_bind_id(statement, row->quarterback.value);
    rb_statement_bind_id(statement, row->concept.value);
    rb_statement_bind_id(statement, row->coverage.value);
    rb_statement_bind_word(statement, &rb_verdict_words, (int)row->verdict, false);
    rb_statement_bind_word(statement, &rb_stage_words, (int)row->stage, false);
    rb_statement_bind_int(statement, row->stage_read);
    rb_statement_bind_int(statement, row->right_read);
    rb_statement_bind_int(statement, row->ball_read);
    rb_statement_bind_word(statement, &rb_result_words, (int)row->result, true);
    bind_known(statement, row->has_gain, row->gain);
    rb_statement_bind_int(statement, row->success);
    if (row->has_points) {
        rb_statement_bind_real(statement, row->points);
    } else {
        rb_statement_bind_null(statement);
    }
    rb_statement_bind_int(statement, row->pressured);
    bind_known(statement, row->release_ms >= 0, row->release_ms);
    rb_statement_bind_int(statement, row->counts);
    return rb_statement_run(statement, error);
}

static bool keep_rows(RbStore *store, const GArray *rows, GHashTable *ids, GError **error)
{
    g_autoptr(RbStatement) statement = rb_statement_new(store, keep_sql, error);
    for (guint i = 0; statement != NULL && i < rows->len; i++) {
        RbJudgedSnap *row = &g_array_index(rows, RbJudgedSnap, i);
        g_hash_table_add(ids, &row->snap.value);
        if (!keep_row(statement, row, error)) {
            return false;
        }
    }
    return statement != NULL;
}

/* The rows of snaps that are none of ours any more. */
static bool drop_others(RbStore *store, GHashTable *ids, GError **error)
{
    g_autoptr(GArray) gone = g_array_new(FALSE, FALSE, sizeof(int64_t));
    g_autoptr(RbStatement) query =
        rb_statement_new(store, "SELECT snap FROM judged_snap", error);
    RbStep step = RB_STEP_ERROR;
    while (query != NULL && (step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        const int64_t snap = rb_statement_get_int(query, "snap");
        if (!g_hash_table_contains(ids, &snap)) {
            g_array_append_val(gone, snap);
        }
    }
    g_autoptr(RbStatement) drop =
        step == RB_STEP_DONE
            ? rb_statement_new(store, "DELETE FROM judged_snap WHERE snap = ?", error)
            : NULL;
    bool ok = drop != NULL;
    for (guint i = 0; ok && i < gone->len; i++) {
        rb_statement_reset(drop);
        rb_statement_bind_int(drop, g_array_index(gone, int64_t, i));
        ok = rb_statement_run(drop, error);
    }
    return ok;
}

static bool run(RbStore *store, const char *sql, GError **error)
{
    g_autoptr(RbStatement) statement = rb_statement_new(store, sql, error);
    return statement != NULL && rb_statement_run(statement, error);
}

static bool keep_seen(RbStore *store, const GArray *seen, GError **error)
{
    if (!run(store, "DELETE FROM judged_seen", error)) {
        return false;
    }
    g_autoptr(RbStatement) statement =
        rb_statement_new(store, "INSERT INTO judged_seen VALUES (?, ?)", error);
    bool ok = statement != NULL;
    for (guint i = 0; ok && i < seen->len; i++) {
        const RbSeen *one = &g_array_index(seen, RbSeen, i);
        rb_statement_reset(statement);
        rb_statement_bind_int(statement, one->laptop);
        rb_statement_bind_int(statement, one->seq);
        ok = rb_statement_run(statement, error);
    }
    return ok;
}

static bool keep_note(RbStore *store, const char *success, GError **error)
{
    g_autoptr(RbStatement) statement = rb_statement_new(
        store, "INSERT OR REPLACE INTO judged_note VALUES (1, ?, ?, ?)", error);
    if (statement == NULL) {
        return false;
    }
    rb_statement_bind_int(statement, g_get_real_time());
    rb_statement_bind_text(statement, RB_VERSION);
    rb_statement_bind_text(statement, success);
    return rb_statement_run(statement, error);
}

bool rb_store_keep_judged(RbStore *store, const GArray *rows, const GArray *seen,
                          const char *success, GError **error)
{
    g_autoptr(GHashTable) ids = g_hash_table_new(g_int64_hash, g_int64_equal);
    if (!rb_store_begin_unrecorded(store, error)) {
        return false;
    }
    if (!keep_rows(store, rows, ids, error) || !drop_others(store, ids, error) ||
        !keep_seen(store, seen, error) || !keep_note(store, success, error)) {
        rb_store_rollback(store);
        return false;
    }
    return rb_store_commit_unrecorded(store, error);
}

bool rb_store_judged_is_fresh(RbStore *store)
{
    g_autoptr(GArray) now = rb_store_list_seen(store, NULL);
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT laptop, seq FROM judged_seen WHERE EXISTS (SELECT 1 FROM judged_note)"
        " ORDER BY laptop",
        NULL);
    guint at = 0;
    while (now != NULL && query != NULL &&
           rb_statement_step(query, NULL) == RB_STEP_ROW) {
        const RbSeen *one = at < now->len ? &g_array_index(now, RbSeen, at) : NULL;
        if (one == NULL || one->laptop != rb_statement_get_int(query, "laptop") ||
            one->seq != rb_statement_get_int(query, "seq")) {
            return false;
        }
        at++;
    }
    return now != NULL && query != NULL && at > 0 && at == now->len;
}
