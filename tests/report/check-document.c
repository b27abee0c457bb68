/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cairo.h>
#include <stdio.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/report/call-sheet.h"
#include "rb/report/chart-file.h"
#include "rb/report/pairing-page.h"

#include "figures.h"
#include "run.h"
#include "suite.h"

TCase *rb_case_document(void);

/* Text by poppler, another library than the one that wrote it. layout: as it stands. */
static char *text_of(const RbDocument *document, const char *options)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("document.pdf");
    g_autoptr(GByteArray) pdf = rb_document_pdf(document, NULL, NULL, &error);
    rb_assert_no_error(error);
    ck_assert(rb_report_write_bytes(pdf, path, &error));
    rb_assert_no_error(error);
    return rb_run("pdftotext %s '%s' -", options, path);
}

static void assert_holds(const char *text, const char *what)
{
    ck_assert_msg(strstr(text, what) != NULL, "missing: %s in:\n%s", what, text);
}

enum { SNAPS = 90 };

/* A page with everything on it: a list longer than the paper, three frames, nine reads. */
typedef struct {
    RbExampleReport example;
    RbReportSnap snaps[SNAPS];
    char places[SNAPS][32];
    RbReportStill stills[RB_PAGE_STILLS];
    unsigned char pixels[4 * 64 * 36];
    RbMeasured figure;
    RbPairingPage page;
} FullPage;

static void full_page_init(FullPage *full)
{
    memset(full, 0, sizeof *full);
    rb_example_report_init(&full->example);
    for (int i = 0; i < SNAPS; i++) {
        g_snprintf(full->places[i], sizeof full->places[i], "Week 3, snap %d", i + 1);
        full->snaps[i] = (RbReportSnap){ .place = full->places[i],
                                         .situation = "3rd & 7",
                                         .quarterback = "12 (Dana Ruiz)",
                                         .verdict = "Passed up",
                                         .ended = "read 2, after the catch",
                                         .has_points = true,
                                         .points = -1.25,
                                         .at_break = i % 3 == 0 };
    }
    memset(full->pixels, 128, sizeof full->pixels);
    for (int i = 0; i < RB_PAGE_STILLS; i++) {
        full->stills[i] = (RbReportStill){ full->pixels, 64, 36, 4 * 64,
                                           "Week 3, snap 34, 2.1 s: Passed up" };
    }
    full->figure = (RbMeasured){
        .known = true, .n = 16, .shown = 0.384, .low = 0.262, .high = 0.51
    };
    full->page = (RbPairingPage){
        .looked = full->example.looked[0],
        .tally = rb_pairings_find(&full->example.pairings, (RbConceptId){ 1 },
                                  (RbTermId){ 4 }),
        .figure = &full->figure,
        .snaps = full->snaps,
        .n_snaps = SNAPS,
        .stills = full->stills,
        .n_stills = RB_PAGE_STILLS,
    };
}

static void full_page_clear(FullPage *full)
{
    rb_example_report_clear(&full->example);
}

/* Letter paper is 8.5 by 11 inches (ANSI/ASME Y14.1, size A): 612 by 792 points. */
START_TEST(test_document__pairing_is_one_page)
{
    FullPage full;
    full_page_init(&full);
    g_autoptr(RbDocument) document =
        rb_pairing_page_document(&full.example.report, &full.page);
    ck_assert_int_eq(rb_document_get_pages(document), 1);
    ck_assert_double_eq(rb_document_get_width(document), 612);
    ck_assert_double_eq(rb_document_get_height(document), 792);
    g_autofree char *text = text_of(document, "-layout");
    g_autofree char *sentence =
        rb_break_text(&full.example.breaks[0], &full.example.ladders[0]);
    g_auto(GStrv) words = g_strsplit(sentence, ",", 2);
    assert_holds(text, "Curl-flat against Cover 2");
    assert_holds(text, words[0]);
    assert_holds(text, "16 dropbacks");
    g_autofree char *path = rb_test_path("document.pdf");
    g_autofree char *joined = rb_run("pdftotext '%s' -", path);
    g_strdelimit(joined, "\n", ' ');
    assert_holds(joined, "estimated 38 % (80 % interval 26 to 51 %)");
    assert_holds(text, "12 (Dana Ruiz)");
    assert_holds(text, "read 2, after the catch");
    assert_holds(text, "\u22121.2"); /* the C library rounds a tie to even */
    assert_holds(text, "snap 34, 2.1 s: Passed up");
    assert_holds(text, "Page 1 of 1");
    assert_holds(text, "3rd down \u00b7 made 2026-11-02");
    full_page_clear(&full);
}
END_TEST

