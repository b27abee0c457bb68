/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "session.h"

/* The concepts of the library: their reads, clocks and rules to be worked on, and the field
 * diagram of the chosen one against a picture. */
#define RB_TYPE_PLAYBOOK_DESK (rb_playbook_desk_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookDesk, rb_playbook_desk, RB, PLAYBOOK_DESK, GtkWidget)

void rb_playbook_desk_set_session(RbPlaybookDesk *desk, RbSession *session);
/* The list of concepts. */
void rb_playbook_desk_focus(RbPlaybookDesk *desk);
