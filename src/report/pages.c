/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <cairo-pdf.h>
#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/report/report.h"

#include "clean-private.h"
#include "pages-private.h"

/* Letter paper in points. */
static const double paper_short = 612.0;
static const double paper_long = 792.0;
static const double margin = 36.0;
static const double foot_room = 22.0;

/* A drawing or a picture at its place on a page. */
typedef struct {
    RbDrawing *drawing;       /* owned, nullable */
    cairo_surface_t *picture; /* owned, nullable */
    double x, y;
    double scale;         /* of the drawing */
    double width, height; /* of the picture */
} Placed;

struct RbDocument {
    char *title;   /* owned */
    char *foot;    /* owned */
    char *made_on; /* owned */
    double width, height;
    GPtrArray *pages; /* owned, of GArray of Placed */
    double y;
};

static void placed_clear(void *data)
{
    Placed *placed = data;
    rb_drawing_free(placed->drawing);
    g_clear_pointer(&placed->picture, cairo_surface_destroy);
}

static void page_free(void *page)
{
    g_array_unref(page);
}

RbDocument *rb_document_new(const RbPageSetup *setup)
{
    RbDocument *document = g_new0(RbDocument, 1);
    g_autofree char *made = g_strdup_printf(_("made %s"), setup->made_on);
    document->title = rb_text_clean(setup->title);
    document->made_on = rb_text_clean(setup->made_on);
    document->foot =
        g_strjoin(" \u00b7 ", setup->title,
                  setup->filter != NULL ? setup->filter : _("All dropbacks"), made, NULL);
    document->width = setup->landscape ? paper_long : paper_short;
    document->height = setup->landscape ? paper_short : paper_long;
    document->pages = g_ptr_array_new_with_free_func(page_free);
    rb_document_start_page(document);
    return document;
}

void rb_document_free(RbDocument *document)
{
    if (document == NULL) {
        return;
    }
    g_ptr_array_unref(document->pages);
    g_free(document->title);
    g_free(document->foot);
    g_free(document->made_on);
    g_free(document);
}

int rb_document_get_pages(const RbDocument *document)
{
    return (int)document->pages->len;
}

double rb_document_get_width(const RbDocument *document)
{
    return document->width;
}

double rb_document_get_height(const RbDocument *document)
{
    return document->height;
}

double rb_document_inner_width(const RbDocument *document)
{
    return document->width - 2.0 * margin;
}

double rb_document_room(const RbDocument *document)
{
    return document->height - margin - foot_room - document->y;
}

bool rb_document_is_fresh(const RbDocument *document)
{
    return document->y <= margin;
}

int rb_document_page(const RbDocument *document)
{
    return (int)document->pages->len - 1;
}

void rb_document_start_page(RbDocument *document)
{
    GArray *page = g_array_new(FALSE, FALSE, sizeof(Placed));
    g_array_set_clear_func(page, placed_clear);
    g_ptr_array_add(document->pages, page);
    document->y = margin;
}

static void add(RbDocument *document, const Placed *placed)
{
    GArray *page = document->pages->pdata[document->pages->len - 1];
    g_array_append_vals(page, placed, 1);
}

void rb_document_place(RbDocument *document, RbDrawing *taken, double height)
{
    if (!rb_document_is_fresh(document) && height > rb_document_room(document)) {
        rb_document_start_page(document);
    }
    const Placed placed = {
        .drawing = taken, .x = margin, .y = document->y, .scale = 1.0
    };
    add(document, &placed);
    document->y += height;
}

void rb_document_place_shrunk(RbDocument *document, RbDrawing *taken, double height,
                              double most)
{
    const Placed placed = {
        .drawing = taken, .x = margin, .y = document->y, .scale = MIN(1.0, most / height)
    };
    add(document, &placed);
    document->y += MIN(height, most);
}

void rb_document_place_picture(RbDocument *document, cairo_surface_t *taken, double x,
                               double width, double height)
{
    const Placed placed = { .picture = taken,
                            .x = margin + x,
                            .y = document->y,
                            .width = width,
                            .height = height };
    add(document, &placed);
}

void rb_document_skip(RbDocument *document, double height)
{
    document->y += height;
}

RbTextStyle rb_text_style(double size, bool bold, RbToken token)
{
    return (RbTextStyle){ .size = size, .bold = bold, .token = token };
}

void rb_document_place_title(RbDocument *document, const char *title, const char *under)
{
    RbDrawing *drawing = rb_drawing_new(NULL);
    const double width = rb_document_inner_width(document);
    const RbTextStyle style = rb_text_style(17.0, true, RB_TOKEN_INK);
    const RbTextStyle second = rb_text_style(9.0, false, RB_TOKEN_MUTED);
    double y = rb_drawing_paragraph(drawing, 0.0, 16.0, width, 20.0, &style, title);
    y = rb_drawing_paragraph(drawing, 0.0, y - 4.0, width, 12.0, &second, under);
    rb_drawing_line(drawing, 0.0, y - 5.0, width, y - 5.0, RB_TOKEN_INK, 1.2);
    rb_document_place(document, drawing, y + 6.0);
}

void rb_document_place_head(RbDocument *document, const char *text)
{
    const RbTextStyle style = rb_text_style(12.0, true, RB_TOKEN_INK);
    RbDrawing *drawing = rb_drawing_new(NULL);
    const double y = rb_drawing_paragraph(
        drawing, 0.0, 14.0, rb_document_inner_width(document), 15.0, &style, text);
    rb_document_place(document, drawing, y - 9.0);
}

