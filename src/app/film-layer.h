/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "film-view.h"
#include "session.h"

/* What stands over the film of a view and can be turned on: then the mouse and the keys are its own.
 * What drawing and measuring have in common. */
#define RB_TYPE_FILM_LAYER (rb_film_layer_get_type())
G_DECLARE_DERIVABLE_TYPE(RbFilmLayer, rb_film_layer, RB, FILM_LAYER, GtkWidget)

struct _RbFilmLayerClass {
    GtkWidgetClass parent_class;
    /* A key without Control or Alt while it is on, before any widget in it has it. */
    gboolean (*key)(RbFilmLayer *layer, guint keyval, GdkModifierType state);
    /* The deck shows another clip or frame, or changed otherwise. */
    void (*follow)(RbFilmLayer *layer);
    /* Under the words. */
    void (*paint)(RbFilmLayer *layer, GtkSnapshot *snapshot);
};

/* Puts the layer over the film of a view, which owns it from now on. */
void rb_film_layer_stand(RbFilmLayer *layer, RbFilmView *view, RbDeck *deck,
                         RbSession *session);

/* Each (transfer none). */
RbFilmView *rb_film_layer_get_view(RbFilmLayer *layer);
RbDeck *rb_film_layer_get_deck(RbFilmLayer *layer);
RbSession *rb_film_layer_get_session(RbFilmLayer *layer);
/* The frame that is seen, or -1. */
int64_t rb_film_layer_get_frame(RbFilmLayer *layer);
/* (nullable) */
RbProjector *rb_film_layer_get_projector(RbFilmLayer *layer);

/* On: stops the film, takes mouse and keyboard. Off: the keyboard goes back to the rail. */
void rb_film_layer_begin(RbFilmLayer *layer);
void rb_film_layer_end(RbFilmLayer *layer);
bool rb_film_layer_is_on(RbFilmLayer *layer);

/* The words at the lower left, seen while it is on. Another line of them; clicks go through it. */
GtkLabel *rb_film_layer_add_line(RbFilmLayer *layer);
GtkBox *rb_film_layer_get_bar(RbFilmLayer *layer); /* (transfer none) */
