/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "film-layer.h"

/* What is drawn over the film, and drawing it: by mouse, or by keyboard with the arrow keys and
 * Enter. A drawing is kept on the frame shown, or on the span of the film when one is set. */
#define RB_TYPE_DRAW_LAYER (rb_draw_layer_get_type())
G_DECLARE_FINAL_TYPE(RbDrawLayer, rb_draw_layer, RB, DRAW_LAYER, RbFilmLayer)

/* Puts a layer over the film of a view. session: the layer follows its drawings and may change
 * them. Returns: (transfer none): owned by the view. */
RbDrawLayer *rb_draw_layer_add(RbFilmView *view, RbDeck *deck, RbSession *session);
/* Begins to draw, or ends it. */
void rb_draw_layer_toggle(RbDrawLayer *layer);
