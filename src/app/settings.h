/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

/* What a person chose for the program itself: the schema in ui/install. One object for the
 * program, found beside it when it runs from a build folder or from a folder that was moved.
 * Returns: (transfer none). */
GSettings *rb_settings_get(void);
