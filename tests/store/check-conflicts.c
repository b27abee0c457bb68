/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/store/history.h"
#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"
#include "record.h"
#include "store-private.h"

/* Heads as exchange will leave them: written by hand, for there is no exchange yet. */

enum { OTHER = 4242, SNAP = 11 };

static void run(RbStore *store, const char *sql)
{
    char *message = NULL;
    sqlite3_exec(store->db, sql, NULL, NULL, &message);
    ck_assert_msg(message == NULL, "%s", message);
}

static int64_t ask(RbStore *store, const char *sql)
{
    GError *error = NULL;
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(rb_statement_step(query, &error), RB_STEP_ROW);
    return rb_statement_get_int(query, "n");
}

/* A snap on which this laptop tagged first down. */
static RbStore *library(void)
{
    RbStore *store = make_store("a.readbreak");
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ SNAP }, (RbGameId){ 5 }, 1);
    begin(store, "Snap 1");
    check(rb_store_save_snap(store, snap, &error_));
    commit(store);
    snap->situation.down = 1;
    begin(store, "Down of snap 1");
    check(rb_store_save_snap(store, snap, &error_));
    commit(store);
    return store;
}

/* Another laptop set the down without knowing of ours: earlier or later. */
static void add_foreign_head(RbStore *store, const char *value, int64_t shift_us)
{
    g_autofree char *sql = g_strdup_printf(
        "INSERT INTO laptop (id, mine) VALUES (%d, 0);"
        "INSERT INTO action SELECT %d, 1, stamp + %" G_GINT64_FORMAT
        ", 8, 'do', 'Down of snap 1', NULL, NULL, NULL, NULL, 1, 1, 'done'"
        " FROM action ORDER BY stamp DESC LIMIT 1;"
        "INSERT INTO op SELECT %d, 1, 1, stamp, (SELECT id FROM field WHERE table_name ="
        " 'snap' AND column_name = 'down'), %d, NULL, %s, NULL, NULL, NULL FROM action"
        " WHERE laptop = %d;"
        "INSERT INTO head SELECT row_id, field, author, seq, stamp FROM op"
        " WHERE author = %d",
        OTHER, OTHER, shift_us, OTHER, SNAP, value, OTHER, OTHER);
    run(store, sql);
}

static GPtrArray *conflicts(RbStore *store)
{
    GError *error = NULL;
    GPtrArray *list = rb_store_list_conflicts(store, &error);
    rb_assert_no_error(error);
    return list;
}

static int down(RbStore *store)
{
    GError *error = NULL;
    g_autoptr(RbSnap) snap = rb_store_load_snap(store, (RbSnapId){ SNAP }, &error);
    rb_assert_no_error(error);
    return snap->situation.down;
}

START_TEST(test_conflict__none_on_one_laptop)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(8));
    g_autoptr(RbStore) store = make_store("b.readbreak");
    for (int i = 0; i < 60; i++) {
        random_action(&random, store);
    }
    check(rb_store_undo(store, (RbPersonId){ 7 }, NULL, NULL, &error_));
    g_autoptr(GPtrArray) list = conflicts(store);
    ck_assert_uint_eq(list->len, 0);
}
END_TEST

START_TEST(test_conflict__differing_heads_are_listed_once_the_greatest_first)
{
    g_autoptr(RbStore) store = library();
    add_foreign_head(store, "3", 1000000);
    g_autoptr(GPtrArray) list = conflicts(store);
    ck_assert_uint_eq(list->len, 1);
    const RbConflict *conflict = list->pdata[0];
    ck_assert_str_eq(conflict->table, "snap");
    ck_assert_str_eq(conflict->column, "down");
    ck_assert_int_eq(conflict->row, SNAP);
    ck_assert_uint_eq(conflict->heads->len, 2);
    const RbHead *first = conflict->heads->pdata[0];
    const RbHead *second = conflict->heads->pdata[1];
    ck_assert_str_eq(first->value, "3");
    ck_assert_int_eq(first->laptop, OTHER);
    ck_assert_int_eq(first->person.value, 8);
    ck_assert_str_eq(second->value, "1");
    ck_assert_int_eq(second->laptop, store->laptop);
    ck_assert_int_eq(second->person.value, 7);
}
END_TEST

START_TEST(test_conflict__the_same_value_twice_is_none)
{
    g_autoptr(RbStore) store = library();
    add_foreign_head(store, "1", -1000000);
    g_autoptr(GPtrArray) list = conflicts(store);
    ck_assert_uint_eq(list->len, 0);
    ck_assert_int_eq(ask(store, "SELECT count(*) AS n FROM head WHERE author = 4242"), 1);
}
END_TEST

START_TEST(test_conflict__text_and_number_differ)
{
    g_autoptr(RbStore) store = library();
    add_foreign_head(store, "'1'", -1000000);
    g_autoptr(GPtrArray) list = conflicts(store);
    ck_assert_uint_eq(list->len, 1);
}
END_TEST

