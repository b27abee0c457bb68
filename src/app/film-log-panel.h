/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "film-logger.h"

/* At the side of a whole film while its snaps are logged: which film, the clip that is begun with
 * its marks and the keys for them, what is proposed, and what is logged so far. Enter logs the
 * proposal, Backspace gives the clip up. */
#define RB_TYPE_FILM_LOG_PANEL (rb_film_log_panel_get_type())
G_DECLARE_FINAL_TYPE(RbFilmLogPanel, rb_film_log_panel, RB, FILM_LOG_PANEL, GtkWidget)

/* Once; a reference is taken. */
void rb_film_log_panel_set_logger(RbFilmLogPanel *panel, RbFilmLogger *logger);
