/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cairo.h>
#include <math.h>
#include <string.h>

#include "rb/report/concept-page.h"

#include "plays.h"
#include "suite.h"

TCase *rb_case_diagram(void);

static RbDiagram diagram_of(const RbConcept *concept, RbSide side)
{
    const RbDiagramField field = rb_example_field();
    return rb_diagram_of_concept(concept, &field, side);
}

static RbConcept *concept_of(RbRoute route, RbRunner runner, int depth_yd)
{
    RbConcept *concept = rb_concept_new("one", "One");
    RbRead *read = rb_read_new(1, route);
    read->runner = runner;
    read->depth_yd = depth_yd;
    g_ptr_array_add(concept->reads, read);
    return concept;
}

/* Every route of every man from every hash, at any depth: inside the sidelines, and the break
 * where it should be. */
START_TEST(test_diagram__every_route_stays_inside_and_breaks_at_its_depth)
{
    for (RbRoute route = RB_ROUTE_UNKNOWN; route <= RB_ROUTE_DRAWN; route++) {
        for (RbRunner runner = RB_RUNNER_1; runner <= RB_RUNNER_BACK; runner++) {
            g_autoptr(RbConcept) concept = concept_of(route, runner, 0);
            for (RbHash hash = RB_HASH_LEFT; hash <= RB_HASH_RIGHT; hash++) {
                RbDiagram diagram = diagram_of(concept, RB_SIDE_LEFT);
                diagram.hash = hash;
                RbYards places[RB_ROUTE_POINTS_MAX];
                RbRoutePath path;
                ck_assert(rb_diagram_path(&diagram, 0, places, &path));
                ck_assert_double_eq_tol(places[path.break_at].deep,
                                        rb_route_usual_depth(route), 1e-6);
                for (int i = 0; i < path.n; i++) {
                    ck_assert_double_ge(places[i].across, 1.0 - 1e-9);
                    ck_assert_double_le(places[i].across, 160.0 / 3.0 - 1.0 + 1e-9);
                }
            }
        }
    }
}
END_TEST

/* From the middle of the field the left is the right in a mirror. */
START_TEST(test_diagram__the_left_mirrors_the_right)
{
    g_autoptr(RbConcept) concept = rb_example_concept();
    const RbDiagram left = diagram_of(concept, RB_SIDE_LEFT);
    const RbDiagram right = diagram_of(concept, RB_SIDE_RIGHT);
    for (int i = 0; i < left.n_routes; i++) {
        RbYards a[RB_ROUTE_POINTS_MAX];
        RbYards b[RB_ROUTE_POINTS_MAX];
        RbRoutePath path;
        RbRoutePath other;
        ck_assert(rb_diagram_path(&left, i, a, &path));
        ck_assert(rb_diagram_path(&right, i, b, &other));
        ck_assert_int_eq(path.n, other.n);
        for (int k = 0; k < path.n; k++) {
            ck_assert_double_eq_tol(a[k].across + b[k].across, 160.0 / 3.0, 1e-9);
            ck_assert_double_eq_tol(a[k].deep, b[k].deep, 1e-9);
        }
    }
}
END_TEST

/* What is pressed on the drawing is the place drawn there. */
START_TEST(test_diagram__spots_and_places_are_each_others_inverse)
{
    g_autoptr(RbConcept) concept = concept_of(RB_ROUTE_POST, RB_RUNNER_1, 16);
    const RbDiagram diagram = diagram_of(concept, RB_SIDE_LEFT);
    for (int width = 300; width <= 900; width += 200) {
        double last = -1.0;
        for (double across = 0.0; across <= 53.0; across += 5.3) {
            const RbYards at = { across, across / 2.0 - 5.0 };
            double x = 0.0;
            double y = 0.0;
            rb_diagram_spot(&diagram, width, at, &x, &y);
            ck_assert(x > last && x >= 0.0 && x <= width);
            ck_assert(y >= 0.0 && y <= rb_diagram_height(&diagram, width));
            const RbYards back = rb_diagram_place(&diagram, width, x, y);
            ck_assert_double_eq_tol(back.across, at.across, 1e-9);
            ck_assert_double_eq_tol(back.deep, at.deep, 1e-9);
            last = x;
        }
    }
}
END_TEST

