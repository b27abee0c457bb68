/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/fingerprint.h"

/* Of an open file; `name` is for sentences. */
char *rb_film_fingerprint_of(int fd, int64_t bytes, const char *name, RbCancel *cancel,
                             GError **error);
