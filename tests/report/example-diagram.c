/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws concepts for looking at: example-diagram PNG [routes]. */
#include <cairo.h>
#include <stdio.h>
#include <string.h>

#include "rb/report/concept-page.h"

#include "plays.h"

enum { WIDTH = 460, HEIGHT = 330, COLUMNS = 4 };

static void draw_route(cairo_t *cr, const RbDiagramField *field, RbRoute route, int place)
{
    g_autoptr(RbConcept) concept = rb_concept_new("x", "x");
    const bool back = route == RB_ROUTE_SWING || route == RB_ROUTE_ANGLE ||
                      route == RB_ROUTE_CHECK_DOWN;
    for (int i = 0; i < 2; i++) {
        RbRead *read = rb_read_new(i + 1, route);
        read->runner = back ? RB_RUNNER_BACK : (RbRunner)(RB_RUNNER_1 + i);
        read->side = i == 0 ? RB_READ_SIDE_SAME : RB_READ_SIDE_OTHER;
        g_ptr_array_add(concept->reads, read);
    }
    const RbDiagram diagram = rb_diagram_of_concept(concept, field, RB_SIDE_RIGHT);
    const RbPalette palette = rb_palette_light();
    const double x = place % COLUMNS * WIDTH;
    const double y = place / COLUMNS * HEIGHT;
    rb_diagram_draw(cr, &diagram, &palette, x + 6, y + 20, WIDTH - 12);
    cairo_move_to(cr, x + 8, y + 14);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_show_text(cr, rb_words_label(&rb_route_words, (int)route));
}

static bool draw_routes(const char *path)
{
    const RbDiagramField field = rb_example_field();
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, WIDTH * COLUMNS, HEIGHT * 7);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 0.98, 0.97, 0.96);
    cairo_paint(cr);
    for (RbRoute route = RB_ROUTE_UNKNOWN; route <= RB_ROUTE_DRAWN; route++) {
        draw_route(cr, &field, route, (int)route);
    }
    cairo_destroy(cr);
    const cairo_status_t status = cairo_surface_write_to_png(surface, path);
    cairo_surface_destroy(surface);
    return status == CAIRO_STATUS_SUCCESS;
}

static bool draw_page(const char *path)
{
    static const char *const reads[] = { "Read 2: pivot by #2, at 5 yards.",
                                         "Read 3: check-down.", NULL };
    static const char *const rules[] = {
        "Read 1 becomes a go, only to clear out, if the corner on its side plays squat.",
        NULL
    };
    const RbDiagramField field = rb_example_field();
    g_autoptr(RbConcept) concept = rb_example_concept();
    const RbOrder order = rb_example_order(concept, RB_SIDE_LEFT);
    RbDiagram diagram = rb_diagram_of_concept(concept, &field, RB_SIDE_LEFT);
    rb_diagram_take_order(&diagram, &order);
    diagram.shown = rb_example_shown();
    diagram.hash = RB_HASH_LEFT;
    const RbConceptPage page = { .title = concept->name,
                                 .picture = "Two high, squat corner left",
                                 .diagram = &diagram,
                                 .reads = reads,
                                 .rules = rules,
                                 .notes = "An example." };
    g_autoptr(GByteArray) png = rb_concept_page_png(&page, 900, NULL);
    return png != NULL &&
           g_file_set_contents(path, (const char *)png->data, png->len, NULL);
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        fprintf(stderr, "Name the PNG file to write.\n");
        return 2;
    }
    return (argc > 2 ? draw_routes(argv[1]) : draw_page(argv[1])) ? 0 : 1;
}
