/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/report.h"

/* The grid for the sideline: situations down, coverages across, in each cell the concepts that
 * worked best, each with its number. Only concepts with RB_PAIRING_MIN dropbacks in the cell are
 * named; the others are counted. All pointers are borrowed. */

#define RB_CALL_PICKS 3

typedef struct {
    const char *concept;
    int successes;
    int dropbacks;
    /* Of its rate, by the pairing model, with its 80 % interval: what the picks are ordered by and
     * what stands beside them. */
    double estimate;
    double low;
    double high;
} RbCallPick;

typedef struct {
    RbCallPick picks[RB_CALL_PICKS];
    int n_picks;
    int thin;      /* concepts with too few dropbacks to be named */
    int dropbacks; /* of the whole cell */
} RbCallCell;

typedef struct {
    const char *title;
    const char *team;   /* nullable */
    const char *filter; /* nullable */
    const char *made_on;
    RbSuccessProfile profile;
    const char *const *situations;
    int n_situations;
    const char *const *coverages;
    int n_coverages;
    const RbCallCell *cells; /* row by row: n_situations x n_coverages */
} RbCallSheet;

/* Letter paper across. Returns: (transfer full). */
RbDocument *rb_call_sheet_document(const RbCallSheet *sheet);
