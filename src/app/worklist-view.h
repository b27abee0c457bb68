/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* What to work on: the break points of all pairings, worst first. The row with the focus is the
 * session's pairing. Signal "opened": by Enter or a press. */
#define RB_TYPE_WORKLIST_VIEW (rb_worklist_view_get_type())
G_DECLARE_FINAL_TYPE(RbWorklistView, rb_worklist_view, RB, WORKLIST_VIEW, GtkWidget)

void rb_worklist_view_set_session(RbWorklistView *view, RbSession *session);
