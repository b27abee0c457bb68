/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/quarterback.h"

/* Release against the clock: a row a read, a mark a throw, at how long before or after the
 * read's clock the ball left; late ones are filled triangles, the rest rings. Arrows go from throw to throw.
 * Signal "chosen" (gint64 snap), "opened" (gint64 snap). */
#define RB_TYPE_CLOCK_CHART (rb_clock_chart_get_type())
G_DECLARE_FINAL_TYPE(RbClockChart, rb_clock_chart, RB, CLOCK_CHART, GtkWidget)

/* throws: of RbThrowTime, by read, then release; copied. */
void rb_clock_chart_set(RbClockChart *chart, const GPtrArray *throws);
