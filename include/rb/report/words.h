/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/ids.h"
#include "rb/stats/ladder.h"
#include "rb/stats/pairing.h"

/* Names of what the figures hold as ids. Each returns a text that is never NULL and lives as
 * long as `data`. */
typedef struct {
    const char *(*concept)(RbConceptId id, const void *data);
    const char *(*coverage)(RbTermId id, const void *data);
    const void *data;
} RbReportNames;

/* The break in one or two sentences: "Breaks at read 2, eyes: 6 of 14 dropbacks ended there and
 * lost 4.1 points, 2.8 more than our norm there. Leaning."; "Costs most at …" while it is not
 * settled. ladder: the one the break was found in. Returns: (transfer full). */
char *rb_break_text(const RbBreak *found, const RbLadder *ladder);
/* The same that also says how often the read was open: "Breaks at read 2, eyes: open on 9 of 14
 * dropbacks, 6 ended there and lost …". open: of the ladder's dropbacks; -1: not said. */
char *rb_break_text_open(const RbBreak *found, const RbLadder *ladder, int open);

/* "29 %", "1 of 3" when n is under RB_PAIRING_MIN. n above 0. Returns: (transfer full). */
char *rb_rate_text(int x, int n);
/* The 95 % Wilson interval of a rate: "12 to 55 %"; "too few to rate" when n is under
 * RB_PAIRING_MIN. Returns: (transfer full). */
char *rb_interval_text(int x, int n);
/* "+1.2", "-0.4", "0.0" (U+2212 for minus). Returns: (transfer full). */
char *rb_points_text(double points, int decimals);
/* "12 dropbacks", "1 dropback". Returns: (transfer full). */
char *rb_dropbacks_text(int n);

/* How often a planted break is found, for whoever asks what "clear" is worth: the table of
 * tests/stats/break-curve.c for an even team, 2,000 simulated seasons a cell. */
const char *rb_break_curve_text(void);

/* What the estimated rate is and how it differs from the plain one. */
const char *rb_estimate_text(void);

/* What must stand beside the figures: number, interval, what points are for, whose data it is,
 * whose rules hold. NULL-terminated; the first three speak of the figures. */
const char *const *rb_cautions(void);
