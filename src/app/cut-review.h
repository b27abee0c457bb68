/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/intake.h"

/* The cut that is to be judged: the last frame before it, the first one after, and how sure the
 * finder is. Hidden while there is none. */
#define RB_TYPE_CUT_REVIEW (rb_cut_review_get_type())
G_DECLARE_FINAL_TYPE(RbCutReview, rb_cut_review, RB, CUT_REVIEW, GtkBox)

GtkWidget *rb_cut_review_new(void);
/* cut: the clip that it starts; -1: none. Nothing of the intake is kept. */
void rb_cut_review_show(RbCutReview *review, const RbIntake *intake, int cut);
/* A place where a cut is to be put, or, with `moves`, to be moved to: `at` is the first frame behind
 * it. */
void rb_cut_review_show_place(RbCutReview *review, const RbIntake *intake, int clip,
                              int64_t at, bool moves);
