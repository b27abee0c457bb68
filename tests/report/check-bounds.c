/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cairo.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/report/chart-file.h"
#include "rb/report/sheet.h"

#include "figures.h"
#include "run.h"
#include "suite.h"

TCase *rb_case_bounds(void);

/* Random figures, drawn and read back: nothing lies outside its picture or page, and what is
 * read adds up to what was put in. */

static RbLadder random_ladder(RbRandom *random)
{
    RbLadder ladder = { 0 };
    const int cells = rb_random_int(random, 0, 18);
    for (int i = 0; i < cells; i++) {
        const RbStage stage = (RbStage)rb_random_int(random, 0, RB_STAGES - 1);
        const int read =
            stage == RB_STAGE_NOT_JUDGED ? 0 : rb_random_int(random, 1, RB_READS_MAX);
        rb_book_cell(&ladder, read, stage, rb_random_int(random, 1, 60),
                     rb_random_int(random, -400, 400) / 10.0);
    }
    return ladder;
}

typedef struct {
    RbDropbacks season;
    RbPairings pairings;
    RbMeasured *figures; /* owned */
    RbReport report;
} RandomReport;

/* Up to 8 concepts against 7 coverages, whose names figures.c has. */
static void random_report_init(RandomReport *made, RbRandom *random)
{
    const int concepts = rb_random_int(random, 0, 8);
    const int coverages = rb_random_int(random, 0, 7);
    const int n = concepts > 0 && coverages > 0 ? rb_random_int(random, 0, 400) : 0;
    made->season = (RbDropbacks){ g_new0(RbDropback, n + 1), n };
    for (int i = 0; i < n; i++) {
        RbDropback *row = &made->season.rows[i];
        row->concept.value = rb_random_int(random, 1, concepts);
        row->coverage.value = rb_random_int(random, 1, coverages);
        row->result = (RbResult)rb_random_int(random, 1, RB_RESULT_SACK);
        row->verdict = (RbVerdict)rb_random_int(random, 0, RB_VERDICTS - 1);
        row->gain = rb_random_int(random, -15, 60);
        row->success = rb_random_chance(random, 0.45);
        row->has_points = rb_random_chance(random, 0.9);
        row->points = row->has_points ? rb_random_int(random, -48, 48) / 8.0 : 0.0;
        row->in_ladder = true;
    }
    rb_pairings_build(made->season.rows, n, &made->pairings);
    made->figures = g_new0(RbMeasured, made->pairings.n_cells + 1);
    rb_pairings_measure(&made->pairings, RB_MEASURE_SUCCESS, made->figures);
    made->report = (RbReport){ .title = "Pairings",
                               .filter = "Down: 3; Own tag: Wet ball",
                               .made_on = "2026-11-02",
                               .profile = rb_success_profile_default(),
                               .pairings = &made->pairings,
                               .figures = made->figures,
                               .names = rb_example_names() };
}

static void random_report_clear(RandomReport *made)
{
    rb_dropbacks_clear(&made->season);
    rb_pairings_clear(&made->pairings);
    g_free(made->figures);
}

/* The number of an attribute of the tag that starts at `tag`; false when it has none. */
static bool read_attribute(const char *tag, const char *name, double *value)
{
    const char *end = strchr(tag, '>');
    g_autofree char *start = g_strdup_printf(" %s=\"", name);
    const char *at = g_strstr_len(tag, end - tag, start);
    *value = at != NULL ? g_ascii_strtod(at + strlen(start), NULL) : 0.0;
    return at != NULL;
}

static void check_place(const char *tag, const char *name, double slack, double most)
{
    double value = 0.0;
    if (read_attribute(tag, name, &value)) {
        ck_assert_msg(value >= slack - 0.01 && value <= most - slack + 0.01,
                      "%s %g is outside 0 to %g: %.80s", name, value, most, tag);
    }
}

