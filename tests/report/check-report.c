/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/report/report.h"

#include "figures.h"
#include "run.h"
#include "suite.h"

TCase *rb_case_report(void);

/* Text of the PDF by poppler, another library than the one that wrote it. */
static char *pdf_text(const RbReport *report)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("report.pdf");
    ck_assert(rb_report_write_pdf(report, path, &error));
    rb_assert_no_error(error);
    return rb_run("pdftotext -layout '%s' -", path);
}

/* Well-formed by libxml2; its text without tags. */
static char *html_text(const RbReport *report)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("report.html");
    ck_assert(rb_report_write_html(report, path, &error));
    rb_assert_no_error(error);
    g_autofree char *checked = rb_run("xmllint --noout --nonet '%s'", path);
    return rb_run("xmllint --nonet --xpath 'string(//*[local-name()=\"body\"])' '%s'",
                  path);
}

static void assert_holds(const char *text, const char *what)
{
    ck_assert_msg(strstr(text, what) != NULL, "missing: %s", what);
}

static void check_figures(const RbExampleReport *example, const char *text)
{
    for (int i = 0; i < example->pairings.n_cells; i++) {
        const RbTally *cell = &example->pairings.cells[i];
        const RbMeasured *figure = &example->figures[i];
        g_autofree char *rate = cell->dropbacks >= RB_PAIRING_MIN
                                    ? g_strdup_printf("%.0f %%", 100.0 * figure->shown)
                                    : rb_rate_text(cell->successes, cell->dropbacks);
        assert_holds(text, rate);
        if (cell->dropbacks >= RB_PAIRING_MIN) {
            g_autofree char *interval = g_strdup_printf(
                "%.0f to %.0f %%", 100.0 * figure->low, 100.0 * figure->high);
            g_autofree char *points = rb_points_text(cell->points / cell->pointed, 2);
            assert_holds(text, interval);
            assert_holds(text, points);
        }
    }
    for (int i = 0; i < example->pairings.n_concepts; i++) {
        const RbTally *sum = &example->pairings.concepts[i];
        g_autofree char *interval = rb_interval_text(sum->successes, sum->dropbacks);
        assert_holds(text, interval);
    }
    assert_holds(text, "Estimated rate:");
    assert_holds(text, "Plain rate:");
    for (int i = 0; i < 2; i++) {
        for (int read = 0; read <= RB_READS_MAX; read++) {
            for (int stage = 0; stage < RB_STAGES; stage++) {
                const RbLadderCell *cell = &example->ladders[i].cells[read][stage];
                if (cell->dropbacks > 0) {
                    g_autofree char *points = rb_points_text(cell->points, 1);
                    g_autofree char *label =
                        g_strdup_printf(" %d, %s", cell->dropbacks, points);
                    assert_holds(text, label);
                }
            }
        }
    }
    assert_holds(text, "Harbor City Mariners, 3rd down, made 2026-11-02");
    assert_holds(text, "Curl-flat against Cover 2");
    assert_holds(text, "Week 1 at Fairview: snaps 12, 34, 41. Week 3: snap 7.");
    assert_holds(text, "eyes");
    assert_holds(text, "40 / 60 / 100 / 100 %");
    assert_holds(text, "personal data");
    assert_holds(text, "league's rules");
    assert_holds(text, "this team with itself");
}

START_TEST(test_report__pdf_holds_the_figures)
{
    RbExampleReport example;
    rb_example_report_init(&example);
    g_autofree char *text = pdf_text(&example.report);
    check_figures(&example, text);
    assert_holds(text, "Page 1 of 2");
    rb_example_report_clear(&example);
}
END_TEST

