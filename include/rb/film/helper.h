/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Where the decoding helper is: the environment's READBREAK_DECODE, else
 * ../decode/readbreak-decode from the folder of the running program (the build folder), else
 * the installed one. Returns: (transfer full) (nullable): NULL with RB_FILM_ERROR_HELPER when
 * none of these can be run. */
char *rb_film_find_helper(GError **error);
