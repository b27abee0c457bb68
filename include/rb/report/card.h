/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdint.h>

/* A title card: the first line large, the others below it, in the middle of a paper-coloured
 * page. lines: NULL-ended; long ones are broken. Returns: (transfer full): width * height bytes,
 * 0 black to 255 white, top row first. */
uint8_t *rb_title_card_draw(const char *const *lines, int width, int height);
