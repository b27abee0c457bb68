/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdint.h>

#include "rb/base/jobs.h"

/* Makes small pictures in the background, one span at a time in the order asked for. Main thread.
 * Returns: (transfer full): its result is the path (char *). */
RbJob *rb_small_maker_start(const char *film, int64_t first, int64_t last,
                            int64_t budget);

/* Leaves off and waits: for the end of the program. */
void rb_small_maker_end(void);
