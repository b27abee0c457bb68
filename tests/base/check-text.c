/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/random.h"
#include "rb/base/text.h"

#include "suite.h"

TCase *rb_case_text(void);

static void expect(char *found, const char *wanted)
{
    ck_assert_str_eq(found, wanted);
    g_free(found);
}

START_TEST(test_text__gaps_are_filled_in_any_order)
{
    expect(rb_text_fill("{who} ran {route}.", "who", "#2", "route", "a go", NULL),
           "#2 ran a go.");
    expect(rb_text_fill("{route}: {who}, {who}", "who", "#2", "route", "a go", NULL),
           "a go: #2, #2");
    expect(rb_text_fill("nothing to fill", "who", "#2", NULL), "nothing to fill");
    expect(rb_text_fill("", NULL), "");
    expect(rb_text_fill("{a}{b}", "a", "", "b", "x", NULL), "x");
}
END_TEST

START_TEST(test_text__what_is_filled_in_is_not_searched)
{
    expect(rb_text_fill("{a} and {b}", "a", "{b}", "b", "{a}", NULL), "{b} and {a}");
}
END_TEST

START_TEST(test_text__what_is_no_gap_stays)
{
    expect(rb_text_fill("{c} {a", "a", "x", NULL), "{c} {a");
    expect(rb_text_fill("{{a}}", "a", "x", NULL), "{x}");
    expect(rb_text_fill("{} } {", "a", "x", NULL), "{} } {");
    expect(rb_text_fill("{ab} {a}", "a", "x", NULL), "{ab} x");
}
END_TEST

/* Any text, gaps or not: without arguments it comes back as it was. */
START_TEST(test_text__any_pattern_comes_back_whole)
{
    static const char letters[] = "{}a b";
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(11));
    for (int i = 0; i < 20000; i++) {
        char pattern[12];
        const int length = rb_random_int(&random, 0, (int)sizeof pattern - 1);
        for (int k = 0; k < length; k++) {
            pattern[k] = letters[rb_random_int(&random, 0, (int)sizeof letters - 2)];
        }
        pattern[length] = '\0';
        expect(rb_text_fill(pattern, NULL), pattern);
        expect(rb_text_fill(pattern, "a", "{a}", "", "{}", NULL), pattern);
    }
}
END_TEST

/* man-pages(7), groff(7): "\\e" prints the escape character, "\\-" a minus that can be copied, "\\&" is
 * nothing, so that a line does not start with a control character. */
START_TEST(test_text__roff_gives_no_character_a_meaning)
{
    expect(rb_text_to_roff("--json a\\b"), "\\-\\-json a\\eb");
    expect(rb_text_to_roff(".TH\n'x\ny.z"), "\\&.TH\n\\&'x\ny.z");
    expect(rb_text_to_roff(""), "");
}
END_TEST

TCase *rb_case_text(void)
{
    TCase *tcase = rb_case_new("text");
    tcase_add_test(tcase, test_text__gaps_are_filled_in_any_order);
    tcase_add_test(tcase, test_text__what_is_filled_in_is_not_searched);
    tcase_add_test(tcase, test_text__what_is_no_gap_stays);
    tcase_add_test(tcase, test_text__any_pattern_comes_back_whole);
    tcase_add_test(tcase, test_text__roff_gives_no_character_a_meaning);
    return tcase;
}