START_TEST(test_diagram__receivers_are_counted_from_the_sideline_in)
{
    g_autoptr(RbConcept) trips = concept_of(RB_ROUTE_FLAT, RB_RUNNER_3, 0);
    for (RbHash hash = RB_HASH_LEFT; hash <= RB_HASH_RIGHT; hash++) {
        for (RbWidth width = RB_WIDTH_UNKNOWN; width <= RB_WIDTH_STACK; width++) {
            RbDiagram diagram = diagram_of(trips, RB_SIDE_RIGHT);
            diagram.hash = hash;
            diagram.width = width;
            RbYards at;
            double last = 160.0 / 3.0;
            for (RbRunner runner = RB_RUNNER_1; runner <= RB_RUNNER_3; runner++) {
                ck_assert(rb_diagram_man(&diagram, runner, RB_SIDE_RIGHT, &at));
                ck_assert_double_lt(at.across, last);
                ck_assert_double_gt(at.across, rb_diagram_ball(&diagram) + 3.5);
                last = at.across;
            }
            ck_assert(!rb_diagram_man(&diagram, RB_RUNNER_4, RB_SIDE_RIGHT, &at));
            ck_assert(rb_diagram_man(&diagram, RB_RUNNER_1, RB_SIDE_LEFT, &at));
            ck_assert_double_lt(at.across, rb_diagram_ball(&diagram));
        }
    }
}
END_TEST

/* The ball lies on the hash line of the rules, or in the middle between them. */
START_TEST(test_diagram__the_ball_lies_on_the_hash)
{
    g_autoptr(RbConcept) concept = rb_example_concept();
    RbDiagram diagram = diagram_of(concept, RB_SIDE_LEFT);
    ck_assert_double_eq_tol(rb_diagram_ball(&diagram), 80.0 / 3.0, 1e-9);
    diagram.hash = RB_HASH_LEFT;
    ck_assert_double_eq_tol(rb_diagram_ball(&diagram), 20.0, 1e-9);
    diagram.hash = RB_HASH_RIGHT;
    ck_assert_double_eq_tol(rb_diagram_ball(&diagram), 100.0 / 3.0, 1e-9);
}
END_TEST

START_TEST(test_diagram__an_order_shows_conversion_clear_out_and_the_first_read)
{
    g_autoptr(RbConcept) concept = rb_example_concept();
    RbDiagram diagram = diagram_of(concept, RB_SIDE_LEFT);
    ck_assert(diagram.routes[0].first && !diagram.routes[1].first);
    const RbOrder order = rb_example_order(concept, RB_SIDE_LEFT);
    rb_diagram_take_order(&diagram, &order);
    ck_assert_int_eq(diagram.n_routes, 3);
    ck_assert(diagram.routes[0].first && diagram.routes[0].number == 2);
    const RbDiagramRoute *converted = &diagram.routes[2];
    ck_assert_int_eq(converted->number, 1);
    ck_assert_int_eq(converted->route, RB_ROUTE_GO);
    ck_assert(converted->converted && converted->as == RB_DRAWN_CLEAR_OUT);
    g_autofree char *text = rb_diagram_text(&diagram);
    ck_assert_str_eq(text,
                     "Read 2: pivot by #2 on the left, 5 yards. "
                     "Read 3: check-down by the back on the left, 4 yards. "
                     "Read 1: go by #1 on the left, 20 yards, converted, to clear out.");
}
END_TEST

