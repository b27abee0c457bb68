/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Told text without a catalogue: here the reader's language is the program's own. What is read in
 * another is in tests/cli/check-language.py. */
#include <inttypes.h>
#include <limits.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/base/told.h"

#include "suite.h"

TCase *rb_case_told(void);

/* Shown as it is told, and as it is kept. */
static void expect(char *told, const char *wanted)
{
    g_autofree char *shown = rb_told_show(told);
    g_autofree char *kept = rb_told_to_keep(told);
    g_autofree char *read = rb_told_show(kept);
    ck_assert_str_eq(shown, wanted);
    ck_assert_str_eq(read, wanted);
    /* A program that knows nothing of told text shows the sentence first. */
    ck_assert(g_str_has_prefix(kept, wanted));
    g_free(told);
}

static void expect_shown(const char *text, const char *wanted)
{
    g_autofree char *shown = rb_told_show(text);
    ck_assert_str_eq(shown, wanted);
}

START_TEST(test_told__a_sentence_is_shown_as_printf_says)
{
    expect(rb_told("Quiz answered"), "Quiz answered");
    expect(rb_told("%s of snap %d set to %s", "coverage", 34, "Cover 3"),
           "coverage of snap 34 set to Cover 3");
    expect(rb_told("frame %" PRId64 " of %u, %ld, %i", INT64_MIN, UINT_MAX, LONG_MAX, -7),
           "frame -9223372036854775808 of 4294967295, 9223372036854775807, -7");
    expect(rb_told("%.2f s instead of %.1f s", 1.2, -0.25), "1.20 s instead of -0.2 s");
    expect(rb_told("%d%% of %s", 40, "all"), "40% of all");
    expect(rb_told("%s|%s", "", (const char *)NULL), "|");
    expect(rb_told_in("angle", "wide"), "wide");
    expect(rb_told_in("yard line", "own %d", 25), "own 25");
    expect(rb_told_word("Left corner"), "Left corner");
}
END_TEST

START_TEST(test_told__one_and_many)
{
    expect(rb_told_many("%d snap added", "%d snaps added", 1, 1), "1 snap added");
    expect(rb_told_many("%d snap added", "%d snaps added", 0, 0), "0 snaps added");
    expect(rb_told_many("snap %s cleared", "snaps %s cleared", 3, "3, 5 and 9"),
           "snaps 3, 5 and 9 cleared");
    expect(rb_told_many("%lu", "%lu.", ULONG_MAX, ULONG_MAX), "18446744073709551615.");
}
END_TEST

START_TEST(test_told__sentences_stand_in_sentences)
{
    g_autofree char *label = rb_told_word("Left corner");
    g_autofree char *lower = rb_told_lower(label);
    g_autofree char *spot = rb_told_in("yard line", "own %d", 25);
    g_autofree char *what = rb_told("%s of snap %d set to %s", lower, 34, spot);
    expect(rb_told("%s (%s)", what, "Week 3"),
           "left corner of snap 34 set to own 25 (Week 3)");
    g_autoptr(GString) list = g_string_new(NULL);
    rb_told_list(list, lower);
    rb_told_list(list, "and \x1f more");
    rb_told_list(list, spot);
    expect(g_strdup(list->str), "left corner, and  more, own 25");
    g_autofree char *upper = g_strdup("\xc3\x81RBOL");
    expect(rb_told_lower(upper), "\xc3\xa1rbol");
}
END_TEST

/* As deep as it may go; one deeper and the sentence kept in front is what is left. */
START_TEST(test_told__depth_is_bounded)
{
    g_autofree char *told = g_strdup("x");
    for (int i = 0; i < 10; i++) {
        char *next = rb_told("(%s)", told);
        g_free(told);
        told = next;
    }
    expect(g_strdup(told), "((((((((((x))))))))))");
    g_autofree char *deep = g_strconcat("front\x1e\x02=\x1f(%s)\x1f", told, "\x03", NULL);
    expect_shown(deep, "front");
}
END_TEST

START_TEST(test_told__plain_text_stays_as_it_is)
{
    static const char *const rows[] = {
        "",
        "Sample",
        "Coverage of snap 34",
        "100 % sure, %s and %d",
        "two\nlines\tand tab",
        "cobertura de la jugada 3 (\xc3\xb1)",
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *kept = rb_told_to_keep(rows[i]);
        ck_assert_str_eq(kept, rows[i]);
        expect_shown(rows[i], rows[i]);
    }
}
END_TEST

/* What is kept once is kept the same again: undo copies the words of what it takes back. */
START_TEST(test_told__kept_text_is_kept_as_it_is)
{
    g_autofree char *told = rb_told("%s logged", "Week 3");
    g_autofree char *once = rb_told_to_keep(told);
    g_autofree char *twice = rb_told_to_keep(once);
    ck_assert_str_eq(once, "Week 3 logged\x1e\x02=\x1f%s logged\x1fWeek 3\x03");
    ck_assert_str_eq(twice, once);
}
END_TEST

/* A name that looks like told text is a name. */
START_TEST(test_told__what_fills_a_place_is_only_text)
{
    expect(rb_told("%s!", "%s%d%n%1$s%%"), "%s%d%n%1$s%%!");
    expect(rb_told("%s!", "a\x03"
                          "b\x1f"
                          "c\x02=\x1f"
                          "d\x1e"
                          "e"),
           "abc=de!");
    g_autofree char *told = rb_told("%s!", "bad \xff\xc3 bytes");
    g_autofree char *shown = rb_told_show(told);
    ck_assert(g_utf8_validate(shown, -1, NULL));
    ck_assert(g_str_has_prefix(shown, "bad "));
    ck_assert(g_str_has_suffix(shown, " bytes!"));
}
END_TEST

