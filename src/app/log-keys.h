/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "window.h"

/* Marks and clips by key, on the frame shown, whether the film runs or stands: the actions
 * "log.mark" and so on. keys: the window's shortcuts for keys without Ctrl. */
void rb_log_keys_add(RbWindow *window, GtkShortcutController *keys);
