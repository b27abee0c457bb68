/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "session.h"

/* The quiz: the film on the left, what is asked on the right. Digits or Enter answer, Space runs the
 * film to its stop or shows it again, Escape leaves. Signal "left": back to the figures. */
#define RB_TYPE_QUIZ_PANEL (rb_quiz_panel_get_type())
G_DECLARE_FINAL_TYPE(RbQuizPanel, rb_quiz_panel, RB, QUIZ_PANEL, GtkWidget)

void rb_quiz_panel_set_session(RbQuizPanel *panel, RbSession *session);
/* Asks for a round and shows how much there is. */
void rb_quiz_panel_open(RbQuizPanel *panel);
/* Stops the film; what was answered is kept. */
void rb_quiz_panel_stop(RbQuizPanel *panel);
