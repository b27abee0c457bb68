/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* A game that nobody logged yet: its name, date, the other team, kind and rules. Enter in any field
 * adds it; it is chosen then, so that film can be loaded and snaps be logged. */
#define RB_TYPE_NEW_GAME_WINDOW (rb_new_game_window_get_type())
G_DECLARE_FINAL_TYPE(RbNewGameWindow, rb_new_game_window, RB, NEW_GAME_WINDOW, GtkWindow)

void rb_new_game_window_open(GtkWindow *parent, RbSession *session);
