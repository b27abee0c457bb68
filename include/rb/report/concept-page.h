/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/diagram.h"

/* One concept on one page, to print or to hand out: its diagram, reads and rules. Strings may
 * hold anything: they are cleaned. */
typedef struct {
    const char *title;        /* borrowed */
    const char *picture;      /* borrowed, nullable: the picture it is drawn against */
    const char *notes;        /* borrowed, nullable */
    const RbDiagram *diagram; /* borrowed */
    const char *const *reads; /* borrowed, nullable: "Read 2: …"; NULL at the end */
    const char *const *rules; /* the same; they are numbered here */
    const char *made_on;      /* borrowed, nullable: the date that the PDF carries */
} RbConceptPage;

/* One letter-sized page; made smaller until everything fits. Returns: (transfer full)
 * (nullable): with `error` (RB_REPORT_ERROR) set. */
GByteArray *rb_concept_page_pdf(const RbConceptPage *page, GError **error);
/* The same as a picture, `width` pixels wide (kept between 200 and 8,000). */
GByteArray *rb_concept_page_png(const RbConceptPage *page, int width, GError **error);
GByteArray *rb_concept_page_svg(const RbConceptPage *page);
