/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* Film of the chosen game, in a window of its own: files and folders named or dropped are read
 * on a worker, which clip shows which snap is shown as a table with pictures, mended by key, and
 * written only when it is accepted. A folder can be watched: what is copied into it is read. */
#define RB_TYPE_FILM_PANEL (rb_film_panel_get_type())
G_DECLARE_FINAL_TYPE(RbFilmPanel, rb_film_panel, RB, FILM_PANEL, GtkWindow)

/* Shows it; it goes with its parent. */
void rb_film_panel_open(GtkWindow *parent, RbSession *session);
/* And reads what was dropped. files: of GFile. False: none of them has a place here. */
bool rb_film_panel_open_with(GtkWindow *parent, RbSession *session, GSList *files);
