/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* The help's key in windows that stand over the main one, whatever opens them: the application's keys
 * reach the main window alone. Each opens the page of what has the keyboard, or of the window. Follows
 * the key that the user has given to help. To be called once, before such a window is made; calling it
 * again does nothing. */
void rb_help_key_serve(void);