/* Those behind the break come first; the list ends with how many are left out, and what stands
 * on the page and what is said to be left out are all of them. */
START_TEST(test_document__list_is_cut_aloud)
{
    FullPage full;
    full_page_init(&full);
    g_autoptr(RbDocument) document =
        rb_pairing_page_document(&full.example.report, &full.page);
    g_autofree char *text = text_of(document, "-layout");
    int listed = 0;
    for (const char *at = text; (at = strstr(at, "Week 3, snap ")) != NULL; at++) {
        listed += at >= text + 1; /* captions count below */
    }
    listed -= RB_PAGE_STILLS;
    const char *more = strstr(text, "and ");
    int left = 0;
    while (more != NULL && (sscanf(more, "and %d more", &left) != 1 || left == 0)) {
        more = strstr(more + 1, "and ");
    }
    ck_assert_int_gt(listed, 3);
    ck_assert_int_eq(listed + left, SNAPS);
    const char *first = strstr(text, "\u25b8 Week 3, snap 1 ");
    const char *second = strstr(text, "\u25b8 Week 3, snap 4 ");
    ck_assert(first != NULL && second != NULL && first < second);
    full_page_clear(&full);
}
END_TEST

START_TEST(test_document__names_are_left_out)
{
    FullPage full;
    full_page_init(&full);
    for (int i = 0; i < SNAPS; i++) {
        full.snaps[i].quarterback = NULL;
    }
    g_autoptr(RbDocument) document =
        rb_pairing_page_document(&full.example.report, &full.page);
    g_autofree char *text = text_of(document, "-layout");
    ck_assert_ptr_null(strstr(text, "Ruiz"));
    ck_assert_ptr_null(strstr(text, "Quarterback"));
    full_page_clear(&full);
}
END_TEST

/* The frames are on the paper: pictures that poppler finds, of the pixels given. */
START_TEST(test_document__frames_are_pictures)
{
    FullPage full;
    full_page_init(&full);
    g_autoptr(RbDocument) document =
        rb_pairing_page_document(&full.example.report, &full.page);
    g_autofree char *text = text_of(document, "-layout");
    g_autofree char *path = rb_test_path("document.pdf");
    g_autofree char *list = rb_run("pdfimages -list '%s'", path);
    int found = 0;
    for (const char *at = list; (at = strstr(at, " image ")) != NULL; at++) {
        found++;
    }
    ck_assert_int_ge(found, 1); /* equal pixels may be stored once */
    assert_holds(list, "64    36");
    full_page_clear(&full);
}
END_TEST

