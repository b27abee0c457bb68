/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/book/check.h"

#include "suite.h"

TCase *rb_case_starter(void);

START_TEST(test_starter__has_at_least_twelve_sound_concepts)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    g_autoptr(GPtrArray) concepts = rb_book_starter(terms);
    ck_assert_uint_ge(concepts->len, 12);
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = g_ptr_array_index(concepts, i);
        ck_assert_uint_ge(concept->reads->len, 3);
        ck_assert_uint_ge(concept->rules->len, 1);
        ck_assert_msg(strstr(concept->notes, "An example: make it your own.") != NULL,
                      "%s is not marked as an example", concept->token);
        g_autoptr(GPtrArray) findings = rb_book_check(concept, terms, NULL);
        for (guint k = 0; k < findings->len; k++) {
            const RbBookFinding *finding = g_ptr_array_index(findings, k);
            ck_abort_msg("%s: %s", concept->token, finding->sentence);
        }
    }
}
END_TEST

START_TEST(test_starter__every_live_read_has_a_clock)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    g_autoptr(GPtrArray) concepts = rb_book_starter(terms);
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = g_ptr_array_index(concepts, i);
        for (guint k = 0; k < concept->reads->len; k++) {
            const RbRead *read = g_ptr_array_index(concept->reads, k);
            int ms = 0;
            ck_assert(rb_clock_ms(&read->clock, rb_footwork_defaults(), &ms));
            /* A whole play's clock is about a three-count (coaching literature). */
            ck_assert_int_ge(ms, 1000);
            ck_assert_int_le(ms, 4000);
        }
    }
}
END_TEST

TCase *rb_case_starter(void)
{
    TCase *tcase = rb_case_new("starter");
    tcase_add_test(tcase, test_starter__has_at_least_twelve_sound_concepts);
    tcase_add_test(tcase, test_starter__every_live_read_has_a_clock);
    return tcase;
}
