/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/document.h"
#include "rb/report/ladder-chart.h"
#include "rb/report/report.h"

#include "drawing-private.h"

/* What the web page and the pages on paper say alike. */

/* "Harbor City, 3rd down, made 2026-11-02". Returns: (transfer full). */
char *rb_report_subtitle(const RbReport *report);
/* How to read a cell. Returns: (transfer full). */
char *rb_report_legend(const RbReport *report);
/* "Curl-flat against Cover 2". Returns: (transfer full). */
char *rb_report_ladder_title(const RbReport *report, const RbReportPairing *pairing);
RbLadderChart rb_report_ladder_chart(const RbReportPairing *pairing, double size);
/* Definitions and cautions, one sentence each. Returns: (transfer full): of char *. */
GPtrArray *rb_report_notes(const RbReport *report);

/* Paper only: pdf.c. */
RbDocument *rb_report_new_document(const RbReport *report, const char *title);
void rb_report_place_table(RbDocument *document, const RbReport *report);
RbDrawing *rb_report_draw_notes(const RbReport *report, double width, double *height);
void rb_report_place_notes(RbDocument *document, const RbReport *report);
