/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/concept-page.h"

#include <cairo-pdf.h>
#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/report/report.h"

#include "clean-private.h"
#include "diagram-private.h"

static const double page_width = 612.0; /* letter paper, in points */
static const double page_height = 792.0;
static const double margin = 36.0;

static RbTextStyle text_style(double size, bool bold, RbToken token)
{
    return (RbTextStyle){ .size = size, .bold = bold, .token = token };
}

static double add_list(RbDrawing *drawing, double y, double width, const char *head,
                       const char *const *sentences, bool numbered)
{
    if (sentences == NULL || sentences[0] == NULL) {
        return y;
    }
    const RbTextStyle bold = text_style(11.0, true, RB_TOKEN_INK);
    const RbTextStyle plain = text_style(9.5, false, RB_TOKEN_INK);
    y += 16.0;
    rb_drawing_text(drawing, 0.0, y, &bold, head);
    y += 15.0;
    for (int i = 0; sentences[i] != NULL; i++) {
        const double indent = numbered ? 18.0 : 0.0;
        char number[16];
        g_snprintf(number, sizeof number, "%d", i + 1);
        rb_drawing_text(drawing, 0.0, y, &plain, numbered ? number : "");
        y = rb_drawing_paragraph(drawing, indent, y, width - indent, 12.5, &plain,
                                 sentences[i]) +
            2.0;
    }
    return y;
}

/* Everything under one another, `width` wide. */
static RbDrawing *lay_out(const RbConceptPage *page, double width, double *height)
{
    RbDrawing *drawing = rb_drawing_new(page->diagram->font);
    const RbTextStyle title = text_style(17.0, true, RB_TOKEN_INK);
    const RbTextStyle second = text_style(9.5, false, RB_TOKEN_MUTED);
    double y = rb_drawing_paragraph(drawing, 0.0, 16.0, width, 20.0, &title, page->title);
    if (page->picture != NULL) {
        y = rb_drawing_paragraph(drawing, 0.0, y - 4.0, width, 12.5, &second,
                                 page->picture);
    }
    y -= 4.0;
    double tall = 0.0;
    g_autoptr(RbDrawing) field = rb_diagram_lay_out(page->diagram, width, &tall);
    rb_drawing_append(drawing, field, 0.0, y);
    y += tall + 4.0;
    y = add_list(drawing, y, width, _("Reads in order"), page->reads, false);
    y = add_list(drawing, y, width, _("Rules"), page->rules, true);
    if (page->notes != NULL && page->notes[0] != '\0') {
        y = rb_drawing_paragraph(drawing, 0.0, y + 12.0, width, 12.5, &second,
                                 page->notes);
    }
    *height = y;
    return drawing;
}

static cairo_status_t append_bytes(void *closure, const unsigned char *data,
                                   unsigned length)
{
    g_byte_array_append(closure, data, length);
    return CAIRO_STATUS_SUCCESS;
}

static RbPalette printed_palette(void)
{
    RbPalette palette = rb_palette_light();
    palette.paper = (RbColour){ 1.0, 1.0, 1.0 }; /* the sheet is the ground */
    return palette;
}

/* The bytes, or NULL with `error` when the drawing library gave up. */
static GByteArray *check(GByteArray *bytes, cairo_status_t status, GError **error)
{
    if (status == CAIRO_STATUS_SUCCESS) {
        return bytes;
    }
    g_byte_array_unref(bytes);
    rb_error_set(error, RB_REPORT_ERROR, RB_REPORT_ERROR_DRAW,
                 "The concept cannot be drawn: %s.", cairo_status_to_string(status));
    return NULL;
}

static void set_metadata(cairo_surface_t *surface, const RbConceptPage *page)
{
    g_autofree char *title = rb_text_clean(page->title);
    /* Without a time of its own the same page gives the same bytes. */
    g_autofree char *made_on = rb_text_clean(page->made_on != NULL ? page->made_on : "");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, made_on);
}

GByteArray *rb_concept_page_pdf(const RbConceptPage *page, GError **error)
{
    const double inner = page_width - 2.0 * margin;
    double height = 0.0;
    g_autoptr(RbDrawing) drawing = lay_out(page, inner, &height);
    GByteArray *pdf = g_byte_array_new();
    cairo_surface_t *surface =
        cairo_pdf_surface_create_for_stream(append_bytes, pdf, page_width, page_height);
    set_metadata(surface, page);
    cairo_t *cr = cairo_create(surface);
    const double scale = MIN(1.0, (page_height - 2.0 * margin) / height);
    cairo_translate(cr, margin, margin);
    cairo_scale(cr, scale, scale);
    const RbPalette palette = printed_palette();
    rb_drawing_paint(drawing, cr, &palette, 0.0, 0.0);
    cairo_show_page(cr);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_status(surface);
    }
    cairo_surface_destroy(surface);
    return check(pdf, status, error);
}

GByteArray *rb_concept_page_png(const RbConceptPage *page, int width, GError **error)
{
    const double inner = page_width - 2.0 * margin;
    double height = 0.0;
    g_autoptr(RbDrawing) drawing = lay_out(page, inner, &height);
    const double scale = CLAMP(width, 200, 8000) / page_width;
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(page_width * scale),
                                   (int)((height + 2.0 * margin) * scale));
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 1.0, 1.0, 1.0);
    cairo_paint(cr);
    cairo_scale(cr, scale, scale);
    const RbPalette palette = printed_palette();
    rb_drawing_paint(drawing, cr, &palette, margin, margin);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    GByteArray *png = g_byte_array_new();
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_write_to_png_stream(surface, append_bytes, png);
    }
    cairo_surface_destroy(surface);
    return check(png, status, error);
}

GByteArray *rb_concept_page_svg(const RbConceptPage *page)
{
    const double inner = page_width - 2.0 * margin;
    double height = 0.0;
    g_autoptr(RbDrawing) drawing = lay_out(page, inner, &height);
    g_autoptr(RbDrawing) sheet = rb_drawing_new(page->diagram->font);
    const cairo_rectangle_t ground = { 0.0, 0.0, page_width, height + 2.0 * margin };
    rb_drawing_rect(sheet, &ground, RB_TOKEN_PAPER, 1.0, RB_TOKEN_NONE, 0.0);
    rb_drawing_append(sheet, drawing, margin, margin);
    const RbPalette palette = printed_palette();
    g_autoptr(GString) text =
        g_string_new("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    rb_drawing_svg(sheet, &palette, ground.width, ground.height, page->title,
                   page->diagram->font != NULL ? page->diagram->font : "Sans", text);
    const gsize length = text->len;
    return g_byte_array_new_take((guint8 *)g_string_free(g_steal_pointer(&text), FALSE),
                                 length);
}
