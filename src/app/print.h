/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/reports.h"

#include "window.h"

/* What leaves the Pairings desk on paper or as a file. */

/* Actions "win.print" and "win.export", each with the token of a kind (rb_report_kind_words);
 * "win.without-names", on or off; "win.cancel-export". */
void rb_window_add_paper_actions(RbWindow *window);

/* Writes a kind of report of what the session shows, on its thread, with frames of the film where
 * the kind has them; the session says what came of it. False when there are no figures yet.
 * cancel: (nullable). */
bool rb_paper_export(RbSession *session, RbReportKind kind, const char *path,
                     bool without_names, RbCancel *cancel);

/* Prints the pages at the size of the paper chosen. Returns: (transfer full). */
GtkPrintOperation *rb_print_operation_new(RbDocument *taken);
