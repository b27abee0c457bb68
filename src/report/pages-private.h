/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/document.h"

#include "drawing-private.h"

/* How a document is filled: from the top of a page downwards. */

typedef struct {
    const char *title;   /* borrowed */
    const char *filter;  /* borrowed, nullable */
    const char *made_on; /* borrowed */
    bool landscape;
} RbPageSetup;

RbDocument *rb_document_new(const RbPageSetup *setup);

/* What is free for drawing across, and downwards on the present page. */
double rb_document_inner_width(const RbDocument *document);
double rb_document_room(const RbDocument *document);
/* Nothing stands on the present page yet. */
bool rb_document_is_fresh(const RbDocument *document);
int rb_document_page(const RbDocument *document); /* the present one, from 0 */

void rb_document_start_page(RbDocument *document);
/* Puts a drawing of `height` under what is there, on a new page when it does not fit. */
void rb_document_place(RbDocument *document, RbDrawing *taken, double height);
/* The same as far as there is room: what is higher is made smaller as a whole. */
void rb_document_place_shrunk(RbDocument *document, RbDrawing *taken, double height,
                              double most);
/* A picture at x from the left, at the present height, which it does not change. */
void rb_document_place_picture(RbDocument *document, cairo_surface_t *taken, double x,
                               double width, double height);
void rb_document_skip(RbDocument *document, double height);

void rb_document_place_title(RbDocument *document, const char *title, const char *under);
void rb_document_place_head(RbDocument *document, const char *text);
/* after: space below. */
void rb_document_place_paragraph(RbDocument *document, const char *text,
                                 const RbTextStyle *style, double after);
/* What a paragraph takes, without the space after it. */
double rb_paragraph_height(const char *text, const RbTextStyle *style, double width);

RbTextStyle rb_text_style(double size, bool bold, RbToken token);
/* The palette of paper: the sheet is the ground. */
RbPalette rb_palette_printed(void);