/* Every shape of an SVG lies inside its view. Returns how many there were. */
static int check_svg(const char *svg)
{
    double width = 0.0;
    double height = 0.0;
    int shapes = 0;
    ck_assert(read_attribute(strstr(svg, "<svg"), "width", &width));
    ck_assert(read_attribute(strstr(svg, "<svg"), "height", &height));
    for (const char *tag = strchr(strstr(svg, "</title>") + 8, '<');
         strncmp(tag, "</svg>", 6) != 0; tag = strchr(tag + 1, '<')) {
        double radius = 0.0;
        double wide = 0.0;
        double high = 0.0;
        double x = 0.0;
        double y = 0.0;
        read_attribute(tag, "r", &radius);
        check_place(tag, "x1", 0.0, width);
        check_place(tag, "x2", 0.0, width);
        check_place(tag, "y1", 0.0, height);
        check_place(tag, "y2", 0.0, height);
        check_place(tag, "cx", radius, width);
        check_place(tag, "cy", radius, height);
        check_place(tag, "x", 0.0, width);
        check_place(tag, "y", 0.0, height);
        if (read_attribute(tag, "width", &wide) && read_attribute(tag, "height", &high)) {
            read_attribute(tag, "x", &x);
            read_attribute(tag, "y", &y);
            ck_assert_msg(wide >= 0.0 && x + wide <= width + 0.01, "%.90s", tag);
            ck_assert_msg(high >= 0.0 && y + high <= height + 0.01, "%.90s", tag);
        }
        shapes += tag[1] != '/';
    }
    ck_assert_ptr_null(strstr(svg, "nan"));
    ck_assert_ptr_null(strstr(svg, "inf\""));
    return shapes;
}

/* The count in each label "eyes 6, -4.1" of a ladder, summed. */
static int sum_labels(const char *svg)
{
    int sum = 0;
    for (int stage = 0; stage < RB_STAGES; stage++) {
        g_autofree char *label =
            g_utf8_strdown(rb_words_label(&rb_stage_words, stage), -1);
        g_autofree char *start = g_strdup_printf(">%s ", label);
        for (const char *at = svg; (at = strstr(at, start)) != NULL; at++) {
            sum += atoi(at + strlen(start));
        }
    }
    return sum;
}

static char *svg_of(GByteArray *taken)
{
    ck_assert_ptr_nonnull(taken);
    g_byte_array_append(taken, (const guint8 *)"", 1);
    return (char *)g_byte_array_free(taken, FALSE);
}

START_TEST(test_bounds__ladders_read_back_add_up)
{
    RbRandom random;
    RandomReport made;
    rb_random_seed(&random, rb_test_seed(51));
    random_report_init(&made, &random);
    const int cases = rb_test_some(60);
    for (int round = 0; round < cases; round++) {
        const RbLadder ladder = random_ladder(&random);
        const RbReportPairing looked = { .concept = { 1 },
                                         .coverage = { 2 },
                                         .ladder = &ladder };
        GError *error = NULL;
        g_autofree char *svg =
            svg_of(rb_chart_of_ladder(&made.report, &looked, RB_CHART_SVG, 900, &error));
        rb_assert_no_error(error);
        check_svg(svg);
        ck_assert_int_eq(sum_labels(svg), ladder.dropbacks);
        ck_assert_ptr_nonnull(strstr(svg, "Curl-flat against Quarters"));
        ck_assert_ptr_nonnull(strstr(svg, "Own tag: Wet ball"));
    }
    random_report_clear(&made);
}
END_TEST

START_TEST(test_bounds__tables_stay_inside)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(52));
    const int cases = rb_test_some(12);
    for (int round = 0; round < cases; round++) {
        RandomReport made;
        GError *error = NULL;
        random_report_init(&made, &random);
        g_autofree char *svg =
            svg_of(rb_chart_of_table(&made.report, RB_CHART_SVG, 900, &error));
        rb_assert_no_error(error);
        const int shapes = check_svg(svg);
        ck_assert_int_ge(shapes, 2 * made.pairings.n_cells);
        for (int i = 0; i < made.pairings.n_cells; i++) {
            g_autofree char *rate =
                g_strdup_printf("%.0f %%", 100.0 * made.figures[i].shown);
            ck_assert(made.pairings.cells[i].dropbacks < RB_PAIRING_MIN ||
                      strstr(svg, rate) != NULL);
        }
        random_report_clear(&made);
    }
}
END_TEST

typedef struct {
    const guint8 *at;
    gsize left;
} Bytes;

