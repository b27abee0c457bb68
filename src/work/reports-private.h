/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/report.h"
#include "rb/work/filter-text.h"
#include "rb/work/reports.h"

/* Shared by the kinds of report. */

/* A report's heading and table with all that it borrows. */
typedef struct {
    RbReport report; /* n_ladders 0 */
    RbPairings pairings;
    RbMeasured *figures; /* owned: success of each cell */
    char *filter;        /* owned */
    char *made_on;       /* owned */
} RbReportHeading;

void rb_report_heading_init(RbReportHeading *heading, const RbSelection *selection,
                            const RbReportOptions *options);
void rb_report_heading_clear(RbReportHeading *heading);

/* Our team's name. Returns: (transfer none) (nullable). */
const char *rb_report_team(const RbNames *names);
/* The filter for people, without players where they are to be left out. Returns: (transfer
 * full). */
char *rb_report_filter_text(const RbNames *names, const RbFilter *filter,
                            const RbReportOptions *options);
/* Sets concept and coverage where the selection's filter names exactly one. */
void rb_report_name_pairing(const RbSelection *selection, RbReportPairing *looked);

/* reports-pages.c: RB_REPORT_PAIRING and RB_REPORT_BOOK. */
RbDocument *rb_report_pairing_pages(const RbSelection *selection,
                                    const RbReportOptions *options, GError **error);
/* reports-calls.c: RB_REPORT_CALL_SHEET. */
RbDocument *rb_report_call_sheet(const RbSelection *selection,
                                 const RbReportOptions *options);
/* The moment of a snap that a page shows, in ms after the snap. */
int rb_still_moment_ms(const RbSnapshot *snapshot, RbSnapId snap);
