/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/report/words.h"

/* The pairing table for a staff's own spreadsheet: one row a pairing, then the margins ("All"),
 * numbers as numbers, no rounding. Columns: concept, coverage, dropbacks, successes, rate with
 * its 95 % interval (empty under RB_PAIRING_MIN), the estimate with its 80 % interval and the
 * probability of being below the team's rate (cells only), points, dropbacks with points, yards,
 * completions, attempts, explosive, sacks, interceptions, pressured, right, judged. */

/* RFC 4180: a head, CRLF, quotes where needed. A name that a spreadsheet would take for a formula
 * gets an apostrophe in front. Returns: (transfer full). */
char *rb_pairings_csv(const RbPairings *pairings, const RbReportNames *names);

/* The same as an Office Open XML workbook with a second sheet that says what each column means.
 * Writes the whole file or leaves what was there; errors are RB_REPORT_ERROR. */
bool rb_pairings_write_xlsx(const RbPairings *pairings, const RbReportNames *names,
                            const char *path, GError **error);
