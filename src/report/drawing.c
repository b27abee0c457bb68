/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

#include "clean-private.h"
#include "drawing-shape-private.h"

static void shape_clear(void *data)
{
    Shape *shape = data;
    g_free(shape->text);
    g_free(shape->points);
}

/* Unhinted, so that text takes the same room on a screen, in a PDF and here. */
static PangoLayout *make_layout(cairo_t *cr)
{
    PangoLayout *layout = pango_cairo_create_layout(cr);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    pango_cairo_context_set_font_options(pango_layout_get_context(layout), options);
    cairo_font_options_destroy(options);
    /* Figures of one width, so that columns of them line up. */
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_font_features_new("tnum"));
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    return layout;
}

static void set_text(PangoLayout *layout, const char *font, const RbTextStyle *style,
                     const char *text)
{
    PangoFontDescription *description = pango_font_description_new();
    pango_font_description_set_family(description, font);
    pango_font_description_set_weight(description, style->bold ? PANGO_WEIGHT_BOLD
                                                               : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(description, style->size * PANGO_SCALE);
    pango_layout_set_font_description(layout, description);
    pango_font_description_free(description);
    pango_layout_set_text(layout, text, -1);
}

static double layout_width(PangoLayout *layout)
{
    int width = 0;
    pango_layout_get_size(layout, &width, NULL);
    return (double)width / PANGO_SCALE;
}

RbDrawing *rb_drawing_new(const char *font)
{
    RbDrawing *drawing = g_new0(RbDrawing, 1);
    drawing->shapes = g_array_new(FALSE, FALSE, sizeof(Shape));
    g_array_set_clear_func(drawing->shapes, shape_clear);
    drawing->font = g_strdup(font != NULL ? font : "Sans");
    cairo_surface_t *surface =
        cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, NULL);
    drawing->scratch = cairo_create(surface);
    cairo_surface_destroy(surface);
    drawing->layout = make_layout(drawing->scratch);
    return drawing;
}

void rb_drawing_free(RbDrawing *drawing)
{
    if (drawing == NULL) {
        return;
    }
    g_object_unref(drawing->layout);
    cairo_destroy(drawing->scratch);
    g_array_unref(drawing->shapes);
    g_free(drawing->font);
    g_free(drawing);
}

void rb_drawing_rect(RbDrawing *drawing, const cairo_rectangle_t *rect, RbToken fill,
                     double tint, RbToken stroke, double line_width)
{
    const Shape shape = { .kind = SHAPE_RECT,
                          .x = rect->x,
                          .y = rect->y,
                          .a = rect->width,
                          .b = rect->height,
                          .fill = fill,
                          .tint = tint,
                          .stroke = stroke,
                          .line_width = line_width };
    g_array_append_val(drawing->shapes, shape);
}

void rb_drawing_line(RbDrawing *drawing, double x1, double y1, double x2, double y2,
                     RbToken token, double line_width)
{
    const Shape shape = { .kind = SHAPE_LINE,
                          .x = x1,
                          .y = y1,
                          .a = x2,
                          .b = y2,
                          .stroke = token,
                          .line_width = line_width };
    g_array_append_val(drawing->shapes, shape);
}

void rb_drawing_disc(RbDrawing *drawing, double x, double y, double radius, RbToken fill,
                     RbToken stroke, double line_width)
{
    const Shape shape = { .kind = SHAPE_DISC,
                          .x = x,
                          .y = y,
                          .a = radius,
                          .fill = fill,
                          .tint = 1.0,
                          .stroke = stroke,
                          .line_width = line_width };
    g_array_append_val(drawing->shapes, shape);
}

void rb_drawing_pointer(RbDrawing *drawing, double x, double y, double size, RbToken fill)
{
    const Shape shape = {
        .kind = SHAPE_POINTER, .x = x, .y = y, .a = size, .fill = fill, .tint = 1.0
    };
    g_array_append_val(drawing->shapes, shape);
}

