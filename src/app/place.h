/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "window.h"

/* Keeps the place of a window: what library, desk, snap and frame, and who works. It is written
 * by the library's thread as soon as the snap or the desk is another one, and every second while
 * the frame changes, so that a window that was killed opens where it was. */
void rb_place_keep(RbWindow *window, RbSession *session);
