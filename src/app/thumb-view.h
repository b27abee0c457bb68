/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* A small still of a film in a row of a list, always of the same size; an empty place until it
 * is there, and where there is no film. */
#define RB_TYPE_THUMB_VIEW (rb_thumb_view_get_type())
G_DECLARE_FINAL_TYPE(RbThumbView, rb_thumb_view, RB, THUMB_VIEW, GtkWidget)

/* film: (nullable): there is none. Nothing is made before it is wanted. */
GtkWidget *rb_thumb_view_new(const char *film, int64_t frame);
/* Another one takes its place; not wanted yet. */
void rb_thumb_view_set(RbThumbView *view, const char *film, int64_t frame);
/* Whether its row is in view. Out of view nothing is made for it, and it holds no picture. */
void rb_thumb_view_set_wanted(RbThumbView *view, bool wanted);
bool rb_thumb_view_has_picture(RbThumbView *view);

/* Those of `thumbs` (of RbThumbView) that are in view in `window` become wanted, the others not; none
 * unless shown. From the last: what is asked last is made first. */
void rb_thumb_views_share_out(const GPtrArray *thumbs, GtkWidget *window, bool shown);
