/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdint.h>

#include "rb/base/jobs.h"

/* Makes small pictures one span after the other, so that films in use never compete with more
 * than one such job. Main thread. */

/* Of what is looked at: before whatever is made ahead. The job's result is the path of the copy,
 * "" where none is needed. Returns: (transfer full). */
RbJob *rb_small_maker_start(const char *film, int64_t first, int64_t last,
                            int64_t budget);

/* What will be looked at next, in place of what was said before. spans: of RbFilmSpan; (transfer
 * full) (nullable): nothing. */
void rb_small_maker_set_ahead(GPtrArray *spans, int64_t budget);

/* At the end of the program: ends what runs. */
void rb_small_maker_end(void);
