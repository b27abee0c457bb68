/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Damaged playbook files: never a crash, always a line and a reason, or a valid playbook. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/book/check.h"

#include "suite.h"

TCase *rb_case_mutated(void);

enum { KINDS = 6, RUNS = 10000 };

/* Pieces that are valid somewhere, so that mutations get past the syntax. */
static const char *const pieces[] = {
    "\"read\": 7",
    "\"do\": \"front\"",
    "null",
    "true",
    "[]",
    "{}",
    "\"\"",
    "-1",
    "99999999999999999999",
    "\"x\": 1,",
    "\"number\": 1",
    "\\u0000",
    "\"unknown\"",
    "]",
    "}",
};

static void mutate_once(GString *text, RbRandom *random)
{
    const int size = (int)text->len;
    const int at = rb_random_int(random, 0, size - 1);
    const int wanted = rb_random_int(random, 1, 40);
    const int length = MIN(wanted, size - at);
    switch (rb_random_int(random, 0, KINDS - 1)) {
    case 0:
        text->str[at] = (char)rb_random_int(random, 0, 255);
        break;
    case 1:
        g_string_erase(text, at, length);
        break;
    case 2: {
        g_autofree char *copy = g_strndup(text->str + at, (gsize)length);
        g_string_insert(text, rb_random_int(random, 0, size), copy);
        break;
    }
    case 3:
        g_string_insert(text, at,
                        pieces[rb_random_int(random, 0, G_N_ELEMENTS(pieces) - 1)]);
        break;
    case 4:
        g_string_truncate(text, (gsize)at + 1);
        break;
    default: {
        /* a digit, so that numbers leave their range or their meaning */
        char *digit = strpbrk(text->str + at, "0123456789");
        if (digit != NULL) {
            *digit = (char)('0' + rb_random_int(random, 0, 9));
        }
        break;
    }
    }
}

static void check_accepted(const GPtrArray *concepts, const GPtrArray *terms)
{
    g_autofree char *first = rb_book_print(concepts, terms);
    GPtrArray *again = NULL;
    GError *error = NULL;
    rb_book_parse(first, strlen(first), terms, &again, &error);
    rb_assert_no_error(error);
    g_autofree char *second = rb_book_print(again, terms);
    ck_assert_str_eq(first, second);
    for (guint i = 0; i < concepts->len; i++) {
        g_ptr_array_unref(rb_book_check(g_ptr_array_index(concepts, i), terms, NULL));
    }
    g_ptr_array_unref(again);
}

static int lines_of(const GString *text)
{
    int lines = 1;
    for (gsize i = 0; i < text->len; i++) {
        lines += text->str[i] == '\n' ? 1 : 0;
    }
    return lines;
}

static void check_refused(const GError *error, const GString *text)
{
    ck_assert_msg(g_str_has_prefix(error->message, "Line "), "%s", error->message);
    char *end = NULL;
    const long line = strtol(error->message + 5, &end, 10);
    ck_assert_msg(line >= 1 && line <= lines_of(text), "%s", error->message);
    ck_assert_msg(g_str_has_prefix(end, ": ") && strlen(end) > 6, "%s", error->message);
}

START_TEST(test_mutated__a_line_and_a_reason_or_a_playbook)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(4));
    int accepted = 0;
    const int cases = rb_test_some(RUNS);
    for (int i = 0; i < cases; i++) {
        g_autoptr(GString) text = g_string_new(rb_book_starter_text());
        for (int k = rb_random_int(&random, 1, 3); k > 0 && text->len > 0; k--) {
            mutate_once(text, &random);
        }
        GPtrArray *concepts = NULL;
        g_autoptr(GError) error = NULL;
        if (rb_book_parse(text->str, text->len, terms, &concepts, &error)) {
            check_accepted(concepts, terms);
            g_ptr_array_unref(concepts);
            accepted++;
        } else {
            check_refused(error, text);
        }
    }
    printf("%d of %d accepted\n", accepted, cases);
    ck_assert_int_gt(accepted, 0);
    ck_assert_int_lt(accepted, cases);
}
END_TEST

TCase *rb_case_mutated(void)
{
    TCase *tcase = rb_case_new("mutated");
    tcase_add_test(tcase, test_mutated__a_line_and_a_reason_or_a_playbook);
    return tcase;
}