START_TEST(test_diagram__corner_and_safeties_stand_as_the_picture_says)
{
    g_autoptr(RbConcept) concept = rb_example_concept();
    RbDiagram diagram = diagram_of(concept, RB_SIDE_LEFT);
    RbYards at[3];
    RbYards receiver;
    ck_assert(!rb_diagram_corner(&diagram, RB_SIDE_LEFT, at));
    ck_assert_int_eq(rb_diagram_safeties(&diagram, at), 0);
    diagram.shown = rb_example_shown();
    ck_assert(rb_diagram_corner(&diagram, RB_SIDE_LEFT, at));
    ck_assert(rb_diagram_man(&diagram, RB_RUNNER_1, RB_SIDE_LEFT, &receiver));
    ck_assert_double_eq_tol(at[0].deep, 6.5, 1e-9);
    ck_assert_double_lt(at[0].across, receiver.across); /* outside leverage */
    ck_assert(rb_diagram_corner(&diagram, RB_SIDE_RIGHT, at));
    ck_assert(rb_diagram_man(&diagram, RB_RUNNER_1, RB_SIDE_RIGHT, &receiver));
    ck_assert_double_eq_tol(at[0].deep, 8.0, 1e-9);
    ck_assert_double_lt(at[0].across, receiver.across); /* inside leverage */
    ck_assert_int_eq(rb_diagram_safeties(&diagram, at), 2);
    ck_assert_double_eq_tol(at[0].across + at[1].across, 160.0 / 3.0, 1e-9);
    /* A pressed corner stands nearer than a squat one, who stands nearer than an off one. */
    static const RbTechnique nearer[] = { RB_TECHNIQUE_PRESS, RB_TECHNIQUE_SQUAT,
                                          RB_TECHNIQUE_OFF };
    double last = 0.0;
    for (int i = 0; i < 3; i++) {
        diagram.shown.left =
            (RbSideShown){ nearer[i], -1, RB_LEVERAGE_UNKNOWN, 0, -1, 0 };
        ck_assert(rb_diagram_corner(&diagram, RB_SIDE_LEFT, at));
        ck_assert_double_gt(at[0].deep, last);
        last = at[0].deep;
    }
}
END_TEST

/* A shell is named by its deep safeties: common practice, no source. They stand the same from either
 * side, from left to right, deeper than any corner who is not said to be off farther. */
START_TEST(test_diagram__each_shell_has_its_deep_safeties)
{
    static const struct {
        RbShell shell;
        int deep;
    } rows[] = {
        { RB_SHELL_UNKNOWN, 0 },  { RB_SHELL_NONE_DEEP, 0 },  { RB_SHELL_ONE_HIGH, 1 },
        { RB_SHELL_TWO_HIGH, 2 }, { RB_SHELL_THREE_HIGH, 3 }, { RB_SHELL_UNCLEAR, 0 },
    };
    g_autoptr(RbConcept) concept = rb_example_concept();
    RbDiagram diagram = diagram_of(concept, RB_SIDE_LEFT);
    const double width = 160.0 / 3.0;
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        RbYards at[3];
        diagram.shown.shell = rows[i].shell;
        const int n = rb_diagram_safeties(&diagram, at);
        ck_assert_int_eq(n, rows[i].deep);
        for (int k = 0; k < n; k++) {
            ck_assert_double_eq_tol(at[k].across + at[n - 1 - k].across, width, 1e-9);
            ck_assert(k == 0 || at[k - 1].across + 5.0 < at[k].across);
            ck_assert(at[k].across > 1.0 && at[k].across < width - 1.0);
            for (RbTechnique t = RB_TECHNIQUE_UNKNOWN; t <= RB_TECHNIQUE_HARD; t++) {
                RbYards corner;
                diagram.shown.left =
                    (RbSideShown){ t, -1, RB_LEVERAGE_UNKNOWN, 0, -1, 0 };
                const bool drawn = rb_diagram_corner(&diagram, RB_SIDE_LEFT, &corner);
                ck_assert(drawn == (t != RB_TECHNIQUE_UNKNOWN));
                ck_assert(!drawn || corner.deep < at[k].deep);
            }
        }
    }
}
END_TEST

