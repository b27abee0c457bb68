/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/report/text.h"
#include "rb/stats/measure.h"

#include "figures.h"
#include "suite.h"

TCase *rb_case_text(void);

/* Unicode Standard Annex 11 (East Asian Width): W and F take two places; combining marks
 * none. */
START_TEST(test_text__width_is_what_a_terminal_shows)
{
    static const struct {
        const char *text;
        int width;
    } rows[] = {
        { "", 0 },
        { NULL, 0 },
        { "Curl-flat", 9 },
        { "\u00e9t\u00e9", 3 },
        { "e\u0301te\u0301", 3 }, /* combining acute */
        { "\u65e5\u672c", 4 },    /* CJK */
        { "\uff21", 2 },          /* fullwidth A */
        { "\uac00", 2 },          /* Hangul */
        { "a\u200bb", 2 },        /* zero width space */
        { "\u2212"
          "4.1",
          4 },             /* minus */
        { "\t", 1 },       /* a space in its place */
        { "\x1b[31m", 5 }, /* shown, not obeyed */
        { "\xff", 1 },     /* not UTF-8 */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_assert_msg(rb_text_width(rows[i].text) == rows[i].width, "row %zu: %d", i,
                      rb_text_width(rows[i].text));
    }
}
END_TEST

START_TEST(test_text__columns_line_up)
{
    static const RbAlign aligns[] = { RB_ALIGN_LEFT, RB_ALIGN_RIGHT };
    g_autoptr(RbTextTable) table = rb_text_table_new(2, aligns);
    rb_text_table_row(table, (const char *[]){ "Concept", "n" });
    rb_text_table_rule(table);
    rb_text_table_row(table, (const char *[]){ "Snag", "12" });
    rb_text_table_row(table, (const char *[]){ "\u65e5\u672c", "9" });
    rb_text_table_row(table, (const char *[]){ "e\u0301", NULL });
    g_autofree char *text = rb_text_table_print(table, 0);
    ck_assert_str_eq(text, "Concept   n\n"
                           "───────────\n"
                           "Snag     12\n"
                           "\u65e5\u672c      9\n"
                           "e\u0301\n");
}
END_TEST

START_TEST(test_text__long_cells_are_cut)
{
    static const RbAlign aligns[] = { RB_ALIGN_LEFT, RB_ALIGN_LEFT };
    g_autoptr(RbTextTable) table = rb_text_table_new(2, aligns);
    rb_text_table_row(table, (const char *[]){ "A long name", "x" });
    rb_text_table_row(table, (const char *[]){ "\u65e5\u672c\u65e5\u672c", "y" });
    g_autofree char *text = rb_text_table_print(table, 6);
    ck_assert_str_eq(text, "A lon…  x\n"
                           "\u65e5\u672c…   y\n");
}
END_TEST

START_TEST(test_text__hostile_names_can_do_nothing)
{
    static const RbAlign aligns[] = { RB_ALIGN_LEFT };
    g_autoptr(RbTextTable) table = rb_text_table_new(1, aligns);
    rb_text_table_row(table, (const char *[]){ "\x1b[2Jgone\r\n\x07\u202e\xc0\x80" });
    g_autofree char *text = rb_text_table_print(table, 0);
    ck_assert(g_utf8_validate(text, -1, NULL));
    for (const char *at = text; *at != '\0'; at = g_utf8_next_char(at)) {
        ck_assert(*at == '\n' || !g_unichar_iscntrl(g_utf8_get_char(at)));
    }
    ck_assert_ptr_null(strstr(text, "\u202e"));
    ck_assert_int_eq(text[strlen(text) - 1], '\n');
    ck_assert_ptr_eq(strchr(text, '\n'), text + strlen(text) - 1);
}
END_TEST

