/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "deck.h"
#include "film-logger.h"
#include "film-view.h"
#include "session.h"

/* Film of the chosen snap, its drive strip, facts, tags, ladder of reads and verdict. */
#define RB_TYPE_CHART_DESK (rb_chart_desk_get_type())
G_DECLARE_FINAL_TYPE(RbChartDesk, rb_chart_desk, RB, CHART_DESK, GtkWidget)

void rb_chart_desk_set_session(RbChartDesk *desk, RbSession *session);
/* (transfer none) */
RbDeck *rb_chart_desk_get_deck(RbChartDesk *desk);
RbFilmView *rb_chart_desk_get_film(RbChartDesk *desk);

/* The next (1) or previous (-1) snap of the game. */
void rb_chart_desk_go(RbChartDesk *desk, int step);
/* The key of a read: its look goes on to the next. */
void rb_chart_desk_cycle_read(RbChartDesk *desk, int slot);
void rb_chart_desk_focus_tags(RbChartDesk *desk);
/* Begins to draw over the film, or ends it. */
void rb_chart_desk_draw(RbChartDesk *desk);
/* Begins to measure on the film, or ends it. */
void rb_chart_desk_measure(RbChartDesk *desk);
/* A whole film of the game instead of the snap's clips, and its snaps logged by hand. */
void rb_chart_desk_log_film(RbChartDesk *desk, bool on);
RbFilmLogger *rb_chart_desk_get_logger(RbChartDesk *desk);
/* To the nearest mark before (-1) or after (1); 0: to the snap's. */
void rb_chart_desk_jump(RbChartDesk *desk, int direction);
/* The other angle, or on a whole film the next film. */
void rb_chart_desk_switch_angle(RbChartDesk *desk);
/* What Escape does on the desk. */
void rb_chart_desk_step_out(RbChartDesk *desk);
/* The keyboard to the rail, which asks of the snap; while a film is logged, to that. */
void rb_chart_desk_focus_rail(RbChartDesk *desk);
/* Opens the choices of the tag that would settle the verdict. */
void rb_chart_desk_settle(RbChartDesk *desk);
