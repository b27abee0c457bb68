/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>

#include "rb/base/ids.h"

#include "suite.h"

TCase *rb_case_ids(void);

START_TEST(test_ids__hash_is_the_same_everywhere)
{
    /* First 63 bits of SHA-256, from Python's hashlib: of "2:ab1:c", "1:a2:bc", "" and
     * "5:chart1:51:9". */
    ck_assert_int_eq(rb_id_from_text("ab", "c", NULL), INT64_C(2416138157367072951));
    ck_assert_int_eq(rb_id_from_text("a", "bc", NULL), INT64_C(2992732953152064857));
    ck_assert_int_eq(rb_id_from_text(NULL, NULL), INT64_C(8203414616412130826));
    ck_assert_int_eq(rb_id_from_pair("chart", 5, 9), INT64_C(5991762383914763453));
}
END_TEST

START_TEST(test_ids__pairs_differ)
{
    ck_assert_int_ne(rb_id_from_pair("chart", 5, 9), rb_id_from_pair("chart", 9, 5));
    ck_assert_int_ne(rb_id_from_pair("chart", 5, 9), rb_id_from_pair("read", 5, 9));
    ck_assert_int_eq(rb_id_from_pair("chart", 5, 9),
                     rb_id_from_text("chart", "5", "9", NULL));
    ck_assert_int_gt(rb_id_from_pair("chart", INT64_MIN, INT64_MAX), 0);
}
END_TEST

START_TEST(test_ids__random_ones_are_positive_and_differ)
{
    g_autoptr(GHashTable) seen =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    int64_t all_bits = 0;
    for (int i = 0; i < 2000; i++) {
        const int64_t id = rb_id_random();
        ck_assert_int_gt(id, 0);
        all_bits |= id;
        ck_assert(g_hash_table_add(seen, g_memdup2(&id, sizeof id)));
    }
    ck_assert_int_eq(all_bits, INT64_MAX); /* every one of the 63 bits is used */
}
END_TEST

START_TEST(test_ids__parse_reads_what_is_printed)
{
    static const int64_t ids[] = { 1, 42, INT64_C(6133296991301083913), INT64_MAX };
    for (size_t i = 0; i < G_N_ELEMENTS(ids); i++) {
        g_autofree char *text = g_strdup_printf("%" G_GINT64_FORMAT, ids[i]);
        int64_t id = 0;
        ck_assert(rb_id_parse(text, &id));
        ck_assert_int_eq(id, ids[i]);
    }
}
END_TEST

START_TEST(test_ids__parse_refuses)
{
    static const char *const rows[] = { "",
                                        "0",
                                        "-1",
                                        "+1",
                                        " 1",
                                        "1 ",
                                        "0x1",
                                        "01",
                                        "1.0",
                                        "1e3",
                                        "abc",
                                        "9223372036854775808",
                                        "99999999999999999999999" };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        int64_t id = 7;
        ck_assert_msg(!rb_id_parse(rows[i], &id), "%s", rows[i]);
        ck_assert_int_eq(id, 7);
    }
    int64_t id = 7;
    ck_assert(!rb_id_parse(NULL, &id));
}
END_TEST

TCase *rb_case_ids(void)
{
    TCase *tcase = rb_case_new("ids");
    tcase_add_test(tcase, test_ids__hash_is_the_same_everywhere);
    tcase_add_test(tcase, test_ids__pairs_differ);
    tcase_add_test(tcase, test_ids__random_ones_are_positive_and_differ);
    tcase_add_test(tcase, test_ids__parse_reads_what_is_printed);
    tcase_add_test(tcase, test_ids__parse_refuses);
    return tcase;
}