/* Table, contents with true page numbers, then a page a pairing. */
START_TEST(test_document__book_keeps_its_contents)
{
    enum { PAIRINGS = 60 }; /* contents of more than one page */
    FullPage full;
    full_page_init(&full);
    RbPairingPage pages[PAIRINGS];
    for (int i = 0; i < PAIRINGS; i++) {
        pages[i] = full.page;
        pages[i].looked = full.example.looked[i % 2];
        pages[i].n_snaps = 5;
        pages[i].n_stills = 0;
    }
    g_autoptr(RbDocument) document =
        rb_pairing_book_document(&full.example.report, pages, PAIRINGS);
    const int n = rb_document_get_pages(document);
    g_autofree char *text = text_of(document, "-layout");
    g_auto(GStrv) sheets = g_strsplit(text, "\f", -1);
    ck_assert_int_eq((int)g_strv_length(sheets), n + 1);
    assert_holds(sheets[1], "Pairings in this book");
    /* The last entry names the last page, the first the page on which it stands. */
    g_autofree char *last = g_strdup_printf("%d", n);
    assert_holds(sheets[2], last);
    for (int i = 0; i < PAIRINGS; i++) {
        const char *title =
            i % 2 == 0 ? "Curl-flat against Cover 2" : "Smash against Cover 3";
        const char *sheet = sheets[n - PAIRINGS + i];
        assert_holds(sheet, title);
        g_autofree char *number =
            g_strdup_printf("Page %d of %d", n - PAIRINGS + i + 1, n);
        assert_holds(sheet, number);
    }
    full_page_clear(&full);
}
END_TEST

static int count_of(const char *text, const char *what)
{
    int n = 0;
    for (const char *at = text; (at = strstr(at, what)) != NULL; at += strlen(what)) {
        n++;
    }
    return n;
}

static const RbCallSheet *example_sheet(RbCallCell cells[4])
{
    static const char *const situations[] = { "1st down", "3rd & 7 or more" };
    static const char *const coverages[] = { "Cover 3", "All coverages" };
    static RbCallSheet sheet;
    memset(cells, 0, 4 * sizeof cells[0]);
    cells[0] = (RbCallCell){ .picks = { { "Curl-flat", 8, 13, 0.58, 0.44, 0.71 },
                                        { "Stick", 5, 9, 0.52, 0.35, 0.68 } },
                             .n_picks = 2,
                             .thin = 3,
                             .dropbacks = 27 };
    cells[1] = (RbCallCell){ .thin = 2, .dropbacks = 6 };
    sheet = (RbCallSheet){ .title = "Call sheet",
                           .team = "Harbor City Mariners",
                           .filter = "2026 season",
                           .made_on = "2026-11-02",
                           .profile = rb_success_profile_default(),
                           .situations = situations,
                           .n_situations = 2,
                           .coverages = coverages,
                           .n_coverages = 2,
                           .cells = cells };
    return &sheet;
}

START_TEST(test_document__call_sheet_shows_numbers)
{
    RbCallCell cells[4];
    g_autoptr(RbDocument) document = rb_call_sheet_document(example_sheet(cells));
    ck_assert_double_eq(rb_document_get_width(document), 792);
    ck_assert_int_eq(rb_document_get_pages(document), 1);
    g_autofree char *text = text_of(document, "-layout");
    assert_holds(text, "Curl-flat");
    assert_holds(text, "58 %, n 13");
    assert_holds(text, "52 %, n 9");
    assert_holds(text, "80 % interval");
    assert_holds(text, "Estimated rate:");
    assert_holds(text, "3 more under 5");
    assert_holds(text, "6 dropbacks, each concept under 5");
    assert_holds(text, "2026 season \u00b7 made 2026-11-02");
    assert_holds(text, "Page 1 of 1");
}
END_TEST

/* More situations and coverages than the paper has room for: each cell is on paper once, each
 * situation once beside each block of coverages, and every page has their heads. */
