/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "deck.h"

/* The film: what the deck shows, as large as there is room. Where there is no picture it says
 * why, and offers the way out. Its accessible description is the frame's number. */
#define RB_TYPE_FILM_VIEW (rb_film_view_get_type())
G_DECLARE_FINAL_TYPE(RbFilmView, rb_film_view, RB, FILM_VIEW, GtkWidget)

void rb_film_view_set_deck(RbFilmView *view, RbDeck *deck);
