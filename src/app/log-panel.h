/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* A play log into the chosen game, in a window of its own: the file, what each column is read as
 * beside its first rows, what is asked, what would be done; nothing is changed before it is
 * accepted. Everything is re-read on the store thread at each answer. */
#define RB_TYPE_LOG_PANEL (rb_log_panel_get_type())
G_DECLARE_FINAL_TYPE(RbLogPanel, rb_log_panel, RB, LOG_PANEL, GtkWindow)

/* Shows it; it goes with its parent. */
void rb_log_panel_open(GtkWindow *parent, RbSession *session);
