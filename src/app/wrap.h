/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* A row of plain controls, each as wide as it likes to be, that goes on in another line where the
 * window is too narrow for it. Not GtkFlowBox, which spreads one line over the whole width. */
#define RB_TYPE_WRAP (rb_wrap_get_type())
G_DECLARE_FINAL_TYPE(RbWrap, rb_wrap, RB, WRAP, GtkWidget)

GtkWidget *rb_wrap_new(void);
/* Behind the others. */
void rb_wrap_add(RbWrap *wrap, GtkWidget *control);
