/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/report/card.h"

#include <pango/pangocairo.h>
#include <stdbool.h>

/* The paper and ink of the program as one shade each. */
#define PAPER 0.97
#define INK 0.13

static PangoLayout *line_layout(cairo_t *cr, const char *text, double size, int width)
{
    PangoLayout *layout = pango_cairo_create_layout(cr);
    PangoFontDescription *font = pango_font_description_from_string("Sans");
    pango_font_description_set_absolute_size(font, size * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_width(layout, width * PANGO_SCALE);
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_alignment(layout, PANGO_ALIGN_CENTER);
    pango_layout_set_text(layout, text, -1);
    return layout;
}

/* Draws, or with `cr` moved nowhere only measures, the lines. Returns their height. */
static double draw_lines(cairo_t *cr, const char *const *lines, int width, int height,
                         double top, bool draw)
{
    const double text_size = height / 18.0;
    const int inside = width * 8 / 10;
    double y = top;
    for (int i = 0; lines[i] != NULL; i++) {
        const double size = i == 0 ? text_size * 1.5 : text_size;
        PangoLayout *layout = line_layout(cr, lines[i], size, inside);
        int line_height = 0;
        pango_layout_get_pixel_size(layout, NULL, &line_height);
        if (draw) {
            cairo_move_to(cr, (width - inside) / 2.0, y);
            pango_cairo_show_layout(cr, layout);
        }
        y += line_height + size * 0.4;
        g_object_unref(layout);
    }
    return y - top;
}

uint8_t *rb_title_card_draw(const char *const *lines, int width, int height)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, PAPER, PAPER, PAPER);
    cairo_paint(cr);
    cairo_set_source_rgb(cr, INK, INK, INK);
    const double tall = draw_lines(cr, lines, width, height, 0.0, false);
    draw_lines(cr, lines, width, height, MAX((height - tall) / 2.0, height / 20.0), true);
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    uint8_t *gray = g_malloc((gsize)width * (gsize)height);
    const uint8_t *pixels = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++) {
            gray[(gsize)y * (gsize)width + (gsize)x] =
                pixels[(gsize)y * (gsize)stride + (gsize)x * 4 + 1];
        }
    }
    cairo_surface_destroy(surface);
    return gray;
}
