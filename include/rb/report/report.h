/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/report/document.h"
#include "rb/report/words.h"
#include "rb/stats/measure.h"
#include "rb/stats/success.h"

/* The page for Monday's meeting: the pairing table and the ladders of some pairings, as one
 * web page without script, or as a PDF on letter paper. All pointers are borrowed; texts are
 * UTF-8 and may hold anything. */

/* One pairing looked into. */
typedef struct {
    RbConceptId concept;
    RbTermId coverage;
    const RbLadder *ladder;
    const RbBreak *found; /* nullable */
    /* Each nullable: what read 1 and up is, by slot; [0] is not used. */
    const char *reads[RB_READS_MAX + 1];
    const char
        *snaps; /* nullable: where to find the break: "Week 3: 12, 34. Week 4: 7." */
} RbReportPairing;

typedef struct {
    const char *title;   /* "Pairings, 2026 season" */
    const char *team;    /* nullable */
    const char *filter;  /* nullable: what was left out: "3rd down" */
    const char *made_on; /* date as people write it there: "2026-11-02" */
    const char
        *points_table; /* nullable: where points come from; NULL: the shipped table */
    RbSuccessProfile profile; /* what counted as success */
    const RbPairings *pairings;
    const RbMeasured
        *figures; /* nullable: of the success of each of the cells, in their order:
                                * what stands in them then; NULL: plain rates */
    const RbReportPairing *ladders;
    int n_ladders;
    RbReportNames names;
} RbReport;

#define RB_REPORT_ERROR (rb_report_error_quark())

typedef enum {
    RB_REPORT_ERROR_DRAW,  /* the drawing library gave up */
    RB_REPORT_ERROR_WRITE, /* the file could not be written */
} RbReportError;

GQuark rb_report_error_quark(void);

/* A whole page, well-formed as XHTML too. Returns: (transfer full). */
char *rb_report_html(const RbReport *report);

/* The same report on paper. Returns: (transfer full). */
RbDocument *rb_report_document(const RbReport *report);

/* The same report as PDF: letter paper, pages numbered. Returns: (transfer full) (nullable):
 * with `error`. */
GByteArray *rb_report_pdf(const RbReport *report, GError **error);

/* Each writes the whole file or leaves what was there. */
bool rb_report_write_html(const RbReport *report, const char *path, GError **error);
bool rb_report_write_pdf(const RbReport *report, const char *path, GError **error);
/* What was made by any function of this part. */
bool rb_report_write_bytes(const GByteArray *bytes, const char *path, GError **error);
