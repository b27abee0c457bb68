/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/report.h"

/* A chart by itself, for a slide or a message: title, filter and date stand above it, and the
 * caution about small numbers below. */
typedef enum { RB_CHART_SVG, RB_CHART_PNG } RbChartFormat;

/* width: of a PNG in pixels (kept between 200 and 8,000). Each returns: (transfer full)
 * (nullable): with `error` (RB_REPORT_ERROR). */
GByteArray *rb_chart_of_ladder(const RbReport *report, const RbReportPairing *looked,
                               RbChartFormat format, int width, GError **error);
/* The whole pairing table in one piece, however large. */
GByteArray *rb_chart_of_table(const RbReport *report, RbChartFormat format, int width,
                              GError **error);
