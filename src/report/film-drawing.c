/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/report/film-drawing.h"

#include <math.h>
#include <pango/pangocairo.h>

/* Parts of the picture's height. */
#define LINE 0.006
#define HEAD 0.032
#define TEXT 0.05

static void ink(cairo_t *cr)
{
    cairo_set_source_rgb(cr, 1.0, 0.86, 0.2);
}

static void edge(cairo_t *cr)
{
    cairo_set_source_rgba(cr, 0.05, 0.06, 0.08, 0.85);
}

/* The path on the current point twice: a dark edge, then the bright line. */
static void stroke(cairo_t *cr, double line)
{
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    cairo_set_line_width(cr, line * 2);
    edge(cr);
    cairo_stroke_preserve(cr);
    cairo_set_line_width(cr, line);
    ink(cr);
    cairo_stroke(cr);
}

static void arrow_head(cairo_t *cr, double x1, double y1, double x2, double y2,
                       double size)
{
    const double angle = atan2(y2 - y1, x2 - x1);
    for (int side = -1; side <= 1; side += 2) {
        const double turned = angle + side * 0.45;
        cairo_move_to(cr, x2, y2);
        cairo_line_to(cr, x2 - size * cos(turned), y2 - size * sin(turned));
    }
}

static void paint_circle(cairo_t *cr, double x1, double y1, double x2, double y2)
{
    const double wide = MAX(fabs(x2 - x1) / 2, 1);
    const double high = MAX(fabs(y2 - y1) / 2, 1);
    cairo_save(cr);
    cairo_translate(cr, (x1 + x2) / 2, (y1 + y2) / 2);
    cairo_scale(cr, wide, high);
    cairo_new_sub_path(cr);
    cairo_arc(cr, 0, 0, 1, 0, 2 * G_PI);
    cairo_restore(cr);
}

static void paint_words(cairo_t *cr, const char *words, double x, double y, double height)
{
    PangoLayout *layout = pango_cairo_create_layout(cr);
    PangoFontDescription *font = pango_font_description_from_string("Sans Bold");
    pango_font_description_set_absolute_size(font, height * TEXT * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_text(layout, words, -1);
    cairo_move_to(cr, x, y);
    pango_cairo_layout_path(cr, layout);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_width(cr, height * LINE);
    edge(cr);
    cairo_stroke_preserve(cr);
    ink(cr);
    cairo_fill(cr);
    g_object_unref(layout);
}

void rb_film_drawing_paint(cairo_t *cr, const RbFilmDrawing *drawing, double width,
                           double height)
{
    const double x1 = width * drawing->x1 / RB_DRAW_WHOLE;
    const double y1 = height * drawing->y1 / RB_DRAW_WHOLE;
    const double x2 = width * drawing->x2 / RB_DRAW_WHOLE;
    const double y2 = height * drawing->y2 / RB_DRAW_WHOLE;
    const double line = MAX(height * LINE, 1.5);
    cairo_new_path(cr);
    switch (drawing->kind) {
    case RB_DRAW_LINE:
    case RB_DRAW_ARROW:
        cairo_move_to(cr, x1, y1);
        cairo_line_to(cr, x2, y2);
        if (drawing->kind == RB_DRAW_ARROW) {
            arrow_head(cr, x1, y1, x2, y2, height * HEAD);
        }
        stroke(cr, line);
        break;
    case RB_DRAW_CIRCLE:
        paint_circle(cr, x1, y1, x2, y2);
        stroke(cr, line);
        break;
    case RB_DRAW_TEXT:
        paint_words(cr, drawing->words != NULL ? drawing->words : "", x1, y1, height);
        break;
    }
}

/* Cairo's pixels are multiplied by their opacity and lie in the machine's order. */
static void take_pixels(cairo_surface_t *surface, int width, int height, uint8_t *rgba)
{
    const uint8_t *data = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < height; y++) {
        const uint32_t *row =
            (const uint32_t *)(const void *)(data + (gsize)y * (gsize)stride);
        uint8_t *out = rgba + (gsize)y * (gsize)width * 4;
        for (int x = 0; x < width; x++, out += 4) {
            const uint32_t opacity = row[x] >> 24;
            for (int c = 0; c < 3 && opacity > 0; c++) {
                const uint32_t value = row[x] >> (16 - 8 * c) & 0xff;
                out[c] = (uint8_t)MIN((value * 255 + opacity / 2) / opacity, 255);
            }
            out[3] = (uint8_t)opacity;
        }
    }
}

uint8_t *rb_film_drawings_picture(const GPtrArray *drawings, int64_t frame, int width,
                                  int height)
{
    bool some = false;
    for (guint i = 0; i < drawings->len; i++) {
        some = some || rb_film_drawing_is_seen(drawings->pdata[i], frame);
    }
    if (!some) {
        return NULL;
    }
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width, height);
    cairo_t *cr = cairo_create(surface);
    for (guint i = 0; i < drawings->len; i++) {
        if (rb_film_drawing_is_seen(drawings->pdata[i], frame)) {
            rb_film_drawing_paint(cr, drawings->pdata[i], width, height);
        }
    }
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    uint8_t *rgba = g_malloc0((gsize)width * (gsize)height * 4);
    take_pixels(surface, width, height, rgba);
    cairo_surface_destroy(surface);
    return rgba;
}