/* Draws with a margin around; returns how many pixels have the colour. */
static int count_pixels(const RbDiagram *diagram, RbColour colour, bool *outside)
{
    enum { WIDTH = 500, MARGIN = 20 };
    const RbPalette palette = rb_palette_light();
    const int height = (int)ceil(rb_diagram_height(diagram, WIDTH));
    cairo_surface_t *surface = cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, WIDTH + 2 * MARGIN, height + 2 * MARGIN);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_paint(cr);
    const double drawn = rb_diagram_draw(cr, diagram, &palette, MARGIN, MARGIN, WIDTH);
    ck_assert_int_eq((int)ceil(drawn), height);
    ck_assert_int_eq(cairo_status(cr), CAIRO_STATUS_SUCCESS);
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    const uint32_t want = (uint32_t)(colour.red * 255 + 0.5) << 16 |
                          (uint32_t)(colour.green * 255 + 0.5) << 8 |
                          (uint32_t)(colour.blue * 255 + 0.5);
    int n = 0;
    *outside = false;
    for (int y = 0; y < height + 2 * MARGIN; y++) {
        const uint32_t *row =
            (const uint32_t *)(const void *)(cairo_image_surface_get_data(surface) +
                                             (size_t)y *
                                                 (size_t)cairo_image_surface_get_stride(
                                                     surface));
        for (int x = 0; x < WIDTH + 2 * MARGIN; x++) {
            const bool margin = x < MARGIN - 3 || x > WIDTH + MARGIN + 3 ||
                                y < MARGIN - 3 || y > height + MARGIN + 3;
            *outside |= margin && (row[x] & 0xFFFFFF) != 0xFFFFFF;
            n += (row[x] & 0xFFFFFF) == want;
        }
    }
    cairo_surface_destroy(surface);
    return n;
}

START_TEST(test_diagram__is_drawn_inside_its_room)
{
    const RbPalette palette = rb_palette_light();
    g_autoptr(RbConcept) concept = rb_example_concept();
    for (RbHash hash = RB_HASH_LEFT; hash <= RB_HASH_RIGHT; hash++) {
        RbDiagram diagram = diagram_of(concept, RB_SIDE_LEFT);
        diagram.hash = hash;
        diagram.shown = rb_example_shown();
        bool outside = false;
        ck_assert_int_gt(count_pixels(&diagram, palette.ink, &outside), 300);
        ck_assert(!outside);
        ck_assert_int_gt(count_pixels(&diagram, palette.accent, &outside), 150);
        diagram.n_routes = 0;
        ck_assert_int_eq(count_pixels(&diagram, palette.accent, &outside), 0);
    }
}
END_TEST

static RbConceptPage example_page(const RbDiagram *diagram)
{
    static const char *const reads[] = { "Read 2: pivot by #2.",
                                         "Check-down & \xff <back>.", NULL };
    static const char *const rules[] = { "Read 1 becomes a go.", NULL };
    return (RbConceptPage){ .title = "Out and pivot",
                            .picture = "Squat corner left",
                            .notes = "Made up.",
                            .diagram = diagram,
                            .reads = reads,
                            .rules = rules,
                            .made_on = "2026-11-02" };
}

START_TEST(test_concept_page__svg_holds_the_text_and_is_well_formed)
{
    g_autoptr(RbConcept) concept = rb_example_concept();
    RbDiagram diagram = diagram_of(concept, RB_SIDE_LEFT);
    diagram.shown = rb_example_shown();
    const RbConceptPage page = example_page(&diagram);
    g_autoptr(GByteArray) svg = rb_concept_page_svg(&page);
    g_autofree char *text = g_strndup((const char *)svg->data, svg->len);
    static const char *const wanted[] = { "Out and pivot",        "Squat corner left",
                                          "Read 2: pivot by #2.", "Read 1 becomes a go.",
                                          "squat, 6.5 yd",        "rotation left",
                                          "&lt;back&gt;",         "Made up." };
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        ck_assert_msg(strstr(text, wanted[i]) != NULL, "\"%s\" is missing", wanted[i]);
    }
    const GMarkupParser nothing = { NULL, NULL, NULL, NULL, NULL };
    GMarkupParseContext *context = g_markup_parse_context_new(&nothing, 0, NULL, NULL);
    ck_assert(g_markup_parse_context_parse(context, text, -1, NULL));
    ck_assert(g_markup_parse_context_end_parse(context, NULL));
    g_markup_parse_context_free(context);
}
END_TEST