void rb_drawing_path(RbDrawing *drawing, const RbDrawingPoint *points, int n,
                     const RbPathStyle *style)
{
    const Shape shape = { .kind = SHAPE_PATH,
                          .points = g_memdup2(points, (size_t)n * sizeof *points),
                          .n = n,
                          .fill = style->fill,
                          .tint = style->tint,
                          .stroke = style->stroke,
                          .line_width = style->line_width,
                          .dash = style->dash,
                          .closed = style->closed };
    g_array_append_val(drawing->shapes, shape);
}

void rb_drawing_text(RbDrawing *drawing, double x, double y, const RbTextStyle *style,
                     const char *text)
{
    const Shape shape = { .kind = SHAPE_TEXT,
                          .x = x,
                          .y = y,
                          .fill = style->token,
                          .tint = 1.0,
                          .style = *style,
                          .text = rb_text_clean(text) };
    g_array_append_val(drawing->shapes, shape);
}

/* Lines of slope +1 (sign 1: falling) or -1 (rising), cut to the rectangle. */
static void hatch_slanted(RbDrawing *drawing, const cairo_rectangle_t *rect, int sign,
                          double step, RbToken token, double line_width)
{
    const double gap = step * G_SQRT2;
    for (double c = gap / 2.0; c < rect->width + rect->height; c += gap) {
        /* Across the box from its left and top edges to its right and bottom ones. */
        const double x1 = MAX(0.0, c - rect->height);
        const double x2 = MIN(rect->width, c);
        const double from = c - x1;
        const double to = c - x2;
        const double top = sign < 0 ? rect->y : rect->y + rect->height;
        rb_drawing_line(drawing, rect->x + x1, top - sign * from, rect->x + x2,
                        top - sign * to, token, line_width);
    }
}

static void hatch_straight(RbDrawing *drawing, const cairo_rectangle_t *rect,
                           bool upright, double step, RbToken token, double line_width)
{
    const double length = upright ? rect->width : rect->height;
    for (double at = step / 2.0; at < length; at += step) {
        if (upright) {
            rb_drawing_line(drawing, rect->x + at, rect->y, rect->x + at,
                            rect->y + rect->height, token, line_width);
        } else {
            rb_drawing_line(drawing, rect->x, rect->y + at, rect->x + rect->width,
                            rect->y + at, token, line_width);
        }
    }
}

static void hatch_dots(RbDrawing *drawing, const cairo_rectangle_t *rect, double step,
                       RbToken token, double line_width)
{
    const double radius = line_width;
    for (double x = step / 2.0; x + radius < rect->width; x += step) {
        for (double y = step / 2.0; y + radius < rect->height; y += step) {
            rb_drawing_disc(drawing, rect->x + x, rect->y + y, radius, token,
                            RB_TOKEN_NONE, 0.0);
        }
    }
}

void rb_drawing_hatch(RbDrawing *drawing, const cairo_rectangle_t *rect, RbHatch hatch,
                      double step, RbToken token, double line_width)
{
    switch (hatch) {
    case RB_HATCH_NONE:
        return;
    case RB_HATCH_SLANT:
        hatch_slanted(drawing, rect, -1, step, token, line_width);
        return;
    case RB_HATCH_BACKSLANT:
        hatch_slanted(drawing, rect, 1, step, token, line_width);
        return;
    case RB_HATCH_CROSS:
        hatch_slanted(drawing, rect, -1, step, token, line_width);
        hatch_slanted(drawing, rect, 1, step, token, line_width);
        return;
    case RB_HATCH_UPRIGHT:
        hatch_straight(drawing, rect, true, step, token, line_width);
        return;
    case RB_HATCH_ACROSS:
        hatch_straight(drawing, rect, false, step, token, line_width);
        return;
    case RB_HATCH_GRID:
        hatch_straight(drawing, rect, true, step, token, line_width);
        hatch_straight(drawing, rect, false, step, token, line_width);
        return;
    case RB_HATCH_DOTS:
        hatch_dots(drawing, rect, step, token, line_width);
        return;
    }
}

