/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "rb/stats/points.h"

#include "suite.h"

TCase *rb_case_points_model(void);

/* Lines of a fixture without its comments and its head. Returns: (transfer full). */
static GPtrArray *read_rows(const char *name)
{
    g_autofree char *path = rb_test_fixture(name);
    g_autofree char *text = NULL;
    GError *error = NULL;
    g_file_get_contents(path, &text, NULL, &error);
    rb_assert_no_error(error);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    GPtrArray *rows = g_ptr_array_new_with_free_func((GDestroyNotify)g_strfreev);
    bool headed = false;
    for (int i = 0; lines[i] != NULL; i++) {
        if (lines[i][0] == '#' || lines[i][0] == '\0') {
            continue;
        }
        if (headed) {
            g_ptr_array_add(rows, g_strsplit(lines[i], ",", -1));
        }
        headed = true;
    }
    return rows;
}

/* Twelve situations from the program that fitted the coefficients. */
START_TEST(test_points_model__equals_the_fit)
{
    g_autoptr(GPtrArray) rows = read_rows("stats/expected-points-checks.csv");
    ck_assert_int_eq(rows->len, 12);
    for (guint i = 0; i < rows->len; i++) {
        char **cells = rows->pdata[i];
        double p[RB_POINTS_CLASSES];
        const double points = rb_points_value(rb_points_model_default(), atoi(cells[0]),
                                              atoi(cells[1]), atoi(cells[2]), p);
        ck_assert_double_eq_tol(points, g_ascii_strtod(cells[3], NULL), 1e-5);
        for (int k = 0; k < RB_POINTS_CLASSES; k++) {
            ck_assert_double_eq_tol(p[k], g_ascii_strtod(cells[4 + k], NULL), 1e-5);
        }
    }
}
END_TEST

/* M. Morris, "Expected Points Added cheat sheet", August 2020: professional play of newer
 * seasons than ours, one decimal. */
START_TEST(test_points_model__near_a_published_table)
{
    static const struct {
        int down;
        int distance;
    } columns[] = { { 1, 10 }, { 2, 10 }, { 2, 7 }, { 2, 5 }, { 2, 3 }, { 2, 1 },
                    { 3, 10 }, { 3, 7 },  { 3, 5 }, { 3, 3 }, { 3, 1 } };
    g_autoptr(GPtrArray) rows = read_rows("stats/expected-points-published.csv");
    double squares = 0.0;
    int n = 0;
    for (guint i = 0; i < rows->len; i++) {
        char **cells = rows->pdata[i];
        ck_assert_int_eq(g_strv_length(cells), 12);
        for (int c = 0; c < 11; c++) {
            if (cells[c + 1][0] == '\0') {
                continue;
            }
            const double gap =
                rb_points_value(rb_points_model_default(), columns[c].down,
                                columns[c].distance, atoi(cells[0]), NULL) -
                g_ascii_strtod(cells[c + 1], NULL);
            ck_assert_double_lt(fabs(gap), 0.6);
            squares += gap * gap;
            n++;
        }
    }
    ck_assert_int_eq(n, 192);
    ck_assert_double_lt(sqrt(squares / n), 0.2);
}
END_TEST

/* V. Carter, R. E. Machol, "Operations Research on Football", Operations Research 19(2), 1971,
 * 541-544, Table I: first and ten, centres of ten-yard strips, season 1969. Scoring was lower
 * then (fewer completions, shorter and less certain field goals), so a possession is worth
 * up to 0.9 points less than in our seasons of 2009 to 2016; the shape is the same. */
START_TEST(test_points_model__near_carter_and_machol)
{
    static const double table[10] = { 6.041, 4.572, 3.681, 3.167,  2.392,
                                      1.538, 0.923, 0.236, -0.637, -1.245 };
    for (int i = 0; i < 10; i++) {
        const int yards_to_goal = 5 + 10 * i;
        const double points =
            rb_points_value(rb_points_model_default(), 1, 10, yards_to_goal, NULL);
        ck_assert_double_lt(fabs(points - table[i]), 0.9);
    }
}
END_TEST

/* B. Burke: "Expected Points", 2008, seasons 2002 to 2007: first and ten at the opponent's 20
 * is worth 4.2; a class exercise on his study of fourth downs: at the own 27, 0.7. Within
 * 0.5: scoring rose between his seasons and ours. */
START_TEST(test_points_model__near_single_published_points)
{
    const RbPointsModel *model = rb_points_model_default();
    ck_assert_double_eq_tol(rb_points_value(model, 1, 10, 20, NULL), 4.2, 0.5);
    ck_assert_double_eq_tol(rb_points_value(model, 1, 10, 73, NULL), 0.7, 0.5);
}
END_TEST

START_TEST(test_points_model__is_sane_everywhere)
{
    const RbPointsModel *model = rb_points_model_default();
    for (int down = 1; down <= 4; down++) {
        for (int yards_to_goal = 1; yards_to_goal <= 99; yards_to_goal++) {
            for (int distance = 1; distance <= 99; distance++) {
                double p[RB_POINTS_CLASSES];
                const double points =
                    rb_points_value(model, down, distance, yards_to_goal, p);
                double sum = 0.0;
                for (int k = 0; k < RB_POINTS_CLASSES; k++) {
                    ck_assert(p[k] >= 0.0 && p[k] <= 1.0);
                    sum += p[k];
                }
                ck_assert_double_eq_tol(sum, 1.0, 1e-12);
                ck_assert(points > -7.0 && points < 7.0);
                /* More than the goal line, or than 40, asks for nothing new. */
                const int within = MIN(MIN(distance, yards_to_goal), 40);
                ck_assert_double_eq(
                    points, rb_points_value(model, down, within, yards_to_goal, NULL));
            }
        }
    }
    /* First and ten: closer is never worth less, outside the goal-to-go change at the 10. */
    for (int yards_to_goal = 12; yards_to_goal <= 95; yards_to_goal++) {
        ck_assert_double_le(rb_points_value(model, 1, 10, yards_to_goal, NULL),
                            rb_points_value(model, 1, 10, yards_to_goal - 1, NULL));
    }
}
END_TEST

