/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "figure-bar.h"

/* Figures as rows: what, a bar or a whisker, the number; each with snaps behind it.
 * Signal "chosen" (guint index): the row that has the focus; Signal "opened" (guint index): by Enter or a
 * press. */
typedef struct {
    char *label;  /* owned */
    char *number; /* owned: "12", "73 % of 15" */
    char *said;   /* owned, nullable: the whole in words, for a screen reader */
    double value; /* 0 to 1; negative: no bar */
    double low;   /* above high: no interval */
    double high;
    double norm; /* negative: none */
    RbTone tone;
    GArray *snaps; /* owned reference, of RbSnapId */
} RbFigure;

RbFigure *rb_figure_new(const char *label, char *number, const GArray *snaps);
void rb_figure_free(RbFigure *figure);

#define RB_TYPE_FIGURE_LIST (rb_figure_list_get_type())
G_DECLARE_FINAL_TYPE(RbFigureList, rb_figure_list, RB, FIGURE_LIST, GtkWidget)

/* What a screen reader calls it. */
void rb_figure_list_set_title(RbFigureList *list, const char *title);
/* figures: (transfer full): of RbFigure. */
void rb_figure_list_take(RbFigureList *list, GPtrArray *figures);
/* Returns: (transfer none) (nullable). */
const RbFigure *rb_figure_list_get(RbFigureList *list, guint index);
/* The keyboard goes to the chosen row, else to the first one that has snaps to show. */
void rb_figure_list_focus(RbFigureList *list);
/* Takes the mark off the chosen row: another list has it now. */
void rb_figure_list_unchoose(RbFigureList *list);
