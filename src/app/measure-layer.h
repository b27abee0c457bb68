/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "film-view.h"
#include "session.h"

/* Measuring over the film: marks of the field, the field's lines as they follow from them, and
 * what is measured; by mouse, or with the arrow keys. See rb/work/fieldwork.h. */
#define RB_TYPE_MEASURE_LAYER (rb_measure_layer_get_type())
G_DECLARE_FINAL_TYPE(RbMeasureLayer, rb_measure_layer, RB, MEASURE_LAYER, GtkWidget)

/* Puts a layer over the film of a view. Returns: (transfer none): owned by the view. */
RbMeasureLayer *rb_measure_layer_add(RbFilmView *view, RbDeck *deck, RbSession *session);
/* Begins to measure, or ends it. */
void rb_measure_layer_toggle(RbMeasureLayer *layer);
