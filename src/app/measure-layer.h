/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/measuring.h"

#include "film-layer.h"

/* Measuring over the film: marks of the field, the field's lines as they follow from them, and
 * what is measured; by mouse, or with the arrow keys. See rb/work/fieldwork.h.
 *
 * Signals: "changed": on, off, or another thing can be done now. "list": the keyboard is wanted by the
 * list of what was measured. */
#define RB_TYPE_MEASURE_LAYER (rb_measure_layer_get_type())
G_DECLARE_FINAL_TYPE(RbMeasureLayer, rb_measure_layer, RB, MEASURE_LAYER, RbFilmLayer)

/* Puts a layer over the film of a view. Returns: (transfer none): owned by the view. */
RbMeasureLayer *rb_measure_layer_add(RbFilmView *view, RbDeck *deck, RbSession *session);
/* Begins to measure, or ends it. */
void rb_measure_layer_toggle(RbMeasureLayer *layer);

/* "take" and "mark" by the tokens of measure-keys.h, "anew", "keep", "back", "lengths"; for whoever
 * shows buttons, under the prefix "measure". Returns: (transfer none). */
GActionGroup *rb_measure_layer_get_actions(RbMeasureLayer *layer);
/* True while the keys for marks choose something: there is no view yet, or a landmark is measured to. */
bool rb_measure_layer_wants_mark(RbMeasureLayer *layer);
RbLengthUnit rb_measure_layer_get_unit(RbMeasureLayer *layer);
/* Goes to the frame where it was measured, on its angle. */
void rb_measure_layer_go(RbMeasureLayer *layer, const RbFilmMeasure *measure);