START_TEST(test_report__html_is_well_formed_and_holds_the_figures)
{
    RbExampleReport example;
    rb_example_report_init(&example);
    g_autofree char *text = html_text(&example.report);
    check_figures(&example, text);
    g_autofree char *sentence = rb_break_text(&example.breaks[0], &example.ladders[0]);
    assert_holds(text, sentence);
    g_autofree char *page = rb_report_html(&example.report);
    /* One file: nothing is fetched, nothing runs. */
    ck_assert_ptr_null(strstr(page, "<script"));
    ck_assert_ptr_null(strstr(page, " src="));
    ck_assert_ptr_null(strstr(page, "url("));
    ck_assert_ptr_null(strstr(page, "@import"));
    assert_holds(page, "<a href=\"#ladder-1\">");
    assert_holds(page, "id=\"ladder-1\"");
    rb_example_report_clear(&example);
}
END_TEST

static const char *hostile_concept(RbConceptId id, const void *data)
{
    (void)id;
    (void)data;
    return "</td><script>alert('x')</script>&\"\x01\x1b[2J\xff ]]> a name that has no end at "
           "all and goes on beyond any room";
}

static const char *hostile_coverage(RbTermId id, const void *data)
{
    (void)id;
    (void)data;
    return "<!--\u202e\ufffe-->";
}

/* Whatever staffs call things, the page stays whole. */
START_TEST(test_report__hostile_names_stay_text)
{
    RbExampleReport example;
    rb_example_report_init(&example);
    example.report.names = (RbReportNames){ hostile_concept, hostile_coverage, NULL };
    example.report.title = "A & B <i>\xc3</i>";
    example.report.team = "</title>";
    example.report.filter = "\"'";
    example.report.made_on = "not a date\n";
    example.report.points_table = "<table>";
    example.looked[0].reads[2] = "<svg onload=\"x\">";
    example.looked[0].snaps = "<a href=\"javascript:x\">";
    g_autofree char *text = html_text(&example.report);
    assert_holds(text, "</td><script>alert('x')</script>&\"");
    assert_holds(text, "<svg onload=\"x\">");
    g_autofree char *page = rb_report_html(&example.report);
    ck_assert_ptr_null(strstr(page, "<script"));
    ck_assert_ptr_null(strstr(page, "<!--"));
    ck_assert_ptr_null(strstr(page, "<a href=\"j"));
    ck_assert_ptr_null(strchr(page, '\x1b'));
    g_autofree char *pdf = pdf_text(&example.report);
    assert_holds(pdf, "Page 1 of");
    rb_example_report_clear(&example);
}
END_TEST

/* Forty concepts by sixteen coverages: as many pages as it takes, no cell lost. */
START_TEST(test_report__large_tables_go_on)
{
    GArray *rows = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    for (int concept = 1; concept <= 40; concept ++) {
        for (int coverage = 1; coverage <= 16; coverage++) {
            const RbDropback row = { .concept = { concept },
                                     .coverage = { coverage },
                                     .success = true,
                                     .in_ladder = true };
            g_array_append_val(rows, row);
        }
    }
    RbPairings pairings;
    rb_pairings_build((const RbDropback *)(const void *)rows->data, (int)rows->len,
                      &pairings);
    const RbReport report = { .title = "Large",
                              .made_on = "2026-11-02",
                              .profile = rb_success_profile_default(),
                              .pairings = &pairings,
                              .names = rb_example_names() };
    g_autofree char *pdf = pdf_text(&report);
    g_autofree char *html = html_text(&report);
    const char *texts[] = { pdf, html };
    for (int i = 0; i < 2; i++) {
        int cells = 0;
        for (const char *at = texts[i]; (at = strstr(at, "1 of 1")) != NULL; at++) {
            /* "Page 1 of 11" is no cell. */
            cells += at < texts[i] + 5 || strncmp(at - 5, "Page ", 5) != 0;
        }
        ck_assert_int_eq(cells, 640);
    }
    g_array_unref(rows);
    rb_pairings_clear(&pairings);
}
END_TEST

