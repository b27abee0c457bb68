/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

/* Loads the style of the display and keeps it in step with the system: dark or light by the
 * desktop portal's colour scheme (GTK 4.8 does not ask for it), high contrast by the theme. */
void rb_style_start(GdkDisplay *display);

typedef enum { RB_STYLE_SYSTEM, RB_STYLE_LIGHT, RB_STYLE_DARK } RbStyleScheme;

/* A person's own choice over the system's. */
void rb_style_set_scheme(RbStyleScheme scheme);
bool rb_style_is_dark(void);
