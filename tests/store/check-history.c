/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/store/history.h"
#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"

static const RbPersonId coach = { 7 };

static char *hash_of(RbStore *store)
{
    GError *error = NULL;
    char *hash = rb_store_content_hash(store, &error);
    rb_assert_no_error(error);
    return hash;
}

static int64_t ask(RbStore *store, const char *sql)
{
    GError *error = NULL;
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(rb_statement_step(query, &error), RB_STEP_ROW);
    return rb_statement_get_int(query, "n");
}

static RbStore *reopen(RbStore *store)
{
    g_autofree char *path = g_strdup(rb_store_get_path(store));
    rb_store_free(store);
    GError *error = NULL;
    store = rb_store_open(path, &error);
    rb_assert_no_error(error);
    return store;
}

/* Actions that changed something, and the hash before each and after the last. */
static GPtrArray *run_actions(RbRandom *random, RbStore *store, int n)
{
    GPtrArray *hashes = g_ptr_array_new_with_free_func(g_free);
    g_ptr_array_add(hashes, hash_of(store));
    while ((int)hashes->len <= n) {
        const int64_t before = ask(store, "SELECT count(*) AS n FROM action");
        random_action(random, store);
        if (ask(store, "SELECT count(*) AS n FROM action") > before) {
            g_ptr_array_add(hashes, hash_of(store));
        }
    }
    return hashes;
}

static void check_hash(RbStore *store, const GPtrArray *hashes, guint i)
{
    g_autofree char *hash = hash_of(store);
    ck_assert_msg(g_str_equal(hash, hashes->pdata[i]), "hash %u differs", i);
}

/* Undo of any 50 actions comes back to every state on the way, redo forward again; closed and
 * opened in between. */
static void undo_and_redo(uint64_t seed)
{
    RbRandom random;
    rb_random_seed(&random, seed);
    RbStore *store = make_store("a.readbreak");
    const int warm_up = rb_random_int(&random, 0, 60);
    for (int i = 0; i < warm_up; i++) {
        random_action(&random, store);
    }
    enum { N = 50 };
    g_autoptr(GPtrArray) hashes = run_actions(&random, store, N);
    for (int round = 0; round < 2; round++) {
        const int depth = rb_random_int(&random, 1, N);
        for (int i = N; i > N - depth; i--) {
            g_autoptr(GPtrArray) skipped = NULL;
            check(rb_store_undo(store, coach, NULL, &skipped, &error_));
            ck_assert_uint_eq(skipped->len, 0);
            check_hash(store, hashes, (guint)i - 1);
        }
        store = reopen(store);
        for (int i = N - depth; i < N; i++) {
            g_autoptr(GPtrArray) skipped = NULL;
            check(rb_store_redo(store, coach, NULL, &skipped, &error_));
            ck_assert_uint_eq(skipped->len, 0);
            check_hash(store, hashes, (guint)i + 1);
        }
        store = reopen(store);
    }
    check(rb_store_check_integrity(store, &error_));
    rb_store_free(store);
}

START_TEST(test_history__undo_returns_and_redo_goes_forward)
{
    undo_and_redo(rb_test_seed(100) + (uint64_t)_i);
}
END_TEST

/* A library with one snap and one chart, each made by an action of its own. */
static RbChart *one_chart(RbStore *store)
{
    begin(store, "Snap 1");
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 11 }, (RbGameId){ 5 }, 1);
    check(rb_store_save_snap(store, snap, &error_));
    commit(store);
    RbChart *chart = rb_chart_new(snap->id, coach);
    begin(store, "Chart of snap 1");
    check(rb_store_save_chart(store, chart, &error_));
    commit(store);
    return chart;
}

static void set_ball(RbStore *store, RbChart *chart, RbBall ball)
{
    chart->ball = ball;
    begin(store, "Ball of snap 1");
    check(rb_store_save_chart(store, chart, &error_));
    commit(store);
}

