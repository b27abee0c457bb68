/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "application.h"
#include "chart-desk.h"
#include "cutups-desk.h"
#include "quarterback-desk.h"
#include "session.h"

/* The one window: five desks, the switcher, and the line in which the program says what it
 * did. Single keys are window shortcuts in the bubble phase, so a field with the focus gets
 * its letters first. */
#define RB_TYPE_WINDOW (rb_window_get_type())
G_DECLARE_FINAL_TYPE(RbWindow, rb_window, RB, WINDOW, GtkApplicationWindow)

RbWindow *rb_window_new(RbApplication *application);
/* (transfer none) */
RbSession *rb_window_get_session(RbWindow *window);
RbChartDesk *rb_window_get_chart(RbWindow *window);
RbCutupsDesk *rb_window_get_cutups(RbWindow *window);
RbQuarterbackDesk *rb_window_get_quarterback(RbWindow *window);
/* The snaps behind the figure chosen on the Pairings desk become a cut-up, and are shown. */
void rb_window_make_cutup(RbWindow *window, bool live);

/* desk: "chart", "playbook", "pairings", "quarterback" or "cut-ups". */
void rb_window_show_desk(RbWindow *window, const char *desk);
const char *rb_window_get_desk(RbWindow *window);
/* A page of the drawer, see drawer.h; NULL or the page shown puts it away. */
void rb_window_show_drawer(RbWindow *window, const char *page);
/* One step out of where the keyboard is: what Escape does. */
void rb_window_step_out(RbWindow *window);
/* Asks for a library file, or for a folder with films, and opens it. */
void rb_window_choose_library(RbWindow *window);
void rb_window_new_library(RbWindow *window);
void rb_window_choose_film_folder(RbWindow *window);

/* Says one sentence in the line at the foot of the window. */
void rb_window_say(RbWindow *window, const char *sentence);

/* window-actions.c: the actions "win.*"; their keys are in keys.h. */
void rb_window_add_actions(RbWindow *window);
/* Sets the state of a stateful action from the outside. */
void rb_window_set_action_state(RbWindow *window, const char *action, const char *state);
