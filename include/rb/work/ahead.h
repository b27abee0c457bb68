/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/library.h"

/* A part of a film on this computer. */
typedef struct {
    char *path; /* owned */
    int64_t first;
    int64_t last; /* both in the part */
} RbFilmSpan;

void rb_film_span_free(RbFilmSpan *span); /* NULL is allowed */

/* The clips of the `snaps` snaps that follow in the snap's game, in order, as far as their films
 * are known here: what somebody who works through the game will look at next. At most one span a
 * clip. Returns: (transfer full) (nullable): of RbFilmSpan; NULL with `error` set. */
GPtrArray *rb_library_load_ahead(RbLibrary *library, RbSnapId snap, int snaps,
                                 GError **error);