START_TEST(test_history__says_who_when_and_what)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbPerson) person = rb_person_new(coach, "Ada");
    begin(store, "Staff");
    check(rb_store_save_person(store, person, &error_));
    commit(store);
    const int64_t start = g_get_real_time();
    g_autoptr(RbChart) chart = one_chart(store);
    set_ball(store, chart, RB_BALL_READ);
    set_ball(store, chart, RB_BALL_READ); /* changes nothing, so it is no action */
    chart->looks[2] = RB_LOOK_OPEN;
    set_ball(store, chart, RB_BALL_SACK);

    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_history(store, INT64_MAX, 100, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(list->len, 5);
    const RbHistoryEntry *last = list->pdata[0];
    ck_assert_str_eq(last->who, "Ada");
    ck_assert_str_eq(last->words, "Ball of snap 1");
    ck_assert_int_eq(last->type, RB_ACTION_DO);
    ck_assert(last->when_us >= start && last->when_us <= g_get_real_time());

    /* Exactly the columns that changed: the ball, and a look that was never set before. */
    g_autoptr(GPtrArray) changes = rb_store_list_changes(store, last->id, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(last->changes, (int)changes->len);
    int balls = 0;
    int looks = 0;
    for (guint i = 0; i < changes->len; i++) {
        const RbChange *change = changes->pdata[i];
        if (strcmp(change->table, "chart") == 0) {
            balls++;
            ck_assert_int_eq(change->row, chart->id.value);
            ck_assert_str_eq(change->column, "ball");
            ck_assert_str_eq(change->old, "read");
            ck_assert_str_eq(change->new_, "sack");
        } else {
            looks++;
            ck_assert_str_eq(change->table, "look");
        }
    }
    ck_assert_int_eq(balls, 1);
    ck_assert_int_eq(looks, 4); /* chart, slot, state, removed */

    g_autoptr(GPtrArray) older = rb_store_list_history(store, last->when_us, 2, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(older->len, 2);
    const RbHistoryEntry *second = list->pdata[1];
    const RbHistoryEntry *first = older->pdata[0];
    ck_assert_int_eq(first->id.number, second->id.number);
}
END_TEST

START_TEST(test_history__undo_and_redo_name_what_they_meant)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    ck_assert(!rb_store_undo(store, coach, NULL, NULL, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NOTHING));
    g_clear_error(&error);
    ck_assert(!rb_store_redo(store, coach, NULL, NULL, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NOTHING));
    g_clear_error(&error);

    g_autoptr(RbChart) chart = one_chart(store);
    set_ball(store, chart, RB_BALL_HOT);
    g_autofree char *words = NULL;
    check(rb_store_undo(store, coach, &words, NULL, &error_));
    ck_assert_str_eq(words, "Ball of snap 1");
    g_autofree char *undo = NULL;
    g_autofree char *redo = NULL;
    check(rb_store_peek_undo(store, &undo, &redo, &error_));
    ck_assert_str_eq(undo, "Chart of snap 1");
    ck_assert_str_eq(redo, "Ball of snap 1");

    g_autoptr(GPtrArray) list = rb_store_list_history(store, INT64_MAX, 2, &error);
    rb_assert_no_error(error);
    const RbHistoryEntry *undoing = list->pdata[0];
    const RbHistoryEntry *undone = list->pdata[1];
    ck_assert_int_eq(undoing->type, RB_ACTION_UNDO);
    ck_assert_int_eq(undoing->target.number, undone->id.number);
    ck_assert(undone->undone && !undoing->undone);

    /* Something else is done: what was undone is passed by. */
    set_ball(store, chart, RB_BALL_SACK);
    ck_assert(!rb_store_redo(store, coach, NULL, NULL, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NOTHING));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_history__undo_of_an_older_action_skips_what_changed_since)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbChart) chart = one_chart(store);
    chart->catch_ = RB_CATCH_DROPPED;
    set_ball(store, chart, RB_BALL_READ); /* sets both */
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_history(store, INT64_MAX, 1, &error);
    rb_assert_no_error(error);
    const RbHistoryEntry *both = list->pdata[0];
    set_ball(store, chart, RB_BALL_SACK);

    g_autoptr(GPtrArray) skipped = NULL;
    check(rb_store_undo_action(store, coach, both->id, &skipped, &error_));
    ck_assert_uint_eq(skipped->len, 1);
    const RbChange *change = skipped->pdata[0];
    ck_assert_str_eq(change->table, "chart");
    ck_assert_str_eq(change->column, "ball");
    ck_assert_str_eq(change->new_, "read");
    g_autoptr(RbChart) now = rb_store_load_chart(store, chart->id, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(now->ball, RB_BALL_SACK);
    ck_assert_int_eq(now->catch_, RB_CATCH_UNKNOWN);
    ck_assert(!rb_store_undo_action(store, coach, both->id, NULL, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NOTHING));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_history__a_rolled_back_action_leaves_nothing)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbChart) chart = one_chart(store);
    g_autofree char *before = hash_of(store);
    const int64_t ops = ask(store, "SELECT count(*) AS n FROM op");
    begin(store, "Given up");
    chart->ball = RB_BALL_HOT;
    check(rb_store_save_chart(store, chart, &error_));
    rb_store_rollback(store);
    g_autofree char *after = hash_of(store);
    ck_assert_str_eq(before, after);
    ck_assert_int_eq(ask(store, "SELECT count(*) AS n FROM op"), ops);
    ck_assert(!rb_store_is_in_action(store));
}
END_TEST

