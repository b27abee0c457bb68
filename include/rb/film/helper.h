/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Where the decoding helper is: the environment's READBREAK_DECODE, else
 * ../decode/readbreak-decode from the folder of the running program (the build folder), else
 * the installed one. Returns: (transfer full) (nullable): NULL with RB_FILM_ERROR_HELPER when
 * none of these can be run. */
char *rb_film_find_helper(GError **error);

/* The versions of the libraries that the helper decodes with, a line each: "libavcodec 59.37.100".
 * It is run for that. Returns: (transfer full) (nullable). */
char *rb_film_helper_versions(GError **error);
