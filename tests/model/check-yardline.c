/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/yardline.h"

#include "suite.h"

TCase *rb_case_yardline(void);

START_TEST(test_yardline__text_reads_back)
{
    for (int line = 1; line <= 99; line++) {
        g_autofree char *text = rb_yardline_token(line);
        int parsed = 0;
        ck_assert(rb_yardline_parse(text, &parsed, NULL));
        ck_assert_int_eq(parsed, line);
    }
}
END_TEST

/* Without a language the words for people are those that are stored; with one, see the test of the
 * command line. */
START_TEST(test_yardline__label_reads_back)
{
    for (int line = 1; line <= 99; line++) {
        g_autofree char *label = rb_yardline_label(line);
        g_autofree char *token = rb_yardline_token(line);
        int parsed = 0;
        ck_assert_str_eq(label, token);
        ck_assert(rb_yardline_parse(label, &parsed, NULL));
        ck_assert_int_eq(parsed, line);
    }
}
END_TEST

START_TEST(test_yardline__accepts)
{
    static const struct {
        const char *text;
        int line;
    } rows[] = {
        { "own 25", 75 }, { "Own25", 75 },   { "o25", 75 },    { " O 1 ", 99 },
        { "-25", 75 },    { "- 25", 75 },    { "opp 40", 40 }, { "OPPONENT 40", 40 },
        { "+40", 40 },    { "opp 1", 1 },    { "50", 50 },     { "own 50", 50 },
        { "opp 50", 50 }, { "own\t03", 97 },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        int line = 0;
        GError *error = NULL;
        ck_assert_msg(rb_yardline_parse(rows[i].text, &line, &error), "%s", rows[i].text);
        rb_assert_no_error(error);
        ck_assert_int_eq(line, rows[i].line);
    }
}
END_TEST

START_TEST(test_yardline__refuses_with_a_sentence)
{
    static const char *const rows[] = {
        "",           "25",
        "own",        "own 0",
        "own 51",     "opp 99",
        "own 2 5 5",  "their 3",
        "own 25x",    "own -25",
        "own 25.5",   "++40",
        "\xff\xfe 3", "own 999999999999",
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        int line = 7;
        g_autoptr(GError) error = NULL;
        ck_assert_msg(!rb_yardline_parse(rows[i], &line, &error), "%s", rows[i]);
        ck_assert_ptr_nonnull(error);
        ck_assert(g_str_has_suffix(error->message, "."));
        ck_assert(g_utf8_validate(error->message, -1, NULL));
        ck_assert_int_eq(line, 7);
    }
    g_autoptr(GError) half = NULL;
    int line = 0;
    ck_assert(!rb_yardline_parse("25", &line, &half));
    ck_assert_str_eq(half->message, "The yard line 25 does not say which half; write "
                                    "\"own 25\" or \"opp 25\".");
}
END_TEST

TCase *rb_case_yardline(void)
{
    TCase *tcase = rb_case_new("yardline");
    tcase_add_test(tcase, test_yardline__text_reads_back);
    tcase_add_test(tcase, test_yardline__label_reads_back);
    tcase_add_test(tcase, test_yardline__accepts);
    tcase_add_test(tcase, test_yardline__refuses_with_a_sentence);
    return tcase;
}
