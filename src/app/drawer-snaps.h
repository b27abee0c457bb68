/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "session.h"

/* The snaps of a game as a table: sorted by a press on a head, narrowed by words, changed in
 * place, or many chosen ones at once. */
#define RB_TYPE_DRAWER_SNAPS (rb_drawer_snaps_get_type())
G_DECLARE_FINAL_TYPE(RbDrawerSnaps, rb_drawer_snaps, RB, DRAWER_SNAPS, GtkWidget)

void rb_drawer_snaps_set_session(RbDrawerSnaps *table, RbSession *session);
/* Shows the session's answer for this page. */
void rb_drawer_snaps_show(RbDrawerSnaps *table);
void rb_drawer_snaps_focus(RbDrawerSnaps *table);
/* Asks for the cut-up that the chosen snaps go to, or all that are listed. False:
 * there is none. */
bool rb_drawer_snaps_make_cutup(RbDrawerSnaps *table);