/* No line wider than asked, every figure there, in any width that fits one column. */
START_TEST(test_text__pairings_keep_to_the_width)
{
    RbExampleReport example;
    rb_example_report_init(&example);
    static const int widths[] = { 0, 200, 100, 80, 40 };
    g_autofree RbMeasured *figures = g_new0(RbMeasured, example.pairings.n_cells);
    rb_pairings_measure(&example.pairings, RB_MEASURE_SUCCESS, figures);
    for (size_t i = 0; i < sizeof widths / sizeof widths[0]; i++) {
        g_autofree char *text =
            rb_pairings_text(&example.pairings, &example.report.names, widths[i]);
        g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
        for (int l = 0; lines[l] != NULL && lines[l][0] != 'E'; l++) {
            ck_assert(widths[i] == 0 || rb_text_width(lines[l]) <= widths[i]);
            ck_assert(!g_str_has_suffix(lines[l], " "));
        }
        for (int c = 0; c < example.pairings.n_cells; c++) {
            const RbTally *cell = &example.pairings.cells[c];
            if (cell->dropbacks >= RB_PAIRING_MIN) {
                g_autofree char *rate = g_strdup_printf(
                    "%.0f %% of %d", 100.0 * figures[c].shown, cell->dropbacks);
                g_autofree char *interval = g_strdup_printf(
                    "%.0f to %.0f %%", 100.0 * figures[c].low, 100.0 * figures[c].high);
                ck_assert_ptr_nonnull(strstr(text, rate));
                ck_assert_ptr_nonnull(strstr(text, interval));
            } else {
                g_autofree char *count =
                    g_strdup_printf("%d of %d", cell->successes, cell->dropbacks);
                ck_assert_ptr_nonnull(strstr(text, count));
            }
        }
        ck_assert_ptr_nonnull(strstr(text, "Four verticals"));
        ck_assert_ptr_nonnull(strstr(text, "Fire zone"));
    }
    rb_example_report_clear(&example);
}
END_TEST

START_TEST(test_text__one_pairing_whole)
{
    RbDropback rows[6] = { 0 };
    for (int i = 0; i < 6; i++) {
        rows[i] = (RbDropback){ .concept = { 1 },
                                .coverage = { i < 5 ? 1 : 2 },
                                .success = i < 2,
                                .has_points = true,
                                .points = i < 2 ? 1.5 : -1.0,
                                .in_ladder = true };
    }
    RbPairings pairings;
    rb_pairings_build(rows, 6, &pairings);
    pairings.untagged = 2;
    const RbReportNames names = rb_example_names();
    g_autofree char *text = rb_pairings_text(&pairings, &names, 0);
    RbMeasured figures[2];
    rb_pairings_measure(&pairings, RB_MEASURE_SUCCESS, figures);
    g_autofree char *estimate = g_strdup_printf("%.0f %% of 5", 100.0 * figures[0].shown);
    g_autofree char *interval = g_strdup_printf("%.0f to %.0f %%", 100.0 * figures[0].low,
                                                100.0 * figures[0].high);
    /* The cell is the model's, tested in check-estimate.c; the margins are Wilson's: 2 of 5:
     * 11.8 to 76.9 %, by the formula (E. B. Wilson 1927), as R 4.2.2's prop.test(2, 5, correct =
     * FALSE) prints; 2 of 6: 9.7 to 70.0 %. */
    g_autofree char *expected = g_strdup_printf(
        "              Cover 3  Quarters         All\n"
        "───────────────────────────────────────────\n"
        "Curl-flat   %9s    0 of 1   33 %% of 6\n"
        "           %10s   too few  10 to 70 %%\n"
        "                 0.00                 \u22120.17\n"
        "───────────────────────────────────────────\n"
        "All         40 %% of 5    0 of 1   33 %% of 6\n"
        "           12 to 77 %%   too few  10 to 70 %%\n"
        "                 0.00                 \u22120.17\n"
        "\n"
        "Each cell: its success rate drawn towards what its concept and coverage do "
        "elsewhere,\n"
        "with its dropbacks and 80 %% interval; points a dropback. All: plain rates, 95 %%.\n"
        "Under 5 dropbacks only the count. Points compare this team with itself.\n"
        "Left out: 2 dropbacks without a concept or a coverage.\n",
        estimate, interval);
    ck_assert_str_eq(text, expected);
    rb_pairings_clear(&pairings);
}
END_TEST

