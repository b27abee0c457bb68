/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "session.h"

/* One quarterback's decisions: how often right, which verdicts, where, how late, against whom,
 * and what costs him most. Every figure lists its snaps; Enter plays one. */
#define RB_TYPE_QUARTERBACK_DESK (rb_quarterback_desk_get_type())
G_DECLARE_FINAL_TYPE(RbQuarterbackDesk, rb_quarterback_desk, RB, QUARTERBACK_DESK,
                     GtkWidget)

/* The focus to the first of the figures. */
void rb_quarterback_desk_focus(RbQuarterbackDesk *desk);
/* Where there are figures, the quiz about them. */
void rb_quarterback_desk_begin_quiz(RbQuarterbackDesk *desk);
void rb_quarterback_desk_set_session(RbQuarterbackDesk *desk, RbSession *session);
/* Makes a cut-up of the snaps that are listed, or of those chosen in the list; live: of what their
 * filter finds from now on, where there is one. False when there are none. */
bool rb_quarterback_desk_make_cutup(RbQuarterbackDesk *desk, bool live);
