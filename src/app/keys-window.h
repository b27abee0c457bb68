/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "keys.h"

/* All keys, by what they are for. Enter on a row waits for the new key, Delete brings back the one
 * delivered; what is refused is said in one sentence. */
#define RB_TYPE_KEYS_WINDOW (rb_keys_window_get_type())
G_DECLARE_FINAL_TYPE(RbKeysWindow, rb_keys_window, RB, KEYS_WINDOW, GtkWindow)

void rb_keys_window_open(GtkWindow *parent, RbKeys *keys);
