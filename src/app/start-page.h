/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* What stands in a window without a library: what the program is for, and the doors: make a
 * library, open the demo season, open a library, and, where there is one, go on with the last. */
#define RB_TYPE_START_PAGE (rb_start_page_get_type())
G_DECLARE_FINAL_TYPE(RbStartPage, rb_start_page, RB, START_PAGE, GtkWidget)

/* Why the library that was asked for is not here; NULL: none was asked for. */
void rb_start_page_set_trouble(RbStartPage *page, const char *sentence);
/* The library used last, a path; NULL: none. */
void rb_start_page_set_last(RbStartPage *page, const char *path);
/* To the likeliest door. */
void rb_start_page_focus(RbStartPage *page);