START_TEST(test_concept_page__png_and_pdf_are_what_they_say)
{
    g_autoptr(RbConcept) concept = rb_example_concept();
    const RbDiagram diagram = diagram_of(concept, RB_SIDE_RIGHT);
    const RbConceptPage page = example_page(&diagram);
    g_autoptr(GByteArray) png = rb_concept_page_png(&page, 700, NULL);
    ck_assert_ptr_nonnull(png);
    /* PNG (ISO/IEC 15948): the signature, then IHDR with the width in big-endian order. */
    ck_assert_mem_eq(png->data, "\x89PNG\r\n\x1a\n", 8);
    ck_assert_int_eq(png->data[18] << 8 | png->data[19], 700);
    g_autoptr(GByteArray) pdf = rb_concept_page_pdf(&page, NULL);
    g_autoptr(GByteArray) again = rb_concept_page_pdf(&page, NULL);
    ck_assert_ptr_nonnull(pdf);
    ck_assert_mem_eq(pdf->data, "%PDF-", 5);
    ck_assert_int_eq(pdf->len, again->len);
    ck_assert_mem_eq(pdf->data, again->data, pdf->len);
}
END_TEST

/* pdftotext, of poppler, reads back what a reader would. */
START_TEST(test_concept_page__text_of_the_pdf_can_be_read)
{
    g_autofree char *tool = g_find_program_in_path("pdftotext");
    ck_assert_msg(tool != NULL, "pdftotext (poppler-utils) is needed for this test");
    g_autoptr(RbConcept) concept = rb_example_concept();
    const RbDiagram diagram = diagram_of(concept, RB_SIDE_RIGHT);
    const char *rules[61] = { NULL };
    for (int i = 0; i < 60; i++) {
        rules[i] =
            "A rule among so many that the page has to be drawn smaller than it is.";
    }
    RbConceptPage page = example_page(&diagram);
    page.rules = rules;
    g_autoptr(GByteArray) pdf = rb_concept_page_pdf(&page, NULL);
    g_autofree char *path = g_build_filename(rb_test_folder(), "page.pdf", NULL);
    ck_assert(g_file_set_contents(path, (const char *)pdf->data, pdf->len, NULL));
    g_autofree char *text = NULL;
    const char *argv[] = { tool, path, "-", NULL };
    ck_assert(g_spawn_sync(NULL, (char **)argv, NULL, G_SPAWN_DEFAULT, NULL, NULL, &text,
                           NULL, NULL, NULL));
    ck_assert_ptr_nonnull(strstr(text, "Out and pivot"));
    ck_assert_ptr_nonnull(strstr(text, "Read 2: pivot by #2."));
    ck_assert_ptr_nonnull(strstr(text, "Made up."));
}
END_TEST

TCase *rb_case_diagram(void)
{
    TCase *tcase = rb_case_new("diagram");
    tcase_add_test(tcase, test_diagram__every_route_stays_inside_and_breaks_at_its_depth);
    tcase_add_test(tcase, test_diagram__the_left_mirrors_the_right);
    tcase_add_test(tcase, test_diagram__spots_and_places_are_each_others_inverse);
    tcase_add_test(tcase, test_diagram__receivers_are_counted_from_the_sideline_in);
    tcase_add_test(tcase, test_diagram__the_ball_lies_on_the_hash);
    tcase_add_test(tcase,
                   test_diagram__an_order_shows_conversion_clear_out_and_the_first_read);
    tcase_add_test(tcase, test_diagram__corner_and_safeties_stand_as_the_picture_says);
    tcase_add_test(tcase, test_diagram__each_shell_has_its_deep_safeties);
    tcase_add_test(tcase, test_diagram__is_drawn_inside_its_room);
    tcase_add_test(tcase, test_concept_page__svg_holds_the_text_and_is_well_formed);
    tcase_add_test(tcase, test_concept_page__png_and_pdf_are_what_they_say);
    tcase_add_test(tcase, test_concept_page__text_of_the_pdf_can_be_read);
    return tcase;
}