START_TEST(test_document__long_call_sheet_loses_no_row)
{
    enum { ROWS = 20, COVERAGES = 8, BLOCKS = 2 };
    RbCallCell small[4];
    RbCallSheet sheet = *example_sheet(small);
    static char names[ROWS + COVERAGES][16];
    const char *situations[ROWS];
    const char *coverages[COVERAGES];
    RbCallCell cells[ROWS * COVERAGES] = { 0 };
    for (int i = 0; i < ROWS; i++) {
        g_snprintf(names[i], sizeof names[i], "Row%02d", i);
        situations[i] = names[i];
    }
    for (int i = 0; i < COVERAGES; i++) {
        g_snprintf(names[ROWS + i], sizeof names[0], "Look%02d", i);
        coverages[i] = names[ROWS + i];
    }
    for (int i = 0; i < ROWS * COVERAGES; i++) {
        cells[i] = (RbCallCell){ .picks = { { "Stick", 5, 100 + i, 0.5, 0.4, 0.6 } },
                                 .n_picks = 1,
                                 .dropbacks = 100 + i };
    }
    sheet.situations = situations;
    sheet.n_situations = ROWS;
    sheet.coverages = coverages;
    sheet.n_coverages = COVERAGES;
    sheet.cells = cells;
    g_autoptr(RbDocument) document = rb_call_sheet_document(&sheet);
    g_autofree char *text = text_of(document, "-layout");
    for (int i = 0; i < ROWS * COVERAGES; i++) {
        g_autofree char *cell = g_strdup_printf("n %d", 100 + i);
        ck_assert_int_eq(count_of(text, cell), 1);
    }
    for (int i = 0; i < ROWS; i++) {
        ck_assert_int_eq(count_of(text, situations[i]), BLOCKS);
    }
    g_auto(GStrv) pages = g_strsplit(text, "\f", -1);
    for (int i = 0; pages[i] != NULL; i++) {
        const bool first = strstr(pages[i], "Look00") != NULL;
        const bool second = strstr(pages[i], "Look07") != NULL;
        ck_assert(strstr(pages[i], "Row") == NULL || first != second);
    }
}
END_TEST

START_TEST(test_document__empty_call_sheet)
{
    RbCallCell cells[4];
    RbCallSheet sheet = *example_sheet(cells);
    sheet.n_coverages = 0;
    g_autoptr(RbDocument) document = rb_call_sheet_document(&sheet);
    g_autofree char *text = text_of(document, "");
    assert_holds(text, "No dropbacks with both a concept and a coverage.");
}
END_TEST

/* Long names of forty concepts and sixteen coverages: every letter of every one is on paper. */
static const char *long_concept(RbConceptId id, const void *data)
{
    static char names[64][64];
    (void)data;
    char *name = names[id.value % 64];
    g_snprintf(name, sizeof names[0], "Protection-converted double-post %02d",
               (int)id.value);
    return name;
}

static const char *long_coverage(RbTermId id, const void *data)
{
    static char names[32][64];
    (void)data;
    char *name = names[id.value % 32];
    g_snprintf(name, sizeof names[0], "Quarters-match rotation weak %02d", (int)id.value);
    return name;
}

static RbPairings large_table(void)
{
    GArray *rows = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    for (int concept = 1; concept <= 40; concept ++) {
        for (int coverage = 1; coverage <= 16; coverage++) {
            for (int i = 0; i < 6; i++) {
                const RbDropback row = { .concept = { concept },
                                         .coverage = { coverage },
                                         .success = (concept + coverage + i) % 2 == 0,
                                         .has_points = true,
                                         .points = -10.0,
                                         .in_ladder = true };
                g_array_append_val(rows, row);
            }
        }
    }
    RbPairings pairings;
    rb_pairings_build((const RbDropback *)(const void *)rows->data, (int)rows->len,
                      &pairings);
    g_array_unref(rows);
    return pairings;
}

/* Blanks taken out, so that names wrapped over lines are found whole. */
static char *without_blanks(const char *text)
{
    GString *packed = g_string_new(NULL);
    for (const char *at = text; *at != '\0'; at++) {
        if (!g_ascii_isspace(*at)) {
            g_string_append_c(packed, *at);
        }
    }
    return g_string_free(packed, FALSE);
}

