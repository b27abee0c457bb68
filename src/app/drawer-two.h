/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "session.h"

/* Who works, and two people's charts of the game side by side: where they differ, settled by a
 * press, and how far they agree. */
#define RB_TYPE_DRAWER_TWO (rb_drawer_two_get_type())
G_DECLARE_FINAL_TYPE(RbDrawerTwo, rb_drawer_two, RB, DRAWER_TWO, GtkWidget)

void rb_drawer_two_set_session(RbDrawerTwo *two, RbSession *session);
void rb_drawer_two_show(RbDrawerTwo *two);
/* What this page asks for: the two people that are chosen. */
RbReviewAsk rb_drawer_two_ask(RbDrawerTwo *two);
void rb_drawer_two_focus(RbDrawerTwo *two);
