/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "session.h"

/* The drawer over the lower part of the desks: the game's snaps as a table, what is still open, the history, two
 * people's charts side by side. One page at a time; read only while it is shown. */
#define RB_TYPE_DRAWER (rb_drawer_get_type())
G_DECLARE_FINAL_TYPE(RbDrawer, rb_drawer, RB, DRAWER, GtkWidget)

void rb_drawer_set_session(RbDrawer *drawer, RbSession *session);

/* page: "snaps", "open-ends", "history" or "two-charts": shows it and gives it the keyboard; the
 * page that is shown is put away. NULL puts the drawer away. */
void rb_drawer_toggle(RbDrawer *drawer, const char *page);
/* The snaps of the table go to a cut-up. False when it is not shown. */
bool rb_drawer_make_cutup(RbDrawer *drawer);
/* True when the keyboard is in it. */
bool rb_drawer_has_focus(RbDrawer *drawer);
