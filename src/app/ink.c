/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ink.h"

#include <math.h>

static const char *const names[RB_INKS] = {
    "paper", "panel", "ink", "muted", "line", "accent", "above", "even", "below",
};

GdkRGBA rb_ink(GtkWidget *widget, RbInk ink)
{
    GdkRGBA colour = { 0, 0, 0, 1 };
    g_return_val_if_fail(ink < RB_INKS, colour);
    gtk_style_context_lookup_color(gtk_widget_get_style_context(widget), names[ink],
                                   &colour);
    return colour;
}

GdkRGBA rb_ink_mix(GdkRGBA a, GdkRGBA b, double share)
{
    const float t = (float)CLAMP(share, 0.0, 1.0);
    const GdkRGBA mixed = {
        a.red + (b.red - a.red) * t,
        a.green + (b.green - a.green) * t,
        a.blue + (b.blue - a.blue) * t,
        a.alpha + (b.alpha - a.alpha) * t,
    };
    return mixed;
}

GdkRGBA rb_ink_scale(GtkWidget *widget, double where)
{
    /* Not the full colour: text in ink stands on it. */
    const double strongest = 0.42;
    const GdkRGBA end = rb_ink(widget, where < 0 ? RB_INK_BELOW : RB_INK_ABOVE);
    return rb_ink_mix(rb_ink(widget, RB_INK_EVEN), end, fmin(fabs(where), 1) * strongest);
}

PangoLayout *rb_ink_layout(GtkWidget *widget, const char *text, double points,
                           PangoWeight weight)
{
    PangoLayout *layout = gtk_widget_create_pango_layout(widget, text);
    /* A number has no direction of its own: its sign stands before it, whichever way words run. */
    pango_context_set_base_dir(pango_layout_get_context(layout), PANGO_DIRECTION_LTR);
    pango_layout_context_changed(layout);
    const PangoFontDescription *own =
        pango_context_get_font_description(gtk_widget_get_pango_context(widget));
    PangoFontDescription *font = pango_font_description_copy(own);
    /* Sizes follow the reader's text scale: 11 points is the body size of style.css. */
    const double body = pango_font_description_get_size(own) / (double)PANGO_SCALE;
    const int size = (int)lround(points / 11.0 * body * PANGO_SCALE);
    if (pango_font_description_get_size_is_absolute(own)) {
        pango_font_description_set_absolute_size(font, size);
    } else {
        pango_font_description_set_size(font, size);
    }
    pango_font_description_set_weight(font, weight);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_font_features_new("tnum=1"));
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
    return layout;
}

void rb_ink_text(GtkSnapshot *snapshot, PangoLayout *layout, double x, double y,
                 GdkRGBA colour)
{
    gtk_snapshot_save(snapshot);
    gtk_snapshot_translate(snapshot,
                           &GRAPHENE_POINT_INIT((float)round(x), (float)round(y)));
    gtk_snapshot_append_layout(snapshot, layout, &colour);
    gtk_snapshot_restore(snapshot);
}

void rb_ink_fill(GtkSnapshot *snapshot, double x, double y, double width, double height,
                 GdkRGBA colour)
{
    gtk_snapshot_append_color(
        snapshot, &colour,
        &GRAPHENE_RECT_INIT((float)x, (float)y, (float)width, (float)height));
}

void rb_ink_frame(GtkSnapshot *snapshot, double x, double y, double width, double height,
                  double line, double radius, GdkRGBA colour)
{
    GskRoundedRect rounded;
    gsk_rounded_rect_init_from_rect(
        &rounded, &GRAPHENE_RECT_INIT((float)x, (float)y, (float)width, (float)height),
        (float)radius);
    const float w = (float)line;
    gtk_snapshot_append_border(snapshot, &rounded, (float[4]){ w, w, w, w },
                               (GdkRGBA[4]){ colour, colour, colour, colour });
}

void rb_ink_size(PangoLayout *layout, int *width, int *height)
{
    int w = 0;
    int h = 0;
    pango_layout_get_pixel_size(layout, &w, &h);
    if (width != NULL) {
        *width = w;
    }
    if (height != NULL) {
        *height = h;
    }
}

/* The mark of Unicode that keeps a sign before its number in a label that runs from right to left. */
#define LEFT_TO_RIGHT "\u200e"

char *rb_ink_signed(double value)
{
    const double tenths = round(value * 10);
    if (tenths == 0) {
        return g_strdup("0.0");
    }
    const bool mirrored = gtk_widget_get_default_direction() == GTK_TEXT_DIR_RTL;
    return g_strdup_printf("%s%s%.1f", mirrored ? LEFT_TO_RIGHT : "",
                           tenths > 0 ? "+" : "−", fabs(tenths) / 10);
}

double rb_ink_unit(GtkWidget *widget)
{
    const PangoFontDescription *font =
        pango_context_get_font_description(gtk_widget_get_pango_context(widget));
    double pixels = pango_font_description_get_size(font) / (double)PANGO_SCALE;
    if (!pango_font_description_get_size_is_absolute(font)) {
        double dpi =
            pango_cairo_context_get_resolution(gtk_widget_get_pango_context(widget));
        pixels *= (dpi > 0 ? dpi : 96) / 72.0;
    }
    const double designed = 11 * 96 / 72.0;
    return CLAMP(pixels / designed, 0.5, 4);
}

static RbColour colour(GtkWidget *widget, RbInk ink)
{
    const GdkRGBA rgba = rb_ink(widget, ink);
    return (RbColour){ rgba.red, rgba.green, rgba.blue };
}

RbPalette rb_ink_palette(GtkWidget *widget, RbInk ground)
{
    return (RbPalette){
        .paper = colour(widget, ground),
        .panel = colour(widget, RB_INK_PANEL),
        .ink = colour(widget, RB_INK_INK),
        .muted = colour(widget, RB_INK_MUTED),
        .line = colour(widget, RB_INK_LINE),
        .accent = colour(widget, RB_INK_ACCENT),
        .above = colour(widget, RB_INK_ABOVE),
        .even = colour(widget, RB_INK_EVEN),
        .below = colour(widget, RB_INK_BELOW),
    };
}