START_TEST(test_document__long_names_lose_no_letter)
{
    RbPairings pairings = large_table();
    const RbReport report = { .title = "Large",
                              .made_on = "2026-11-02",
                              .profile = rb_success_profile_default(),
                              .pairings = &pairings,
                              .names = { long_concept, long_coverage, NULL } };
    g_autoptr(RbDocument) document = rb_report_document(&report);
    g_autofree char *text = text_of(document, "-raw");
    g_autofree char *packed = without_blanks(text);
    ck_assert_ptr_null(strstr(text, "\u2026")); /* nothing was cut */
    for (int i = 1; i <= 40; i++) {
        g_autofree char *name = without_blanks(long_concept((RbConceptId){ i }, NULL));
        assert_holds(packed, name);
    }
    for (int i = 1; i <= 16; i++) {
        g_autofree char *name = without_blanks(long_coverage((RbTermId){ i }, NULL));
        assert_holds(packed, name);
    }
    rb_pairings_clear(&pairings);
}
END_TEST

/* However many ladders there are, the notes stand under some of them or under a head of their own. */
START_TEST(test_document__notes_alone_on_a_page_have_a_head)
{
    enum { MOST = 9 };
    int alone = 0;
    FullPage full;
    full_page_init(&full);
    RbReport report = full.example.report;
    RbReportPairing ladders[MOST];
    for (int i = 0; i < MOST; i++) {
        ladders[i] = full.example.looked[i % 2];
    }
    report.ladders = ladders;
    for (report.n_ladders = 1; report.n_ladders <= MOST; report.n_ladders++) {
        g_autoptr(RbDocument) document = rb_report_document(&report);
        g_autofree char *text = text_of(document, "-layout");
        g_auto(GStrv) sheets = g_strsplit(text, "\f", -1);
        const char *last = sheets[rb_document_get_pages(document) - 1];
        assert_holds(last, "Points are expected points");
        const bool headed = strstr(last, "How to read these pages") != NULL;
        ck_assert(headed != (strstr(last, " against ") != NULL));
        alone += headed;
    }
    ck_assert_int_gt(alone, 0);
    ck_assert_int_lt(alone, MOST);
    full_page_clear(&full);
}
END_TEST

typedef struct {
    double x1, y1, x2, y2;
} WordBox;

/* Of the page that starts at `page`: no word runs into another one on its line, as it would if a
 * text were wider than its cell. Returns how many words there are. */
static int check_words_apart(const char *page)
{
    const char *end = strstr(page, "</page>");
    g_autoptr(GArray) words = g_array_new(FALSE, FALSE, sizeof(WordBox));
    for (const char *at = page;
         (at = g_strstr_len(at, end - at, "<word xMin=\"")) != NULL; at++) {
        WordBox box;
        ck_assert_int_eq(sscanf(at,
                                "<word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf",
                                &box.x1, &box.y1, &box.x2, &box.y2),
                         4);
        ck_assert(box.x1 >= 35.0 && box.x2 <= 612.0 - 35.0);
        ck_assert(box.y1 >= 30.0 && box.y2 <= 780.0);
        for (guint i = 0; i < words->len; i++) {
            const WordBox *other = &g_array_index(words, WordBox, i);
            const double high = MIN(box.y2, other->y2) - MAX(box.y1, other->y1);
            const double wide = MIN(box.x2, other->x2) - MAX(box.x1, other->x1);
            const double line = MIN(box.y2 - box.y1, other->y2 - other->y1);
            ck_assert_msg(high < line / 2 || wide < 0.2,
                          "%.90s runs into a word at %g, %g", at, other->x1, other->y1);
        }
        g_array_append_val(words, box);
    }
    return (int)words->len;
}

