/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "deck.h"

/* The film: what the deck shows, as large as there is room. Where there is no picture it says
 * why, and offers the way out. Its accessible description is the frame's number. */
#define RB_TYPE_FILM_VIEW (rb_film_view_get_type())
G_DECLARE_FINAL_TYPE(RbFilmView, rb_film_view, RB, FILM_VIEW, GtkWidget)

void rb_film_view_set_deck(RbFilmView *view, RbDeck *deck);
/* What is said where the snap has no film. */
void rb_film_view_set_lack(RbFilmView *view, const char *sentence);

/* Closer (1), farther (-1), the whole picture (0). */
void rb_film_view_zoom(RbFilmView *view, int direction);
double rb_film_view_get_zoom(RbFilmView *view);
/* Moves an enlarged picture by parts of what is seen. */
void rb_film_view_pan(RbFilmView *view, double across, double down);
/* Puts a widget over the film, as large as the view. layer: (transfer floating). */
void rb_film_view_add_layer(RbFilmView *view, GtkWidget *layer);
/* Where the whole first picture lies in the view, what is not seen of an enlarged one too. */
graphene_rect_t rb_film_view_get_area(RbFilmView *view);
/* The same of the picture beside it. */
graphene_rect_t rb_film_view_get_second_area(RbFilmView *view);
/* Frames shown, left out and late, shown over the film or not. */
void rb_film_view_toggle_counts(RbFilmView *view);