START_TEST(test_history__heads_are_the_newest_ops_and_hold_the_values)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(6));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    for (int i = 0; i < 80; i++) {
        random_action(&random, store);
    }
    /* One laptop: one head a field, which is its newest op, based on the one before. */
    ck_assert_int_gt(ask(store, "SELECT count(*) AS n FROM head"), 500);
    ck_assert_int_eq(
        ask(store, "SELECT count(*) AS n FROM head h WHERE h.seq <> (SELECT max(o.seq)"
                   " FROM op o WHERE o.row_id = h.row_id AND o.field = h.field)"),
        0);
    ck_assert_int_eq(ask(store, "SELECT count(*) - (SELECT count(*) FROM (SELECT DISTINCT"
                                " row_id, field FROM op)) AS n FROM head"),
                     0);
    ck_assert_int_eq(
        ask(store,
            "SELECT count(*) AS n FROM op o WHERE coalesce(o.base, '') <> coalesce("
            "(SELECT p.author || ':' || p.seq FROM op p WHERE p.row_id = o.row_id"
            " AND p.field = o.field AND p.seq < o.seq ORDER BY p.seq DESC LIMIT 1), '')"),
        0);
    ck_assert_int_eq(ask(store, "SELECT count(*) AS n FROM head h JOIN field f"
                                " ON f.id = h.field JOIN op o ON o.author = h.author AND"
                                " o.seq = h.seq JOIN chart c ON c.id = h.row_id"
                                " WHERE f.table_name = 'chart' AND f.column_name = 'ball'"
                                " AND c.ball IS NOT o.new"),
                     0);
}
END_TEST

START_TEST(test_history__stamps_never_go_back)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    /* A laptop whose clock was wrong has been here: an hour ahead. */
    g_autoptr(RbStatement) ahead =
        rb_statement_new(store, "UPDATE here SET stamp = ?", &error);
    rb_assert_no_error(error);
    const int64_t later = g_get_real_time() + INT64_C(3600000000);
    rb_statement_bind_int(ahead, later);
    check(rb_statement_run(ahead, &error_));
    g_autoptr(RbChart) chart = one_chart(store);
    set_ball(store, chart, RB_BALL_HOT);
    ck_assert_int_eq(ask(store, "SELECT min(stamp) AS n FROM action"), later + 1);
    ck_assert_int_eq(ask(store, "SELECT max(stamp) AS n FROM action"), later + 3);
    g_autoptr(RbChart) back = rb_store_load_chart(store, chart->id, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(back->stamp_us, later + 3);
}
END_TEST

TCase *rb_case_history(void)
{
    TCase *tcase = rb_case_new("history");
    tcase_add_loop_test(tcase, test_history__undo_returns_and_redo_goes_forward, 0, 6);
    tcase_add_test(tcase, test_history__says_who_when_and_what);
    tcase_add_test(tcase, test_history__undo_and_redo_name_what_they_meant);
    tcase_add_test(tcase, test_history__undo_of_an_older_action_skips_what_changed_since);
    tcase_add_test(tcase, test_history__a_rolled_back_action_leaves_nothing);
    tcase_add_test(tcase, test_history__heads_are_the_newest_ops_and_hold_the_values);
    tcase_add_test(tcase, test_history__stamps_never_go_back);
    return tcase;
}
