/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "film-view.h"

/* What is drawn over the film, shown and not edited: over the angle shown and over the one
 * beside it, on the frames that each shows. It can show a title card in the place of the film. */
#define RB_TYPE_DRAWN_LAYER (rb_drawn_layer_get_type())
G_DECLARE_FINAL_TYPE(RbDrawnLayer, rb_drawn_layer, RB, DRAWN_LAYER, GtkWidget)

/* Returns: (transfer none): lives as long as the view. */
RbDrawnLayer *rb_drawn_layer_add(RbFilmView *view, RbDeck *deck);

/* drawings, beside: (nullable): of RbFilmDrawing; references are taken. */
void rb_drawn_layer_set(RbDrawnLayer *layer, GPtrArray *drawings, GPtrArray *beside);
/* lines: (nullable): of char *; NULL or empty: the film is seen. */
void rb_drawn_layer_set_card(RbDrawnLayer *layer, const GPtrArray *lines);

/* Those seen on a frame, into the part of cr that its picture fills. */
void rb_drawn_layer_paint(cairo_t *cr, const graphene_rect_t *area,
                          const GPtrArray *drawings, int64_t frame);
