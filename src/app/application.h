/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

/* The program: a window a library. `readbreak [LIBRARY]` opens that file; without one,
 * the demo season in the user's data folder, made on the first run. */
#define RB_APPLICATION_ID "org.readbreak.Readbreak"

#define RB_TYPE_APPLICATION (rb_application_get_type())
G_DECLARE_FINAL_TYPE(RbApplication, rb_application, RB, APPLICATION, GtkApplication)

/* is_service: one for the desktop, which starts it when it is asked for and sends all that is to be
 * opened to it; else one of its own, beside others. */
RbApplication *rb_application_new(bool is_service);
