/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

/* Yard lines are kept as yards to the goal line the offense attacks: 1 to 99. */

/* "own 25", "opp 40", "50". Asserts 1 to 99. Returns: (transfer full). */
char *rb_yardline_text(int yards_to_goal);

/* Reads "own 25", "o25", "opp 40", "opponent 40", "-25" (own), "+40" (opponent), "50", in
 * any case, with any spacing. A bare number other than 50 is refused: it does not say which
 * half. `error` names what was read and what is allowed. */
bool rb_yardline_parse(const char *text, int *yards_to_goal, GError **error);
