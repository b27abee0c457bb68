/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"

typedef struct _cairo cairo_t; /* as in cairo.h: only who draws needs that header */

/* Pages of letter paper, laid out once: written as PDF or pictures, or painted on what a print
 * dialog hands over. At the foot of each page stand title, filter, date and page number. It
 * holds copies of all that it was made from. */
typedef struct RbDocument RbDocument;

void rb_document_free(RbDocument *document); /* NULL is allowed */

int rb_document_get_pages(const RbDocument *document);
/* Of every page, in points of 1/72 inch. */
double rb_document_get_width(const RbDocument *document);
double rb_document_get_height(const RbDocument *document);

/* index from 0. Leaves the context as it was; paints no ground. */
void rb_document_paint(const RbDocument *document, int index, cairo_t *cr);

/* cancel, progress: (nullable). Returns: (transfer full) (nullable): with `error`. */
GByteArray *rb_document_pdf(const RbDocument *document, RbCancel *cancel,
                            RbProgress *progress, GError **error);
/* One page as a picture, `width` pixels wide (kept between 200 and 8,000). */
GByteArray *rb_document_png(const RbDocument *document, int index, int width,
                            GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbDocument, rb_document_free)