/* No dropbacks at all: words, no division by nothing. */
START_TEST(test_report__empty_season)
{
    RbPairings pairings;
    rb_pairings_build(NULL, 0, &pairings);
    const RbLadder ladder = { 0 };
    const RbBreak found = { 0 };
    const RbReportPairing looked = { .ladder = &ladder, .found = &found };
    const RbReport report = { .title = "Nothing yet",
                              .made_on = "2026-11-02",
                              .profile = rb_success_profile_college(),
                              .pairings = &pairings,
                              .ladders = &looked,
                              .n_ladders = 1,
                              .names = rb_example_names() };
    g_autofree char *html = html_text(&report);
    g_autofree char *pdf = pdf_text(&report);
    const char *texts[] = { html, pdf };
    for (int i = 0; i < 2; i++) {
        assert_holds(texts[i], "No dropbacks with both a concept and a coverage.");
        assert_holds(texts[i], "All dropbacks");
        assert_holds(texts[i], "No dropbacks here.");
        assert_holds(texts[i], "50 / 70 / 100 / 100 %");
        ck_assert_ptr_null(strstr(texts[i], "nan"));
        ck_assert_ptr_null(strstr(texts[i], "inf"));
    }
    rb_pairings_clear(&pairings);
}
END_TEST

/* All succeed, or none: the colour scale has no spread to divide by. */
START_TEST(test_report__one_sided_season)
{
    for (int success = 0; success <= 1; success++) {
        RbDropback rows[8];
        for (int i = 0; i < 8; i++) {
            rows[i] = (RbDropback){ .concept = { 1 },
                                    .coverage = { 1 },
                                    .success = success == 1,
                                    .in_ladder = true };
        }
        RbPairings pairings;
        rb_pairings_build(rows, 8, &pairings);
        const RbReport report = { .title = "One-sided",
                                  .made_on = "2026-11-02",
                                  .profile = rb_success_profile_default(),
                                  .pairings = &pairings,
                                  .names = rb_example_names() };
        g_autofree char *html = html_text(&report);
        g_autofree char *pdf = pdf_text(&report);
        /* Wilson: 8 of 8 is 67.6 to 100 %, 0 of 8 is 0 to 32.4 %: 8 / (8 + 1.96 squared). */
        assert_holds(html, success == 1 ? "68 to 100 %" : "0 to 32 %");
        assert_holds(pdf, success == 1 ? "100 %" : "0 to 32 %");
        rb_pairings_clear(&pairings);
    }
}
END_TEST

START_TEST(test_report__same_report_same_bytes)
{
    RbExampleReport example;
    rb_example_report_init(&example);
    GError *error = NULL;
    g_autoptr(GByteArray) one = rb_report_pdf(&example.report, &error);
    rb_assert_no_error(error);
    g_autoptr(GByteArray) other = rb_report_pdf(&example.report, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(one->len, other->len);
    ck_assert_mem_eq(one->data, other->data, one->len);
    rb_example_report_clear(&example);
}
END_TEST

START_TEST(test_report__no_place_to_write)
{
    RbExampleReport example;
    rb_example_report_init(&example);
    g_autofree char *path = rb_test_path("missing/report.pdf");
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_report_write_pdf(&example.report, path, &error));
    ck_assert(g_error_matches(error, RB_REPORT_ERROR, RB_REPORT_ERROR_WRITE));
    assert_holds(error->message, path);
    assert_holds(error->message, "Choose another place.");
    g_clear_error(&error);
    ck_assert(!rb_report_write_html(&example.report, path, &error));
    ck_assert(g_error_matches(error, RB_REPORT_ERROR, RB_REPORT_ERROR_WRITE));
    rb_example_report_clear(&example);
}
END_TEST

TCase *rb_case_report(void)
{
    TCase *tcase = rb_case_new("report");
    tcase_add_test(tcase, test_report__pdf_holds_the_figures);
    tcase_add_test(tcase, test_report__html_is_well_formed_and_holds_the_figures);
    tcase_add_test(tcase, test_report__hostile_names_stay_text);
    tcase_add_test(tcase, test_report__large_tables_go_on);
    tcase_add_test(tcase, test_report__empty_season);
    tcase_add_test(tcase, test_report__one_sided_season);
    tcase_add_test(tcase, test_report__same_report_same_bytes);
    tcase_add_test(tcase, test_report__no_place_to_write);
    return tcase;
}
