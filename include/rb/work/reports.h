/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/words.h"
#include "rb/work/snapshot.h"

/* The page for Monday's meeting, from a selection: its pairing table and the ladders of the
 * pairings that break most, each with the snaps behind its break point. */

/* Names for report's functions. Valid as long as `names`. */
RbReportNames rb_report_names(const RbNames *names);

/* Ladders on a page at most. */
#define RB_REPORT_LADDERS 6

/* By the end of `path`: ".html" a web page, ".pdf" letter paper; any other end is refused. What
 * was there is replaced as a whole or left. title: (nullable). */
bool rb_selection_write_report(const RbSelection *selection, const char *path,
                               const char *title, GError **error);