START_TEST(test_text__no_pairings_say_so)
{
    RbPairings pairings;
    rb_pairings_build(NULL, 0, &pairings);
    const RbReportNames names = rb_example_names();
    g_autofree char *text = rb_pairings_text(&pairings, &names, 80);
    ck_assert_str_eq(text, "No dropbacks with both a concept and a coverage.\n");
    rb_pairings_clear(&pairings);
}
END_TEST

START_TEST(test_text__ladder_whole)
{
    RbLadder ladder = { 0 };
    rb_book_cell(&ladder, 1, RB_STAGE_SUCCESS, 4, 4.5);
    rb_book_cell(&ladder, 2, RB_STAGE_SUCCESS, 1, 1.0);
    rb_book_cell(&ladder, 2, RB_STAGE_EYES, 6, -4.1);
    rb_book_cell(&ladder, 0, RB_STAGE_NOT_JUDGED, 1, 0.0);
    const RbBreak found = rb_example_break();
    const char *const reads[RB_READS_MAX + 1] = { NULL, "Speed out", "Pivot" };
    g_autofree char *text = rb_ladder_text(&ladder, &found, reads);
    ck_assert_str_eq(
        text, "Read          Ended at    Dropbacks          Points\n"
              "────────────────────────────────────────────────────────────────\n"
              "1  Speed out  success             4  ████      +4.5\n"
              "2  Pivot      success             1  █         +1.0\n"
              "              eyes                6  ██████    \u22124.1  breaks here\n"
              "No read       not judged          1  █          0.0\n"
              "────────────────────────────────────────────────────────────────\n"
              "All                              12            +1.4\n"
              "Breaks at read 2, eyes: 6 of 12 dropbacks ended there and lost 4.1 "
              "points, 2.8 more than our norm there. Leaning.\n");
    const RbLadder empty = { 0 };
    g_autofree char *nothing = rb_ladder_text(&empty, NULL, NULL);
    ck_assert_ptr_nonnull(strstr(nothing, "All"));
}
END_TEST

/* Bars of a large ladder are scaled, never longer than 20 and never nothing. */
START_TEST(test_text__bars_are_scaled)
{
    RbLadder ladder = { 0 };
    rb_book_cell(&ladder, 1, RB_STAGE_SUCCESS, 400, 300.0);
    rb_book_cell(&ladder, 1, RB_STAGE_THROW, 100, -80.0);
    rb_book_cell(&ladder, 1, RB_STAGE_CATCH, 1, -1.0);
    g_autofree char *text = rb_ladder_text(&ladder, NULL, NULL);
    ck_assert_ptr_nonnull(strstr(text, "  ████████████████████  "));
    ck_assert_ptr_null(strstr(text, "█████████████████████"));
    ck_assert_ptr_nonnull(strstr(text, "100  █████  "));
    ck_assert_ptr_nonnull(strstr(text, "  1  █  "));
}
END_TEST

TCase *rb_case_text(void)
{
    TCase *tcase = rb_case_new("text");
    tcase_add_test(tcase, test_text__width_is_what_a_terminal_shows);
    tcase_add_test(tcase, test_text__columns_line_up);
    tcase_add_test(tcase, test_text__long_cells_are_cut);
    tcase_add_test(tcase, test_text__hostile_names_can_do_nothing);
    tcase_add_test(tcase, test_text__pairings_keep_to_the_width);
    tcase_add_test(tcase, test_text__one_pairing_whole);
    tcase_add_test(tcase, test_text__no_pairings_say_so);
    tcase_add_test(tcase, test_text__ladder_whole);
    tcase_add_test(tcase, test_text__bars_are_scaled);
    return tcase;
}