/* Another laptop's row may hold anything; what makes no sense shows the sentence before it. */
START_TEST(test_told__malformed_rows_show_the_sentence_before)
{
    static const char *const bad[] = {
        "\x02",
        "\x02=",
        "\x02=\x1f",
        "\x02=\x1f\x03",           /* an empty message is the head of a catalogue */
        "\x02=\x1f%s\x03",         /* nothing for the place */
        "\x02=\x1f%2$s\x1fx\x03",  /* nor for the second */
        "\x02=\x1f%s %s\x1fx\x03", /* one for two */
        "\x02=\x1fx",              /* no end */
        "\x02=\x1fx\x03\x03",      /* two */
        "\x02=\x1fx\x1e\x03",      /* kept within told */
        "\x02?\x1fx\x03",          /* a kind of no program */
        "\x02=x\x03",              /* no field */
        "\x02@\x1f"
        "angle\x03", /* a context alone */
        "\x02@\x1f"
        "angle\x1f\x03",
        "\x02#\x1f"
        "a\x1f"
        "b\x03", /* no number */
        "\x02#\x1f"
        "a\x1f"
        "b\x1fx\x03", /* none that counts */
        "\x02#\x1f"
        "a\x1f"
        "b\x1f-1\x03",
        "\x02#\x1f"
        "a\x1f"
        "b\x1f"
        "99999999999999999999\x03",
        "\x02_\x1f"
        "a\x1f"
        "b\x03",
        "\x02=\x1f%s\x1f\x02=\x1f%s\x03\x03", /* within */
    };
    for (size_t i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autofree char *row = g_strconcat("The sentence", "\x1e", bad[i], NULL);
        expect_shown(row, "The sentence");
        g_autofree char *alone = rb_told_show(bad[i]);
        ck_assert_ptr_null(strpbrk(alone, "\x02\x03\x1e\x1f"));
    }
    expect_shown("The sentence\x1e", "The sentence");
    expect_shown("The sentence\x1eplain", "plain");
}
END_TEST

/* A translation may number its places; a format that no translation has is text. */
START_TEST(test_told__places_of_a_foreign_row)
{
    expect_shown("e\x1e\x02=\x1f%2$s of %1$s, %2$d\x1f"
                 "a\x1f"
                 "b\x03",
                 "b of a, b");
    expect_shown("e\x1e\x02=\x1f%n %x %*d %Z %5d % d %\x1f"
                 "a\x03",
                 "%n %x %*d %Z %5d % d %");
    expect_shown("e\x1e\x02=\x1f%99$s\x1f"
                 "a\x03",
                 "e");
    expect_shown("e\x1e\x02=\x1f%0$s\x1f"
                 "a\x03",
                 "%0$s");
    expect_shown("e\x1e\x02=\x1f%.1f\x1f"
                 "no number\x03",
                 "no number");
    expect_shown("e\x1e\x02=\x1f%lls\x1f"
                 "a\x03",
                 "a");
}
END_TEST

/* A row that says itself many times over stays small, and is read at once. */
START_TEST(test_told__a_row_that_grows_is_given_up)
{
    g_autoptr(GString) told = g_string_new("x");
    for (int i = 0; i < 9; i++) {
        g_autofree char *inner = g_strdup(told->str);
        g_string_assign(told, "\x02=\x1f");
        for (int k = 0; k < 500; k++) {
            g_string_append(told, "%1$s");
        }
        g_string_append_printf(told, "\x1f%s\x03", inner);
    }
    g_autofree char *row = g_strconcat("front", "\x1e", told->str, NULL);
    expect_shown(row, "front");
    g_autofree char *longest = g_strnfill(70 << 10, 'x');
    g_autofree char *too_long = g_strconcat("front", "\x1e", longest, NULL);
    expect_shown(too_long, "front");
}
END_TEST

/* Any bytes: what comes out is text without marks, and never a crash. */
START_TEST(test_told__any_row_is_shown)
{
    static const char letters[] = "\x02\x03\x1e\x1f=@#_%sd1$2.f ab\xc3\xa1\xff";
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(23));
    for (int i = 0; i < 50000; i++) {
        char row[40];
        const int length = rb_random_int(&random, 0, (int)sizeof row - 1);
        for (int k = 0; k < length; k++) {
            row[k] = letters[rb_random_int(&random, 0, (int)sizeof letters - 2)];
        }
        row[length] = '\0';
        g_autofree char *shown = rb_told_show(row);
        ck_assert(g_utf8_validate(shown, -1, NULL));
        ck_assert_ptr_null(strpbrk(shown, "\x02\x03\x1e\x1f"));
        g_autofree char *told = rb_told("%s, %s", row, "end");
        g_autofree char *whole = rb_told_show(told);
        ck_assert(g_str_has_suffix(whole, ", end"));
    }
}
END_TEST

TCase *rb_case_told(void)
{
    TCase *tcase = tcase_create("told");
    tcase_add_test(tcase, test_told__a_sentence_is_shown_as_printf_says);
    tcase_add_test(tcase, test_told__one_and_many);
    tcase_add_test(tcase, test_told__sentences_stand_in_sentences);
    tcase_add_test(tcase, test_told__depth_is_bounded);
    tcase_add_test(tcase, test_told__plain_text_stays_as_it_is);
    tcase_add_test(tcase, test_told__kept_text_is_kept_as_it_is);
    tcase_add_test(tcase, test_told__what_fills_a_place_is_only_text);
    tcase_add_test(tcase, test_told__malformed_rows_show_the_sentence_before);
    tcase_add_test(tcase, test_told__places_of_a_foreign_row);
    tcase_add_test(tcase, test_told__a_row_that_grows_is_given_up);
    tcase_add_test(tcase, test_told__any_row_is_shown);
    return tcase;
}