/* Settling on either head, the shown one too, replaces both by an op that names both. */
START_TEST(test_conflict__settling_replaces_all_heads)
{
    g_autoptr(RbStore) store = library();
    add_foreign_head(store, "3", -1000000); /* ours is later, so 1 is shown */
    g_autoptr(GPtrArray) list = conflicts(store);
    ck_assert_uint_eq(list->len, 1);
    begin(store, "Down of snap 1 settled");
    check(rb_store_settle(store, list->pdata[0], _i, &error_));
    commit(store);
    ck_assert_int_eq(down(store), _i == 0 ? 1 : 3);
    g_autoptr(GPtrArray) after = conflicts(store);
    ck_assert_uint_eq(after->len, 0);
    GError *error = NULL;
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT o.base, o.new FROM head h JOIN op o ON o.author = h.author AND"
        " o.seq = h.seq JOIN field f ON f.id = h.field WHERE f.column_name = 'down'",
        &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(rb_statement_step(query, &error), RB_STEP_ROW);
    g_autoptr(GArray) base = g_array_new(FALSE, FALSE, sizeof(RbOpId));
    ck_assert(rb_base_parse(rb_statement_get_text(query, "base"), base));
    ck_assert_uint_eq(base->len, 2);
    ck_assert_int_eq(rb_statement_get_int(query, "new"), _i == 0 ? 1 : 3);
    ck_assert_int_eq(rb_statement_step(query, &error), RB_STEP_DONE);
    check(rb_store_check_integrity(store, &error_));
}
END_TEST

START_TEST(test_conflict__an_ordinary_change_settles_too)
{
    g_autoptr(RbStore) store = library();
    add_foreign_head(store, "3", -1000000);
    GError *error = NULL;
    g_autoptr(RbSnap) snap = rb_store_load_snap(store, (RbSnapId){ SNAP }, &error);
    rb_assert_no_error(error);
    snap->situation.down = 2;
    begin(store, "Down of snap 1");
    check(rb_store_save_snap(store, snap, &error_));
    commit(store);
    g_autoptr(GPtrArray) list = conflicts(store);
    ck_assert_uint_eq(list->len, 0);
}
END_TEST

START_TEST(test_conflict__undo_leaves_a_field_that_another_laptop_changed)
{
    g_autoptr(RbStore) store = library();
    add_foreign_head(store, "3", 1000000);
    run(store, "UPDATE snap SET down = 3");
    g_autoptr(GPtrArray) skipped = NULL;
    check(rb_store_undo(store, (RbPersonId){ 7 }, NULL, &skipped, &error_));
    ck_assert_uint_eq(skipped->len, 1);
    const RbChange *change = skipped->pdata[0];
    ck_assert_str_eq(change->column, "down");
    ck_assert_int_eq(down(store), 3);
}
END_TEST

START_TEST(test_base__comes_back_as_written)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(9));
    for (int i = 0; i < 500; i++) {
        g_autoptr(GArray) ops = g_array_new(FALSE, FALSE, sizeof(RbOpId));
        for (int n = rb_random_int(&random, 0, 4); n > 0; n--) {
            const RbOpId op = { make_id(&random), rb_random_int(&random, 1, 1 << 30) };
            g_array_append_val(ops, op);
        }
        g_autofree char *text = rb_base_format(ops);
        ck_assert((text == NULL) == (ops->len == 0));
        g_autoptr(GArray) back = g_array_new(FALSE, FALSE, sizeof(RbOpId));
        ck_assert(rb_base_parse(text, back));
        ck_assert_uint_eq(back->len, ops->len);
        if (ops->len > 0) {
            ck_assert_mem_eq(back->data, ops->data, ops->len * sizeof(RbOpId));
        }
    }
}
END_TEST

START_TEST(test_base__refuses_anything_else)
{
    static const char *const bad[] = {
        "",
        " ",
        "1",
        "1:",
        ":1",
        "1:2 ",
        " 1:2",
        "1:2  3:4",
        "01:2",
        "1:02",
        "-1:2",
        "1:-2",
        "+1:2",
        "1:2:3",
        "0:1",
        "1:0",
        "1:2,3",
        "1: 2",
        "a:1",
        "1:a",
        "1:2\n",
        "1:2 3",
        "1:2 3:",
        "0x1:2",
        "9223372036854775808:1",
        "1:9223372036854775808",
        "1:99999999999999999999999",
        "99999999999999999999999:1",
    };
    for (size_t i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GArray) ops = g_array_new(FALSE, FALSE, sizeof(RbOpId));
        ck_assert_msg(!rb_base_parse(bad[i], ops), "took \"%s\"", bad[i]);
    }
    g_autoptr(GArray) ops = g_array_new(FALSE, FALSE, sizeof(RbOpId));
    ck_assert(rb_base_parse("9223372036854775807:1 2:9223372036854775807", ops));
    ck_assert_uint_eq(ops->len, 2);
}
END_TEST

TCase *rb_case_conflicts(void)
{
    TCase *tcase = rb_case_new("conflicts");
    tcase_add_test(tcase, test_conflict__none_on_one_laptop);
    tcase_add_test(tcase,
                   test_conflict__differing_heads_are_listed_once_the_greatest_first);
    tcase_add_test(tcase, test_conflict__the_same_value_twice_is_none);
    tcase_add_test(tcase, test_conflict__text_and_number_differ);
    tcase_add_loop_test(tcase, test_conflict__settling_replaces_all_heads, 0, 2);
    tcase_add_test(tcase, test_conflict__an_ordinary_change_settles_too);
    tcase_add_test(tcase, test_conflict__undo_leaves_a_field_that_another_laptop_changed);
    tcase_add_test(tcase, test_base__comes_back_as_written);
    tcase_add_test(tcase, test_base__refuses_anything_else);
    return tcase;
}
