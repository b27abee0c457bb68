/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "deck.h"
#include "session.h"

/* The cut-ups: list left, film right, the clip's settings and the export below the film.
 * Watching runs through all clips as one film. */
#define RB_TYPE_CUTUPS_DESK (rb_cutups_desk_get_type())
G_DECLARE_FINAL_TYPE(RbCutupsDesk, rb_cutups_desk, RB, CUTUPS_DESK, GtkWidget)

void rb_cutups_desk_set_session(RbCutupsDesk *desk, RbSession *session);
/* The film that the keys run. */
RbDeck *rb_cutups_desk_get_deck(RbCutupsDesk *desk);
/* The next clip (1) or the one before (-1). */
void rb_cutups_desk_go(RbCutupsDesk *desk, int direction);
/* Runs the clip that stands; with the next ones behind it. Or stops. */
void rb_cutups_desk_toggle(RbCutupsDesk *desk);
void rb_cutups_desk_focus(RbCutupsDesk *desk);
