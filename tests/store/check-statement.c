/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <signal.h>
#include <string.h>

#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"
#include "store-private.h"

START_TEST(test_statement__binds_in_order_and_reads_by_name)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    g_autoptr(RbStatement) query = rb_statement_new(
        store, "SELECT ? AS a, ? AS b, ? AS c, ? AS d, ? AS e, ? AS f, ? AS g", &error);
    rb_assert_no_error(error);
    for (int round = 0; round < 2; round++) {
        rb_statement_bind_int(query, INT64_MIN);
        rb_statement_bind_id(query, 0);
        rb_statement_bind_text(query, "it's");
        rb_statement_bind_blob(query, "a\0b", 3);
        rb_statement_bind_null(query);
        rb_statement_bind_word(query, &rb_hash_words, RB_HASH_RIGHT, true);
        rb_statement_bind_word(query, &rb_hash_words, RB_HASH_UNKNOWN, true);
        ck_assert_int_eq(rb_statement_step(query, &error), RB_STEP_ROW);
        ck_assert_str_eq(rb_statement_get_text(query, "c"), "it's");
        ck_assert_int_eq(rb_statement_get_int(query, "a"), INT64_MIN);
        ck_assert(rb_statement_is_null(query, "b"));
        ck_assert(rb_statement_is_null(query, "e"));
        ck_assert(rb_statement_is_null(query, "g"));
        ck_assert_int_eq(rb_statement_get_int_or(query, "e", -1), -1);
        ck_assert_int_eq(rb_statement_get_int(query, "e"), 0);
        size_t size = 0;
        ck_assert_mem_eq(rb_statement_get_blob(query, "d", &size), "a\0b", 3);
        ck_assert_uint_eq(size, 3);
        int word = 0;
        ck_assert(rb_statement_get_word(query, "f", &rb_hash_words, &word, &error));
        ck_assert_int_eq(word, RB_HASH_RIGHT);
        ck_assert(rb_statement_get_word(query, "g", &rb_hash_words, &word, &error));
        ck_assert_int_eq(word, RB_HASH_UNKNOWN);
        ck_assert(!rb_statement_get_word(query, "c", &rb_hash_words, &word, &error));
        ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED));
        g_clear_error(&error);
        ck_assert_int_eq(rb_statement_step(query, &error), RB_STEP_DONE);
        rb_statement_reset(query);
    }
}
END_TEST

START_TEST(test_statement__the_same_text_twice_at_once)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    for (int round = 0; round < 3; round++) {
        g_autoptr(RbStatement) a = rb_statement_new(store, "SELECT ? AS x", &error);
        g_autoptr(RbStatement) b = rb_statement_new(store, "SELECT ? AS x", &error);
        rb_assert_no_error(error);
        rb_statement_bind_int(a, 1);
        rb_statement_bind_int(b, 2);
        ck_assert_int_eq(rb_statement_step(a, &error), RB_STEP_ROW);
        ck_assert_int_eq(rb_statement_step(b, &error), RB_STEP_ROW);
        ck_assert_int_eq(rb_statement_get_int(a, "x"), 1);
        ck_assert_int_eq(rb_statement_get_int(b, "x"), 2);
    }
}
END_TEST

START_TEST(test_statement__a_reused_one_has_forgotten_its_values)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    RbStatement *first = rb_statement_new(store, "SELECT ? AS x", &error);
    rb_statement_bind_int(first, 7);
    rb_statement_free(first);
    g_autoptr(RbStatement) second = rb_statement_new(store, "SELECT ? AS x", &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(rb_statement_step(second, &error), RB_STEP_ROW);
    ck_assert(rb_statement_is_null(second, "x"));
}
END_TEST

START_TEST(test_statement__errors_name_the_library)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    ck_assert_ptr_null(rb_statement_new(store, "SELECT nonsense FROM nowhere", &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_FAILED));
    ck_assert_ptr_nonnull(strstr(error->message, "a.readbreak"));
    g_clear_error(&error);
    /* STRICT tables refuse a text where a number belongs. */
    g_autoptr(RbStatement) wrong = rb_statement_new(
        store, "INSERT INTO snap (id, down) VALUES (1, 'third')", &error);
    rb_assert_no_error(error);
    ck_assert(!rb_statement_run(wrong, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_FAILED));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_statement__more_values_than_places_abort)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbStatement) query = rb_statement_new(store, "SELECT ?", NULL);
    rb_statement_bind_int(query, 1);
    rb_statement_bind_int(query, 2);
}
END_TEST

START_TEST(test_statement__a_column_that_is_not_there_aborts)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbStatement) query = rb_statement_new(store, "SELECT 1 AS x", NULL);
    ck_assert_int_eq(rb_statement_step(query, NULL), RB_STEP_ROW);
    rb_statement_get_int(query, "y");
}
END_TEST

/* Each code of the engine that a person meets has its own sentence. */
START_TEST(test_statement__codes_of_the_engine_become_sentences)
{
    static const struct {
        int code;
        RbStoreError error;
        const char *part;
    } cases[] = {
        { SQLITE_BUSY, RB_STORE_ERROR_LOCKED, "in use" },
        { SQLITE_BUSY_SNAPSHOT, RB_STORE_ERROR_LOCKED, "in use" },
        { SQLITE_FULL, RB_STORE_ERROR_FULL, "full" },
        { SQLITE_READONLY_DBMOVED, RB_STORE_ERROR_READ_ONLY, "not changed" },
        { SQLITE_CORRUPT, RB_STORE_ERROR_DAMAGED, "damaged" },
        { SQLITE_NOTADB, RB_STORE_ERROR_DAMAGED, "damaged" },
        { SQLITE_PERM, RB_STORE_ERROR_PERMISSION, "not allowed" },
        { SQLITE_IOERR_FSYNC, RB_STORE_ERROR_FAILED, "drive" },
        { SQLITE_CANTOPEN, RB_STORE_ERROR_FAILED, "drive" },
        { SQLITE_CONSTRAINT, RB_STORE_ERROR_FAILED, "did not do" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(cases); i++) {
        GError *error = NULL;
        ck_assert(!rb_sqlite_error(&error, NULL, cases[i].code, "/x/lib.readbreak"));
        ck_assert(g_error_matches(error, RB_STORE_ERROR, (int)cases[i].error));
        ck_assert_ptr_nonnull(strstr(error->message, cases[i].part));
        ck_assert_ptr_nonnull(strstr(error->message, "/x/lib.readbreak"));
        g_clear_error(&error);
    }
}
END_TEST

TCase *rb_case_statement(void)
{
    TCase *tcase = rb_case_new("statement");
    tcase_add_test(tcase, test_statement__binds_in_order_and_reads_by_name);
    tcase_add_test(tcase, test_statement__the_same_text_twice_at_once);
    tcase_add_test(tcase, test_statement__a_reused_one_has_forgotten_its_values);
    tcase_add_test(tcase, test_statement__errors_name_the_library);
    tcase_add_test_raise_signal(tcase, test_statement__more_values_than_places_abort,
                                SIGABRT);
    tcase_add_test_raise_signal(tcase, test_statement__a_column_that_is_not_there_aborts,
                                5);
    tcase_add_test(tcase, test_statement__codes_of_the_engine_become_sentences);
    return tcase;
}
