/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* One figure as a bar from 0 to 1, or, where it has an interval, as a point on its whisker. */
#define RB_TYPE_FIGURE_BAR (rb_figure_bar_get_type())
G_DECLARE_FINAL_TYPE(RbFigureBar, rb_figure_bar, RB, FIGURE_BAR, GtkWidget)

typedef enum { RB_TONE_PLAIN, RB_TONE_GOOD, RB_TONE_BAD } RbTone;

GtkWidget *rb_figure_bar_new(void);
/* low above high: no interval. norm: a tick, our own rate; negative: none. */
void rb_figure_bar_set(RbFigureBar *bar, double value, double low, double high,
                       double norm, RbTone tone);