static cairo_status_t take_bytes(void *closure, unsigned char *data, unsigned length)
{
    Bytes *bytes = closure;
    if (bytes->left < length) {
        return CAIRO_STATUS_READ_ERROR;
    }
    memcpy(data, bytes->at, length);
    bytes->at += length;
    bytes->left -= length;
    return CAIRO_STATUS_SUCCESS;
}

static uint32_t pixel(cairo_surface_t *picture, int x, int y)
{
    const unsigned char *data = cairo_image_surface_get_data(picture);
    uint32_t value = 0;
    memcpy(&value,
           data + (size_t)y * (size_t)cairo_image_surface_get_stride(picture) +
               4 * (size_t)x,
           sizeof value);
    return value & 0xffffff;
}

/* The edge of a picture is all ground: what is cut off would show there. */
static void check_edges(GByteArray *png)
{
    Bytes bytes = { png->data, png->len };
    cairo_surface_t *picture =
        cairo_image_surface_create_from_png_stream(take_bytes, &bytes);
    ck_assert_int_eq(cairo_surface_status(picture), CAIRO_STATUS_SUCCESS);
    const int width = cairo_image_surface_get_width(picture);
    const int height = cairo_image_surface_get_height(picture);
    const uint32_t ground = pixel(picture, 0, 0);
    for (int x = 0; x < width; x++) {
        ck_assert_uint_eq(pixel(picture, x, 0), ground);
        ck_assert_uint_eq(pixel(picture, x, height - 1), ground);
    }
    for (int y = 0; y < height; y++) {
        ck_assert_uint_eq(pixel(picture, 0, y), ground);
        ck_assert_uint_eq(pixel(picture, width - 1, y), ground);
    }
    cairo_surface_destroy(picture);
}

START_TEST(test_bounds__pictures_have_a_clear_edge)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(53));
    const int cases = rb_test_some(8);
    for (int round = 0; round < cases; round++) {
        RandomReport made;
        GError *error = NULL;
        random_report_init(&made, &random);
        const RbLadder ladder = random_ladder(&random);
        const RbReportPairing looked = { .ladder = &ladder };
        g_autoptr(GByteArray) table =
            rb_chart_of_table(&made.report, RB_CHART_PNG, 700, &error);
        rb_assert_no_error(error);
        g_autoptr(GByteArray) drawn =
            rb_chart_of_ladder(&made.report, &looked, RB_CHART_PNG, 700, &error);
        rb_assert_no_error(error);
        check_edges(table);
        check_edges(drawn);
        random_report_clear(&made);
    }
}
END_TEST

/* Title, filter, date and number stand on every page; every word inside the paper. */
START_TEST(test_bounds__every_page_says_what_it_is)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(54));
    const int cases = rb_test_some(6);
    for (int round = 0; round < cases; round++) {
        RandomReport made;
        GError *error = NULL;
        random_report_init(&made, &random);
        g_autofree char *path = rb_test_path("bounds.pdf");
        ck_assert(rb_report_write_pdf(&made.report, path, &error));
        rb_assert_no_error(error);
        g_autofree char *text = rb_run("pdftotext -layout '%s' -", path);
        g_auto(GStrv) pages = g_strsplit(text, "\f", -1);
        const int n = (int)g_strv_length(pages) - 1;
        for (int i = 0; i < n; i++) {
            g_autofree char *number = g_strdup_printf("Page %d of %d", i + 1, n);
            ck_assert_ptr_nonnull(strstr(pages[i], number));
            ck_assert_ptr_nonnull(strstr(pages[i], "Own tag: Wet ball"));
            ck_assert_ptr_nonnull(strstr(pages[i], "made 2026-11-02"));
        }
        g_autofree char *boxes = rb_run("pdftotext -bbox '%s' -", path);
        int words = 0;
        for (const char *at = boxes; (at = strstr(at, "<word ")) != NULL; at++, words++) {
            check_place(at, "xMin", 30.0, 612.0);
            check_place(at, "xMax", 30.0, 612.0);
            check_place(at, "yMin", 12.0, 792.0);
            check_place(at, "yMax", 12.0, 792.0);
        }
        ck_assert_int_gt(words, 20);
        random_report_clear(&made);
    }
}
END_TEST

static double number_at(char **fields, int column)
{
    return g_ascii_strtod(fields[column], NULL);
}

