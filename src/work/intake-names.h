/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/model/words.h"

/* What names of files tell about a folder of clips. */

/* Natural order: runs of digits by their value, letters without case; for g_ptr_array_sort of
 * char *. */
int rb_intake_compare_names(const void *a, const void *b);

/* The camera that the words of a path's name, else of its folder, speak of ("012 wide.mp4",
 * "end zone/12.mp4"); RB_ANGLE_OTHER when none does, or both do. */
RbAngle rb_intake_angle_of(const char *path);

/* The number of the snap in each name, -1: none. Names have several numbers (a date, the week);
 * it is the run of digits, counted from the front or from the back of the name, that differs
 * most from clip to clip of one camera.
 * names: of n; angles: of n. numbers: (out): of n. */
void rb_intake_find_numbers(const char *const *names, const RbAngle *angles, int n,
                            int *numbers);

/* A film, by the end of its name. */
bool rb_intake_is_film_name(const char *name);