static double leading_of(const RbTextStyle *style)
{
    return style->size * 1.35;
}

double rb_paragraph_height(const char *text, const RbTextStyle *style, double width)
{
    g_autoptr(RbDrawing) drawing = rb_drawing_new(NULL);
    return rb_drawing_paragraph(drawing, 0.0, 0.0, width, leading_of(style), style, text);
}

void rb_document_place_paragraph(RbDocument *document, const char *text,
                                 const RbTextStyle *style, double after)
{
    RbDrawing *drawing = rb_drawing_new(NULL);
    const double y =
        rb_drawing_paragraph(drawing, 0.0, style->size, rb_document_inner_width(document),
                             leading_of(style), style, text);
    rb_document_place(document, drawing, y - style->size + after);
}

RbPalette rb_palette_printed(void)
{
    RbPalette palette = rb_palette_light();
    palette.paper = (RbColour){ 1.0, 1.0, 1.0 };
    return palette;
}

static void paint_picture(const Placed *placed, cairo_t *cr)
{
    const double wide = cairo_image_surface_get_width(placed->picture);
    const double high = cairo_image_surface_get_height(placed->picture);
    cairo_save(cr);
    cairo_translate(cr, placed->x, placed->y);
    cairo_scale(cr, placed->width / wide, placed->height / high);
    cairo_set_source_surface(cr, placed->picture, 0.0, 0.0);
    cairo_rectangle(cr, 0.0, 0.0, wide, high);
    cairo_fill(cr);
    cairo_restore(cr);
}

static void paint_foot(const RbDocument *document, int index, cairo_t *cr,
                       const RbPalette *palette)
{
    g_autoptr(RbDrawing) foot = rb_drawing_new(NULL);
    const double width = rb_document_inner_width(document);
    RbTextStyle style = rb_text_style(7.5, false, RB_TOKEN_MUTED);
    g_autofree char *left = rb_drawing_fit(foot, &style, document->foot, width - 70.0);
    rb_drawing_text(foot, 0.0, 0.0, &style, left);
    style.anchor = RB_ANCHOR_END;
    g_autofree char *number =
        g_strdup_printf(_("Page %d of %u"), index + 1, document->pages->len);
    rb_drawing_text(foot, width, 0.0, &style, number);
    rb_drawing_paint(foot, cr, palette, margin, document->height - margin + 6.0);
}

void rb_document_paint(const RbDocument *document, int index, cairo_t *cr)
{
    const RbPalette palette = rb_palette_printed();
    const GArray *page = document->pages->pdata[index];
    for (guint i = 0; i < page->len; i++) {
        const Placed *placed = &g_array_index(page, Placed, i);
        if (placed->picture != NULL) {
            paint_picture(placed, cr);
            continue;
        }
        cairo_save(cr);
        cairo_translate(cr, placed->x, placed->y);
        cairo_scale(cr, placed->scale, placed->scale);
        rb_drawing_paint(placed->drawing, cr, &palette, 0.0, 0.0);
        cairo_restore(cr);
    }
    paint_foot(document, index, cr, &palette);
}

static cairo_status_t append_bytes(void *closure, const unsigned char *data,
                                   unsigned length)
{
    g_byte_array_append(closure, data, length);
    return CAIRO_STATUS_SUCCESS;
}

/* The bytes, or NULL with `error` when the drawing library gave up. */
static GByteArray *check(GByteArray *bytes, cairo_status_t status, GError **error)
{
    if (status == CAIRO_STATUS_SUCCESS) {
        return bytes;
    }
    g_byte_array_unref(bytes);
    rb_error_set(error, RB_REPORT_ERROR, RB_REPORT_ERROR_DRAW,
                 "The pages cannot be drawn: %s. Try fewer pairings.",
                 cairo_status_to_string(status));
    return NULL;
}

static bool paint_pages(const RbDocument *document, cairo_t *cr, RbCancel *cancel,
                        RbProgress *progress, GError **error)
{
    const int n = rb_document_get_pages(document);
    for (int i = 0; i < n; i++) {
        if (!rb_cancel_check(cancel, error)) {
            return false;
        }
        rb_progress_set(progress, (double)i / n, _("Writing pages"));
        rb_document_paint(document, i, cr);
        cairo_show_page(cr);
    }
    return true;
}

GByteArray *rb_document_pdf(const RbDocument *document, RbCancel *cancel,
                            RbProgress *progress, GError **error)
{
    GByteArray *pdf = g_byte_array_new();
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        append_bytes, pdf, document->width, document->height);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, document->title);
    /* Without a time of its own the same report gives the same bytes. */
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                   document->made_on);
    cairo_t *cr = cairo_create(surface);
    const bool going = paint_pages(document, cr, cancel, progress, error);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_status(surface);
    }
    cairo_surface_destroy(surface);
    if (!going) {
        g_byte_array_unref(pdf);
        return NULL;
    }
    return check(pdf, status, error);
}

GByteArray *rb_document_png(const RbDocument *document, int index, int width,
                            GError **error)
{
    const double scale = CLAMP(width, 200, 8000) / document->width;
    cairo_surface_t *surface = cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, CLAMP(width, 200, 8000), (int)(document->height * scale));
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 1.0, 1.0, 1.0);
    cairo_paint(cr);
    cairo_scale(cr, scale, scale);
    rb_document_paint(document, index, cr);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    GByteArray *png = g_byte_array_new();
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_write_to_png_stream(surface, append_bytes, png);
    }
    cairo_surface_destroy(surface);
    return check(png, status, error);
}
