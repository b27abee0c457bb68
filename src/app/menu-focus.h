/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* Gives the keyboard back to what had it when the menu of a button goes. GTK leaves it on an entry of a
 * submenu, which is no longer there, and the window is deaf to keys then. */
void rb_menu_gives_keyboard_back(GtkMenuButton *button);
