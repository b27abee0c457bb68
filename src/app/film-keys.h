/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "window.h"

/* The film's own actions ("film.loop" and so on), and the watch over a key that is held down. */
void rb_film_keys_add(RbWindow *window);

/* True while the key pressed last repeats by itself. */
bool rb_film_keys_is_held(RbWindow *window);