void rb_drawing_append(RbDrawing *drawing, const RbDrawing *other, double x, double y)
{
    for (guint i = 0; i < other->shapes->len; i++) {
        Shape shape = g_array_index(other->shapes, Shape, i);
        shape.text = g_strdup(shape.text);
        shape.points = g_memdup2(shape.points, (size_t)shape.n * sizeof *shape.points);
        shape.x += x;
        shape.y += y;
        if (shape.kind == SHAPE_LINE) {
            shape.a += x;
            shape.b += y;
        }
        for (int k = 0; k < shape.n; k++) {
            shape.points[k].x += x;
            shape.points[k].y += y;
        }
        g_array_append_val(drawing->shapes, shape);
    }
}

double rb_drawing_measure(RbDrawing *drawing, const RbTextStyle *style, const char *text)
{
    g_autofree char *clean = rb_text_clean(text);
    set_text(drawing->layout, drawing->font, style, clean);
    return layout_width(drawing->layout);
}

char *rb_drawing_fit(RbDrawing *drawing, const RbTextStyle *style, const char *text,
                     double width)
{
    char *fitted = rb_text_clean(text);
    long length = g_utf8_strlen(fitted, -1);
    while (length > 0 && rb_drawing_measure(drawing, style, fitted) > width) {
        g_autofree char *whole = rb_text_clean(text);
        g_autofree char *head = g_utf8_substring(whole, 0, --length);
        g_free(fitted);
        fitted = g_strconcat(g_strchomp(head), "…", NULL);
    }
    return fitted;
}

double rb_drawing_paragraph(RbDrawing *drawing, double x, double y, double width,
                            double leading, const RbTextStyle *style, const char *text)
{
    g_autofree char *clean = rb_text_clean(text);
    g_auto(GStrv) words = g_strsplit(clean, " ", -1);
    g_autoptr(GString) line = g_string_new(NULL);
    for (int i = 0; words[i] != NULL; i++) {
        const gsize before = line->len;
        g_string_append_printf(line, "%s%s", before > 0 ? " " : "", words[i]);
        if (before == 0 || rb_drawing_measure(drawing, style, line->str) <= width) {
            continue;
        }
        g_string_truncate(line, before);
        rb_drawing_text(drawing, x, y, style, line->str);
        y += leading;
        g_string_assign(line, words[i]);
    }
    /* A single word that is too wide is cut. */
    g_autofree char *last = rb_drawing_fit(drawing, style, line->str, width);
    rb_drawing_text(drawing, x, y, style, last);
    return y + leading;
}

RbColour rb_palette_colour(const RbPalette *palette, RbToken token, double tint)
{
    const RbColour *const colours[RB_TOKENS] = {
        [RB_TOKEN_NONE] = &palette->paper,    [RB_TOKEN_PAPER] = &palette->paper,
        [RB_TOKEN_PANEL] = &palette->panel,   [RB_TOKEN_INK] = &palette->ink,
        [RB_TOKEN_MUTED] = &palette->muted,   [RB_TOKEN_LINE] = &palette->line,
        [RB_TOKEN_ACCENT] = &palette->accent, [RB_TOKEN_ABOVE] = &palette->above,
        [RB_TOKEN_EVEN] = &palette->even,     [RB_TOKEN_BELOW] = &palette->below,
    };
    const RbColour colour = *colours[token];
    const RbColour paper = palette->paper;
    return (RbColour){ paper.red + (colour.red - paper.red) * tint,
                       paper.green + (colour.green - paper.green) * tint,
                       paper.blue + (colour.blue - paper.blue) * tint };
}

