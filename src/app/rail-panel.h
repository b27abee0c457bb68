/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "deck.h"
#include "session.h"

/* The rail at the side of the film: one question of the snap at a time, its choices with their
 * keys, the likeliest first. Enter takes the first (or the one chosen with Up and Down), a key
 * takes its own, Tab leaves the question open, Backspace goes back to the one before; "/" and
 * part of a name narrow a long list, ";" asks the sides one by one. Everything else is left to
 * the film. An answer is on disk before the next question stands; keys pressed meanwhile wait.
 *
 * Signal "finished": Enter on a snap of which nothing is left to ask. */
#define RB_TYPE_RAIL_PANEL (rb_rail_panel_get_type())
G_DECLARE_FINAL_TYPE(RbRailPanel, rb_rail_panel, RB, RAIL_PANEL, GtkWidget)

/* Once. Both (transfer none): references are taken. */
void rb_rail_panel_set_session(RbRailPanel *panel, RbSession *session, RbDeck *deck);
