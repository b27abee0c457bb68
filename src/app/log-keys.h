/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "window.h"

/* Marks and clips by key, on the frame shown, whether the film runs or stands: the actions
 * "log.mark" and so on. On a whole film (film-logger.h) they make and mend its clips. */
void rb_log_keys_add(RbWindow *window);
