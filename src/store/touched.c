/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/touched.h"

#include "rb/store/statement.h"

/* The snap that a row of any table is about: 0 for none, NULL for more than can be told. */
static const char *const touched_sql =
    "SELECT DISTINCT CASE f.table_name"
    " WHEN 'snap' THEN o.row_id"
    " WHEN 'penalty' THEN (SELECT snap FROM penalty WHERE id = o.row_id)"
    " WHEN 'snap_tag' THEN (SELECT snap FROM snap_tag WHERE id = o.row_id)"
    " WHEN 'chart' THEN (SELECT snap FROM chart WHERE id = o.row_id)"
    " WHEN 'look' THEN (SELECT c.snap FROM look l JOIN chart c ON c.id = l.chart"
    " WHERE l.id = o.row_id)"
    " WHEN 'clip' THEN (SELECT snap FROM clip WHERE id = o.row_id)"
    " WHEN 'mark' THEN (SELECT c.snap FROM mark m JOIN clip c ON c.id = m.clip"
    " WHERE m.id = o.row_id)"
    " WHEN 'film' THEN 0 WHEN 'cutup' THEN 0 WHEN 'cutup_entry' THEN 0"
    " WHEN 'quiz_answer' THEN 0 WHEN 'saved_filter' THEN 0 WHEN 'drawing' THEN 0"
    " WHEN 'field_view' THEN 0 WHEN 'field_sight' THEN 0 WHEN 'measure' THEN 0 END AS snap"
    " FROM op o JOIN field f ON f.id = o.field WHERE o.author = ? AND o.seq > ?"
    /* A clip or chart that moved from one snap to another touches the first as well. */
    " UNION SELECT o.old FROM op o JOIN field f ON f.id = o.field"
    " WHERE o.author = ? AND o.seq > ? AND f.column_name = 'snap'"
    " AND f.table_name IN ('clip', 'chart', 'penalty', 'snap_tag')"
    " AND typeof(o.old) = 'integer'";

/* By laptop, so that each is one look into the key of op and not a walk over all history. */
static const char *const seen_sql =
    "SELECT laptop, seq FROM (SELECT l.id AS laptop,"
    " (SELECT max(seq) FROM op WHERE author = l.id) AS seq FROM laptop l)"
    " WHERE seq IS NOT NULL"
    " UNION ALL SELECT 0, count(*) FROM action WHERE type = 'forget' ORDER BY 1";

GArray *rb_store_list_seen(RbStore *store, GError **error)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(RbSeen));
    g_autoptr(RbStatement) query = rb_statement_new(store, seen_sql, error);
    if (query == NULL) {
        return NULL;
    }
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        const RbSeen one = { rb_statement_get_int(query, "laptop"),
                             rb_statement_get_int(query, "seq") };
        g_array_append_val(list, one);
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&list) : NULL;
}

/* How far a laptop's history was; 0 when it was not there. */
static int64_t seen_of(const GArray *seen, int64_t laptop)
{
    for (guint i = 0; i < seen->len; i++) {
        const RbSeen *one = &g_array_index(seen, RbSeen, i);
        if (one->laptop == laptop) {
            return one->seq;
        }
    }
    return 0;
}

/* Adds what one laptop touched. */
static bool add_touched(RbStore *store, int64_t laptop, int64_t after, GHashTable *snaps,
                        bool *everything, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(store, touched_sql, error);
    if (query == NULL) {
        return false;
    }
    for (int i = 0; i < 2; i++) {
        rb_statement_bind_int(query, laptop);
        rb_statement_bind_int(query, after);
    }
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        const int64_t snap = rb_statement_is_null(query, "snap")
                                 ? -1
                                 : rb_statement_get_int(query, "snap");
        *everything = *everything || snap < 0;
        if (snap > 0) {
            g_hash_table_add(snaps, g_memdup2(&snap, sizeof snap));
        }
    }
    return step == RB_STEP_DONE;
}

GArray *rb_store_list_touched(RbStore *store, const GArray *seen, bool *everything,
                              GError **error)
{
    g_autoptr(GArray) now = rb_store_list_seen(store, error);
    g_autoptr(GHashTable) snaps =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    *everything = false;
    for (guint i = 0; now != NULL && i < now->len; i++) {
        const RbSeen *one = &g_array_index(now, RbSeen, i);
        const int64_t after = seen_of(seen, one->laptop);
        if (one->laptop == 0 || one->seq < after) {
            *everything = *everything || one->seq != after;
        } else if (one->seq > after &&
                   !add_touched(store, one->laptop, after, snaps, everything, error)) {
            return NULL;
        }
    }
    if (now == NULL) {
        return NULL;
    }
    *everything = *everything || now->len < seen->len;
    GArray *list = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    GHashTableIter iter;
    gpointer key = NULL;
    g_hash_table_iter_init(&iter, snaps);
    while (g_hash_table_iter_next(&iter, &key, NULL)) {
        const RbSnapId snap = { *(const int64_t *)key };
        g_array_append_val(list, snap);
    }
    return list;
}