static void set_source(cairo_t *cr, const RbPalette *palette, RbToken token, double tint)
{
    const RbColour colour = rb_palette_colour(palette, token, tint);
    cairo_set_source_rgb(cr, colour.red, colour.green, colour.blue);
}

static void paint_path(cairo_t *cr, const RbPalette *palette, const Shape *shape)
{
    if (shape->fill != RB_TOKEN_NONE) {
        set_source(cr, palette, shape->fill, shape->tint);
        cairo_fill_preserve(cr);
    }
    if (shape->stroke != RB_TOKEN_NONE) {
        set_source(cr, palette, shape->stroke, 1.0);
        cairo_set_line_width(cr, shape->line_width);
        cairo_stroke_preserve(cr);
    }
    cairo_new_path(cr);
}

static void paint_points(cairo_t *cr, const RbPalette *palette, const Shape *shape)
{
    for (int i = 0; i < shape->n; i++) {
        cairo_line_to(cr, shape->points[i].x, shape->points[i].y);
    }
    if (shape->closed) {
        cairo_close_path(cr);
    }
    cairo_save(cr);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    if (shape->dash > 0.0) {
        cairo_set_dash(cr, &shape->dash, 1, 0.0);
    }
    paint_path(cr, palette, shape);
    cairo_restore(cr);
}

static double anchor_share(RbAnchor anchor)
{
    switch (anchor) {
    case RB_ANCHOR_START:
        return 0.0;
    case RB_ANCHOR_MIDDLE:
        return 0.5;
    case RB_ANCHOR_END:
        return 1.0;
    }
    return 0.0;
}

static void paint_text(cairo_t *cr, PangoLayout *layout, const char *font,
                       const RbPalette *palette, const Shape *shape)
{
    set_text(layout, font, &shape->style, shape->text);
    const double left =
        shape->x - layout_width(layout) * anchor_share(shape->style.anchor);
    const double base = (double)pango_layout_get_baseline(layout) / PANGO_SCALE;
    set_source(cr, palette, shape->fill, 1.0);
    cairo_move_to(cr, left, shape->y - base);
    pango_cairo_show_layout(cr, layout);
    cairo_new_path(cr);
}

static void paint_shape(cairo_t *cr, PangoLayout *layout, const char *font,
                        const RbPalette *palette, const Shape *shape)
{
    switch (shape->kind) {
    case SHAPE_RECT:
        cairo_rectangle(cr, shape->x, shape->y, shape->a, shape->b);
        paint_path(cr, palette, shape);
        return;
    case SHAPE_LINE:
        cairo_move_to(cr, shape->x, shape->y);
        cairo_line_to(cr, shape->a, shape->b);
        paint_path(cr, palette, shape);
        return;
    case SHAPE_DISC:
        cairo_new_sub_path(cr);
        cairo_arc(cr, shape->x, shape->y, shape->a, 0.0, 2.0 * G_PI);
        paint_path(cr, palette, shape);
        return;
    case SHAPE_POINTER:
        cairo_move_to(cr, shape->x, shape->y);
        cairo_rel_line_to(cr, -shape->a * 0.6, -shape->a);
        cairo_rel_line_to(cr, shape->a * 1.2, 0.0);
        cairo_close_path(cr);
        paint_path(cr, palette, shape);
        return;
    case SHAPE_PATH:
        paint_points(cr, palette, shape);
        return;
    case SHAPE_TEXT:
        paint_text(cr, layout, font, palette, shape);
        return;
    }
}

void rb_drawing_paint(const RbDrawing *drawing, cairo_t *cr, const RbPalette *palette,
                      double x, double y)
{
    cairo_save(cr);
    cairo_translate(cr, x, y);
    PangoLayout *layout = make_layout(cr);
    for (guint i = 0; i < drawing->shapes->len; i++) {
        paint_shape(cr, layout, drawing->font, palette,
                    &g_array_index(drawing->shapes, Shape, i));
    }
    g_object_unref(layout);
    cairo_restore(cr);
}