#define HEAD "term,k-7,k-3,k-2,k+0,k+2,k+3,k+7\n"

/* A table with only an intercept: the probabilities are those of the scores, whatever the
 * situation. exp(ln 2) = 2 against six times 1. */
START_TEST(test_points_model__reads_another_table)
{
    GError *error = NULL;
    g_autoptr(RbPointsModel) model = rb_points_model_parse(
        "# a note\n\n" HEAD "1, 0,0,0,0,0,0, 0.6931471805599453 \r\n", &error);
    rb_assert_no_error(error);
    double p[RB_POINTS_CLASSES];
    const double points = rb_points_value(model, 2, 7, 33, p);
    ck_assert_double_eq_tol(p[6], 2.0 / 8.0, 1e-12);
    ck_assert_double_eq_tol(p[0], 1.0 / 8.0, 1e-12);
    ck_assert_double_eq_tol(points, 7.0 / 8.0, 1e-12);
}
END_TEST

START_TEST(test_points_model__refuses_with_line_and_reason)
{
    static const struct {
        const char *text;
        const char *want; /* in the message */
    } rows[] = {
        { "", "no terms" },
        { "# only a note\n", "no terms" },
        { HEAD, "no terms" },
        { "1,0,0,0,0,0,0,0\n", "line 1: the first row must be" },
        { HEAD "1,0,0,0,0,0,0\n", "line 2: 7 columns" },
        { HEAD "1,0,0,0,0,0,0,0,0\n", "line 2: 9 columns" },
        { HEAD "1,0,0,0,0,0,0,0\ny,0,0,zero,0,0,0,0\n", "line 3: \"zero\"" },
        { HEAD "1,0,0,,0,0,0,0\n", "line 2: \"\"" },
        { HEAD "1,0,0,nan,0,0,0,0\n", "line 2: \"nan\"" },
        { HEAD "1,0,0,1e999,0,0,0,0\n", "line 2: \"1e999\"" },
        { HEAD "1,0,0,1x,0,0,0,0\n", "line 2: \"1x\"" },
        { HEAD "speed,0,0,0,0,0,0,0\n",
          "line 2: \"speed\" in the term \"speed\" is none of 1, y, y^2, y^3, ln(Y), ln(100-Y), "
          "ln(T), D2, D3, D4, G." },
        { HEAD "y*,0,0,0,0,0,0,0\n", "line 2: \"\" in the term \"y*\"" },
        { HEAD "y*y,0,0,0,0,0,0,0\n", "line 2: the term \"y*y\" names y twice" },
        { HEAD "y*D2,0,0,0,0,0,0,0\nD2*y,0,0,0,0,0,0,0\n",
          "line 3: the term \"D2*y\" stands" },
        { HEAD "y*D2*G*ln(T)*ln(Y),0,0,0,0,0,0,0\n", "more than 4 factors" },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        g_autoptr(GError) error = NULL;
        ck_assert_ptr_null(rb_points_model_parse(rows[i].text, &error));
        ck_assert(g_error_matches(error, RB_STATS_ERROR, RB_STATS_ERROR_TABLE));
        ck_assert_msg(strstr(error->message, rows[i].want) != NULL, "row %zu: %s", i,
                      error->message);
    }
}
END_TEST

START_TEST(test_points_model__refuses_a_table_without_end)
{
    /* 64 terms are the most; there are more than enough sets of factors to try. */
    static const char *const factors[] = {
        "y", "y^2", "y^3", "ln(Y)", "ln(T)", "D2", "D3"
    };
    g_autoptr(GString) text = g_string_new(HEAD);
    for (unsigned set = 1; set < 128; set++) {
        g_autoptr(GPtrArray) names = g_ptr_array_new();
        for (unsigned f = 0; f < 7; f++) {
            if ((set & 1U << f) != 0) {
                g_ptr_array_add(names, (void *)factors[f]);
            }
        }
        if (names->len <= 4) {
            g_ptr_array_add(names, NULL);
            g_autofree char *term = g_strjoinv("*", (char **)names->pdata);
            g_string_append_printf(text, "%s,0,0,0,0,0,0,0\n", term);
        }
    }
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_points_model_parse(text->str, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "line 66: more than 64 terms"));
}
END_TEST

TCase *rb_case_points_model(void)
{
    TCase *tcase = rb_case_new("points-model");
    tcase_add_test(tcase, test_points_model__equals_the_fit);
    tcase_add_test(tcase, test_points_model__near_a_published_table);
    tcase_add_test(tcase, test_points_model__near_carter_and_machol);
    tcase_add_test(tcase, test_points_model__near_single_published_points);
    tcase_add_test(tcase, test_points_model__is_sane_everywhere);
    tcase_add_test(tcase, test_points_model__reads_another_table);
    tcase_add_test(tcase, test_points_model__refuses_with_line_and_reason);
    tcase_add_test(tcase, test_points_model__refuses_a_table_without_end);
    return tcase;
}
