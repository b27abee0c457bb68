/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>

#include "rb/model/vocabulary.h"

#include "suite.h"

TCase *rb_case_vocabulary(void);

START_TEST(test_vocabulary__default_ids_differ_and_are_found)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    for (guint i = 0; i < terms->len; i++) {
        const RbTerm *term = g_ptr_array_index(terms, i);
        ck_assert_int_gt(term->id.value, 0);
        ck_assert_ptr_eq(rb_vocabulary_find(terms, term->id), term);
        ck_assert_ptr_eq(rb_vocabulary_find_text(terms, term->kind, term->token), term);
        ck_assert_ptr_eq(rb_vocabulary_find_text(terms, term->kind, term->name), term);
        ck_assert(!term->hidden);
    }
}
END_TEST

START_TEST(test_vocabulary__default_order_counts_by_kind)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    int count[RB_TERM_FOUL + 1] = { 0 };
    for (guint i = 0; i < terms->len; i++) {
        const RbTerm *term = g_ptr_array_index(terms, i);
        ck_assert_int_eq(term->sort, ++count[term->kind]);
    }
    for (int kind = 0; kind <= RB_TERM_FOUL; kind++) {
        ck_assert_int_gt(count[kind], 0);
    }
}
END_TEST

START_TEST(test_vocabulary__families_of_coverages)
{
    /* Families and deep defenders: common practice, no source. */
    static const struct {
        const char *token;
        RbFamily family;
        int deep;
    } rows[] = {
        { "cover-0", RB_FAMILY_MAN, 0 },  { "cover-1", RB_FAMILY_MAN, 1 },
        { "cover-2", RB_FAMILY_ZONE, 2 }, { "two-man", RB_FAMILY_MAN, 2 },
        { "cover-3", RB_FAMILY_ZONE, 3 }, { "quarters", RB_FAMILY_MATCH, 4 },
    };
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        const RbTerm *term =
            rb_vocabulary_find_text(terms, RB_TERM_COVERAGE, rows[i].token);
        ck_assert_ptr_nonnull(term);
        ck_assert_int_eq(term->family, rows[i].family);
        ck_assert_int_eq(term->deep, rows[i].deep);
    }
}
END_TEST

START_TEST(test_vocabulary__ids_are_the_same_everywhere)
{
    /* SHA-256 of "4:term8:coverage7:cover-3", first 63 bits; from coreutils' sha256sum. */
    ck_assert_int_eq(rb_term_id(RB_TERM_COVERAGE, "cover-3").value,
                     INT64_C(6133296991301083913));
    ck_assert_int_ne(rb_term_id(RB_TERM_COVERAGE, "other").value,
                     rb_term_id(RB_TERM_FORMATION, "other").value);
}
END_TEST

START_TEST(test_vocabulary__finds_by_token_before_name)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    RbTerm *trap = rb_term_new(RB_TERM_COVERAGE, "mine", "Cover-3");
    g_ptr_array_insert(terms, 0, trap);
    const RbTerm *found = rb_vocabulary_find_text(terms, RB_TERM_COVERAGE, "COVER-3");
    ck_assert_ptr_nonnull(found);
    ck_assert_str_eq(found->token, "cover-3");
    ck_assert_ptr_null(rb_vocabulary_find_text(terms, RB_TERM_FORMATION, "cover-3"));
    ck_assert_ptr_null(rb_vocabulary_find_text(terms, RB_TERM_COVERAGE, "cover"));
    ck_assert_str_eq(rb_vocabulary_name(terms, found->id), "Cover 3");
    ck_assert_str_eq(rb_vocabulary_name(terms, (RbTermId){ 0 }), "?");
}
END_TEST

START_TEST(test_vocabulary__copy_owns_its_text)
{
    RbTerm *term = rb_term_new(RB_TERM_MOTION, "jet", "Jet");
    g_autoptr(RbTerm) copy = rb_term_copy(term);
    rb_term_free(term);
    ck_assert_str_eq(copy->token, "jet");
    ck_assert_str_eq(copy->name, "Jet");
    ck_assert_int_eq(copy->deep, -1);
    rb_term_free(NULL);
}
END_TEST

START_TEST(test_vocabulary__tokens_of_made_up_words)
{
    static const char *const rows[][2] = {
        { "Trick play", "trick-play" },
        { "  TRICK   play! ", "trick-play" },
        { "2-minute", "2-minute" },
        { "\u00c9cran / pi\u00e8ge", "\u00e9cran-pi\u00e8ge" },
        { "E\u0301cran", "\u00e9cran" },
        { "!!!", "" },
        { "", "" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *token = rb_term_token(rows[i][0]);
        g_autofree char *again = rb_term_token(token);
        ck_assert_str_eq(token, rows[i][1]);
        ck_assert_str_eq(again, token);
    }
}
END_TEST

TCase *rb_case_vocabulary(void)
{
    TCase *tcase = rb_case_new("vocabulary");
    tcase_add_test(tcase, test_vocabulary__default_ids_differ_and_are_found);
    tcase_add_test(tcase, test_vocabulary__default_order_counts_by_kind);
    tcase_add_test(tcase, test_vocabulary__families_of_coverages);
    tcase_add_test(tcase, test_vocabulary__ids_are_the_same_everywhere);
    tcase_add_test(tcase, test_vocabulary__finds_by_token_before_name);
    tcase_add_test(tcase, test_vocabulary__copy_owns_its_text);
    tcase_add_test(tcase, test_vocabulary__tokens_of_made_up_words);
    return tcase;
}