/* The boxes of all words, by poppler: inside the paper's margins, and each in its cell. */
START_TEST(test_document__nothing_leaves_the_paper_or_its_cell)
{
    RbPairings pairings = large_table();
    g_autofree RbMeasured *figures = g_new0(RbMeasured, pairings.n_cells + 1);
    rb_pairings_measure(&pairings, RB_MEASURE_SUCCESS, figures);
    const RbReport report = { .title = "Large",
                              .filter =
                                  "A filter that says a great deal and goes on for "
                                  "longer than the line at the foot of the page has "
                                  "room for, so that it must be cut there",
                              .made_on = "2026-11-02",
                              .profile = rb_success_profile_default(),
                              .pairings = &pairings,
                              .figures = figures,
                              .names = { long_concept, long_coverage, NULL } };
    g_autoptr(RbDocument) document = rb_report_document(&report);
    g_autofree char *boxes = text_of(document, "-bbox");
    int words = 0;
    for (const char *at = boxes; (at = strstr(at, "<page ")) != NULL; at++) {
        words += check_words_apart(at);
    }
    ck_assert_int_gt(words, 40 * 16 * 4);
    rb_pairings_clear(&pairings);
}
END_TEST

START_TEST(test_document__cancel_stops_the_writing)
{
    RbExampleReport example;
    GError *error = NULL;
    rb_example_report_init(&example);
    g_autoptr(RbDocument) document = rb_report_document(&example.report);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    rb_cancel_cancel(cancel);
    ck_assert_ptr_null(rb_document_pdf(document, cancel, NULL, &error));
    ck_assert(g_error_matches(error, RB_BASE_ERROR, RB_BASE_ERROR_CANCELLED));
    g_clear_error(&error);
    rb_example_report_clear(&example);
}
END_TEST

/* What a print dialog gets is what the PDF holds: the same ink at a page's own size. */
START_TEST(test_document__paints_what_it_writes)
{
    RbExampleReport example;
    GError *error = NULL;
    rb_example_report_init(&example);
    g_autoptr(RbDocument) document = rb_report_document(&example.report);
    g_autoptr(GByteArray) png = rb_document_png(document, 0, 612, &error);
    rb_assert_no_error(error);
    g_autofree char *path = rb_test_path("page.png");
    ck_assert(rb_report_write_bytes(png, path, &error));
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 612, 792);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_paint(cr);
    rb_document_paint(document, 0, cr);
    cairo_destroy(cr);
    cairo_surface_t *read = cairo_image_surface_create_from_png(path);
    ck_assert_int_eq(cairo_image_surface_get_width(read), 612);
    ck_assert_int_eq(cairo_image_surface_get_height(read), 792);
    int dark = 0;
    for (int y = 0; y < 792; y++) {
        const unsigned char *a = cairo_image_surface_get_data(surface) +
                                 y * cairo_image_surface_get_stride(surface);
        const unsigned char *b =
            cairo_image_surface_get_data(read) + y * cairo_image_surface_get_stride(read);
        for (int x = 0; x < 612; x++) {
            ck_assert_int_eq(a[4 * x], b[4 * x]);
            dark += a[4 * x] < 128;
        }
    }
    ck_assert_int_gt(dark, 2000);
    cairo_surface_destroy(read);
    cairo_surface_destroy(surface);
    rb_example_report_clear(&example);
}
END_TEST

/* Well-formed by libxml2, with the words in it. */
static void check_svg(const GByteArray *svg, const char *const *words)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("chart.svg");
    ck_assert(rb_report_write_bytes(svg, path, &error));
    rb_assert_no_error(error);
    g_autofree char *checked = rb_run("xmllint --noout --nonet '%s'", path);
    g_autofree char *text = rb_run("xmllint --nonet --xpath 'string(/*)' '%s'", path);
    for (int i = 0; words[i] != NULL; i++) {
        assert_holds(text, words[i]);
    }
}

START_TEST(test_document__charts_as_svg)
{
    static const char *const table[] = { "Pairings, 2026 season", "Curl-flat", "Cover 3",
                                         "3rd down, made 2026-11-02", NULL };
    static const char *const ladder[] = { "Curl-flat against Cover 2", "eyes",
                                          "Check-down", "this team with itself", NULL };
    RbExampleReport example;
    GError *error = NULL;
    rb_example_report_init(&example);
    g_autoptr(GByteArray) first =
        rb_chart_of_table(&example.report, RB_CHART_SVG, 0, &error);
    rb_assert_no_error(error);
    check_svg(first, table);
    g_autoptr(GByteArray) second =
        rb_chart_of_ladder(&example.report, &example.looked[0], RB_CHART_SVG, 0, &error);
    rb_assert_no_error(error);
    check_svg(second, ladder);
    rb_example_report_clear(&example);
}
END_TEST

