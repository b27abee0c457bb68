/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "session.h"

/* Filter, pairing table, the ladder of the chosen pairing with its break point, and the snaps
 * behind it. */
#define RB_TYPE_PAIRINGS_DESK (rb_pairings_desk_get_type())
G_DECLARE_FINAL_TYPE(RbPairingsDesk, rb_pairings_desk, RB, PAIRINGS_DESK, GtkWidget)

void rb_pairings_desk_set_session(RbPairingsDesk *desk, RbSession *session);
/* One step out: from the snaps to the ladder to the table. */
void rb_pairings_desk_step_out(RbPairingsDesk *desk);
/* Makes a cut-up of the snaps that are listed, or of those chosen in the list; live: of what the
 * filter finds from now on. False when there are none. */
bool rb_pairings_desk_make_cutup(RbPairingsDesk *desk, bool live);
void rb_pairings_desk_focus_table(RbPairingsDesk *desk);
