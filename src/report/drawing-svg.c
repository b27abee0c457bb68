/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "clean-private.h"
#include "drawing-shape-private.h"

/* Numbers for SVG: two decimals, a point whatever the locale. Four can be in use at a time. */
static const char *number(double value)
{
    static _Thread_local char texts[4][G_ASCII_DTOSTR_BUF_SIZE];
    static _Thread_local unsigned next;
    char *text = texts[next++ % 4];
    return g_ascii_formatd(text, G_ASCII_DTOSTR_BUF_SIZE, "%.2f", value);
}

static void svg_colour(GString *out, const char *name, const RbPalette *palette,
                       RbToken token, double tint)
{
    if (token == RB_TOKEN_NONE) {
        g_string_append_printf(out, " %s=\"none\"", name);
        return;
    }
    const RbColour colour = rb_palette_colour(palette, token, tint);
    g_string_append_printf(
        out, " %s=\"#%02x%02x%02x\"", name, (unsigned)lround(colour.red * 255.0),
        (unsigned)lround(colour.green * 255.0), (unsigned)lround(colour.blue * 255.0));
}

static void svg_paint(GString *out, const RbPalette *palette, const Shape *shape)
{
    svg_colour(out, "fill", palette, shape->fill, shape->tint);
    if (shape->stroke != RB_TOKEN_NONE) {
        svg_colour(out, "stroke", palette, shape->stroke, 1.0);
        g_string_append_printf(out, " stroke-width=\"%s\"", number(shape->line_width));
    }
    g_string_append(out, "/>\n");
}

static void svg_text(GString *out, const RbPalette *palette, const Shape *shape)
{
    static const char *const anchors[] = { "start", "middle", "end" };
    g_autofree char *escaped = g_markup_escape_text(shape->text, -1);
    g_string_append_printf(out, "<text x=\"%s\" y=\"%s\" font-size=\"%s\"",
                           number(shape->x), number(shape->y), number(shape->style.size));
    if (shape->style.bold) {
        g_string_append(out, " font-weight=\"bold\"");
    }
    if (shape->style.anchor != RB_ANCHOR_START) {
        g_string_append_printf(out, " text-anchor=\"%s\"", anchors[shape->style.anchor]);
    }
    svg_colour(out, "fill", palette, shape->fill, 1.0);
    g_string_append_printf(out, ">%s</text>\n", escaped);
}

static void svg_points(GString *out, const RbPalette *palette, const Shape *shape)
{
    g_string_append(out, "<path d=\"");
    for (int i = 0; i < shape->n; i++) {
        g_string_append_printf(out, "%s%s %s", i == 0 ? "M" : "L",
                               number(shape->points[i].x), number(shape->points[i].y));
    }
    g_string_append(out, shape->closed ? "z\"" : "\"");
    if (shape->dash > 0.0) {
        g_string_append_printf(out, " stroke-dasharray=\"%s\"", number(shape->dash));
    }
    g_string_append(out, " stroke-linejoin=\"round\"");
    svg_paint(out, palette, shape);
}

static void svg_shape(GString *out, const RbPalette *palette, const Shape *shape)
{
    switch (shape->kind) {
    case SHAPE_RECT:
        g_string_append_printf(out, "<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"",
                               number(shape->x), number(shape->y), number(shape->a),
                               number(shape->b));
        svg_paint(out, palette, shape);
        return;
    case SHAPE_LINE:
        g_string_append_printf(out, "<line x1=\"%s\" y1=\"%s\" x2=\"%s\" y2=\"%s\"",
                               number(shape->x), number(shape->y), number(shape->a),
                               number(shape->b));
        svg_paint(out, palette, shape);
        return;
    case SHAPE_DISC:
        g_string_append_printf(out, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\"",
                               number(shape->x), number(shape->y), number(shape->a));
        svg_paint(out, palette, shape);
        return;
    case SHAPE_POINTER:
        g_string_append_printf(out, "<path d=\"M%s %sl%s %s", number(shape->x),
                               number(shape->y), number(-shape->a * 0.6),
                               number(-shape->a));
        g_string_append_printf(out, "h%sz\"", number(shape->a * 1.2));
        svg_paint(out, palette, shape);
        return;
    case SHAPE_PATH:
        svg_points(out, palette, shape);
        return;
    case SHAPE_TEXT:
        svg_text(out, palette, shape);
        return;
    }
}

void rb_drawing_svg(const RbDrawing *drawing, const RbPalette *palette, double width,
                    double height, const char *title, const char *font, GString *out)
{
    g_autofree char *clean = rb_text_clean(title);
    g_autofree char *escaped = g_markup_escape_text(clean, -1);
    g_string_append_printf(out,
                           "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" "
                           "width=\"%s\" height=\"%s\" viewBox=\"0 0 %s %s\"",
                           number(width), number(height), number(width), number(height));
    if (font != NULL) {
        g_autofree char *family = g_markup_escape_text(font, -1);
        g_string_append_printf(out, " font-family=\"%s, sans-serif\"", family);
    }
    g_string_append_printf(out, " aria-label=\"%s\">\n<title>%s</title>\n", escaped,
                           escaped);
    for (guint i = 0; i < drawing->shapes->len; i++) {
        svg_shape(out, palette, &g_array_index(drawing->shapes, Shape, i));
    }
    g_string_append(out, "</svg>\n");
}