/* The CSV of any season: each count of the cells sums to the margins and to the whole. */
START_TEST(test_bounds__spreadsheet_adds_up)
{
    enum { FIRST = 2, LAST = 21, DROPBACKS = 2, RATE = 4, ESTIMATE = 7, POINTS = 11 };
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(55));
    const int cases = rb_test_some(40);
    for (int round = 0; round < cases; round++) {
        RandomReport made;
        double cells[LAST + 1] = { 0 };
        double concepts[LAST + 1] = { 0 };
        double coverages[LAST + 1] = { 0 };
        random_report_init(&made, &random);
        g_autofree char *csv = rb_pairings_csv(&made.pairings, &made.report.names);
        ck_assert_ptr_null(strstr(csv, "nan"));
        ck_assert_ptr_null(strstr(csv, "inf"));
        g_auto(GStrv) lines = g_strsplit(csv, "\r\n", -1);
        const int n = (int)g_strv_length(lines) - 1; /* an empty one after the last */
        for (int i = 1; i < n; i++) {
            g_auto(GStrv) fields = g_strsplit(lines[i], ",", -1);
            ck_assert_uint_eq(g_strv_length(fields), LAST + 1);
            const bool sums_concepts = strcmp(fields[0], "All") == 0;
            const bool sums_coverages = strcmp(fields[1], "All") == 0;
            const double dropbacks = number_at(fields, DROPBACKS);
            if (*fields[RATE] != '\0') {
                ck_assert_double_eq_tol(number_at(fields, RATE) * dropbacks,
                                        number_at(fields, DROPBACKS + 1), 1e-9);
                ck_assert(number_at(fields, RATE + 1) <= number_at(fields, RATE) &&
                          number_at(fields, RATE) <= number_at(fields, RATE + 2));
            }
            ck_assert_int_eq(*fields[ESTIMATE] == '\0', sums_concepts || sums_coverages);
            for (int c = FIRST; c <= LAST; c++) {
                if ((c < RATE || c >= POINTS) && !(sums_concepts && sums_coverages)) {
                    double *sum = sums_coverages  ? concepts
                                  : sums_concepts ? coverages
                                                  : cells;
                    sum[c] += number_at(fields, c);
                } else if (c < RATE || c >= POINTS) {
                    ck_assert_double_eq_tol(cells[c], number_at(fields, c), 1e-9);
                    ck_assert_double_eq_tol(concepts[c], number_at(fields, c), 1e-9);
                    ck_assert_double_eq_tol(coverages[c], number_at(fields, c), 1e-9);
                }
            }
        }
        ck_assert_int_eq(n, 2 + made.pairings.n_cells + made.pairings.n_concepts +
                                made.pairings.n_coverages);
        random_report_clear(&made);
    }
}
END_TEST

/* The web page: one cell of the table for each place of it. */
START_TEST(test_bounds__web_table_is_a_rectangle)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(56));
    const int cases = rb_test_some(20);
    for (int round = 0; round < cases; round++) {
        RandomReport made;
        random_report_init(&made, &random);
        g_autofree char *page = rb_report_html(&made.report);
        const RbPairings *pairings = &made.pairings;
        int cells = 0;
        int rows = 0;
        for (const char *at = page; (at = strstr(at, "<td ")) != NULL; at++) {
            cells++;
        }
        for (const char *at = page; (at = strstr(at, "<th scope=\"row\">")) != NULL;
             at++) {
            rows++;
        }
        const bool any = pairings->n_cells > 0;
        ck_assert_int_eq(rows, any ? pairings->n_concepts + 1 : 0);
        ck_assert_int_eq(
            cells, any ? (pairings->n_concepts + 1) * (pairings->n_coverages + 1) : 0);
        random_report_clear(&made);
    }
}
END_TEST

TCase *rb_case_bounds(void)
{
    TCase *tcase = rb_case_new("bounds");
    tcase_add_test(tcase, test_bounds__ladders_read_back_add_up);
    tcase_add_test(tcase, test_bounds__tables_stay_inside);
    tcase_add_test(tcase, test_bounds__pictures_have_a_clear_edge);
    tcase_add_test(tcase, test_bounds__every_page_says_what_it_is);
    tcase_add_test(tcase, test_bounds__spreadsheet_adds_up);
    tcase_add_test(tcase, test_bounds__web_table_is_a_rectangle);
    return tcase;
}
