/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* The program: one window on one library. `readbreak [LIBRARY]` opens that file; without one,
 * the demo season in the user's data folder, made on the first run. */
#define RB_APPLICATION_ID "org.readbreak.Readbreak"

#define RB_TYPE_APPLICATION (rb_application_get_type())
G_DECLARE_FINAL_TYPE(RbApplication, rb_application, RB, APPLICATION, GtkApplication)

RbApplication *rb_application_new(void);
