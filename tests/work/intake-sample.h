/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "intake-private.h"

/* What was read of films that there are not. */

/* A clip of a file of its own; its pictures are those of its scene. */
void add_clip(RbIntake *intake, const char *title, RbAngle angle, int64_t length_us,
              uint64_t scene);
GPtrArray *log_of(int n);
int64_t length_of(int snap);
/* Whatever is mended, each clip is in exactly one row. */
void check_each_once(const RbIntake *intake);
/* One recording an angle, cut into so many clips; the lengths as in length_of(). */
RbIntake *recordings(int shots);
/* A seam as the film would give it, 60 frames a second. */
RbIntakeSeam seam_at(int64_t first, int64_t at, int64_t last);