START_TEST(test_document__charts_as_png)
{
    RbExampleReport example;
    GError *error = NULL;
    rb_example_report_init(&example);
    for (int i = 0; i < 2; i++) {
        g_autoptr(GByteArray) png =
            i == 0 ? rb_chart_of_table(&example.report, RB_CHART_PNG, 1600, &error)
                   : rb_chart_of_ladder(&example.report, &example.looked[0], RB_CHART_PNG,
                                        1600, &error);
        rb_assert_no_error(error);
        /* PNG (ISO/IEC 15948), 5.2 and 11.2.2: signature, then width in the first chunk. */
        ck_assert(memcmp(png->data, "\x89PNG\r\n\x1a\n", 8) == 0);
        ck_assert_int_eq(png->data[18] << 8 | png->data[19], 1600);
    }
    rb_example_report_clear(&example);
}
END_TEST

START_TEST(test_document__empty_charts)
{
    static const char *const words[] = { "No dropbacks with both", NULL };
    static const char *const none[] = { "All dropbacks", "No dropbacks here.", NULL };
    RbPairings pairings;
    GError *error = NULL;
    rb_pairings_build(NULL, 0, &pairings);
    const RbLadder ladder = { 0 };
    const RbBreak found = { 0 };
    const RbReportPairing looked = { .ladder = &ladder, .found = &found };
    const RbReport report = { .title = "Nothing yet",
                              .made_on = "2026-11-02",
                              .pairings = &pairings,
                              .names = rb_example_names() };
    g_autoptr(GByteArray) table = rb_chart_of_table(&report, RB_CHART_SVG, 0, &error);
    check_svg(table, words);
    g_autoptr(GByteArray) chart =
        rb_chart_of_ladder(&report, &looked, RB_CHART_SVG, 0, &error);
    check_svg(chart, none);
    /* A page of nothing is a page too. */
    const RbPairingPage page = { .looked = looked, .tally = &pairings.all };
    g_autoptr(RbDocument) document = rb_pairing_page_document(&report, &page);
    g_autofree char *text = text_of(document, "");
    assert_holds(text, "No dropbacks here.");
    ck_assert_ptr_null(strstr(text, "nan"));
    rb_pairings_clear(&pairings);
}
END_TEST

TCase *rb_case_document(void)
{
    TCase *tcase = rb_case_new("document");
    tcase_add_test(tcase, test_document__pairing_is_one_page);
    tcase_add_test(tcase, test_document__list_is_cut_aloud);
    tcase_add_test(tcase, test_document__names_are_left_out);
    tcase_add_test(tcase, test_document__frames_are_pictures);
    tcase_add_test(tcase, test_document__book_keeps_its_contents);
    tcase_add_test(tcase, test_document__call_sheet_shows_numbers);
    tcase_add_test(tcase, test_document__long_call_sheet_loses_no_row);
    tcase_add_test(tcase, test_document__empty_call_sheet);
    tcase_add_test(tcase, test_document__notes_alone_on_a_page_have_a_head);
    tcase_add_test(tcase, test_document__long_names_lose_no_letter);
    tcase_add_test(tcase, test_document__nothing_leaves_the_paper_or_its_cell);
    tcase_add_test(tcase, test_document__cancel_stops_the_writing);
    tcase_add_test(tcase, test_document__paints_what_it_writes);
    tcase_add_test(tcase, test_document__charts_as_svg);
    tcase_add_test(tcase, test_document__charts_as_png);
    tcase_add_test(tcase, test_document__empty_charts);
    return tcase;
}
