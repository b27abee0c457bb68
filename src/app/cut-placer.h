/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/intake.h"

#include "cut-review.h"

/* Puts a cut by key while a table of clips is mended: the two frames on both sides of the place
 * are shown, arrows move it, and nothing changes before it is said that it is there. */
typedef struct RbCutPlacer RbCutPlacer;

/* done: (nullable): called when a cut was put or moved, and with a sentence when the film could
 * not be read. */
RbCutPlacer *rb_cut_placer_new(RbCutReview *review,
                               void (*done)(void *data, const char *failure), void *data);
void rb_cut_placer_free(RbCutPlacer *placer); /* NULL is allowed */

/* Begins with a cut in the middle of the row's clip: of the wide one, and called again, of the
 * tight one. False if the row has no clip long enough. */
bool rb_cut_placer_begin(RbCutPlacer *placer, RbIntake *intake, const RbIntakeRow *row);
/* Begins with the cut that the row's clip starts with, to be moved. */
bool rb_cut_placer_begin_move(RbCutPlacer *placer, RbIntake *intake,
                              const RbIntakeRow *row);
void rb_cut_placer_leave(RbCutPlacer *placer);
bool rb_cut_placer_is_on(const RbCutPlacer *placer);

/* While it is on: Left and Right by a frame, with Shift by a second; Y puts the cut there; J
 * takes a cut that was to be moved away, and the two clips are one; Escape leaves. False if the key means nothing here. */
bool rb_cut_placer_key(RbCutPlacer *placer, guint key, GdkModifierType state);
