/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/report.h"

/* One pairing on one page: what it did, the ladder, the break in a sentence, the frames at
 * which it broke, and its snaps. All pointers are borrowed; texts may hold anything. */

/* One frame of the film: four bytes a pixel, blue first, rows `stride` apart. */
typedef struct {
    const unsigned char *pixels;
    int width, height;
    size_t stride;
    const char *caption; /* "Week 3, snap 34: passed up" */
} RbReportStill;

/* One line of the list. */
typedef struct {
    const char *place;       /* "Week 3 at Fairview, snap 34" */
    const char *situation;   /* "3rd & 7" */
    const char *quarterback; /* nullable: names are left out */
    const char *verdict;
    const char *ended; /* "read 2, eyes" */
    bool has_points;
    double points;
    bool at_break; /* behind the break point: marked, and listed first */
} RbReportSnap;

#define RB_PAGE_STILLS 3

typedef struct {
    RbReportPairing looked;
    const RbTally *tally; /* nullable: no line of figures */
    const RbMeasured
        *figure; /* nullable: its success, estimated within the whole table */
    const RbReportSnap *snaps;
    int n_snaps;
    const RbReportStill *stills;
    int n_stills; /* up to RB_PAGE_STILLS are shown */
} RbPairingPage;

/* report: whose heading, date, names and definitions stand on the page; its table and ladders
 * are not shown. Always one page: the list of snaps is cut and says how many more there are.
 * Returns: (transfer full). */
RbDocument *rb_pairing_page_document(const RbReport *report, const RbPairingPage *page);

/* A book: the report's table, a list of contents, then one page a pairing. */
RbDocument *rb_pairing_book_document(const RbReport *report, const RbPairingPage *pages,
                                     int n_pages);
