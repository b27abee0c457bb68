/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* The exchange with the other laptops of the staff, in a window of its own: the shared folder,
 * send mine, take theirs, where each laptop stands, and the facts to which two laptops gave
 * different values, each settled with one key. */
#define RB_TYPE_EXCHANGE_PANEL (rb_exchange_panel_get_type())
G_DECLARE_FINAL_TYPE(RbExchangePanel, rb_exchange_panel, RB, EXCHANGE_PANEL, GtkWindow)

void rb_exchange_panel_open(GtkWindow *parent, RbSession *session);
