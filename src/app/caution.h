/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* One sentence of care where a thing leaves the staff, with a link to the page that says more: once
 * in a panel, in second type, nothing to answer. topic: a literal, see help.h. */
GtkWidget *rb_caution_new(const char *sentence, const char *topic);
