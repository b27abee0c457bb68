/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

/* Yard lines are kept as yards to the goal line the offense attacks: 1 to 99. */

/* "own 25", "opp 40", "50", the same in every language: what is stored, printed for programs and
 * given back to rb_yardline_parse(). Asserts 1 to 99. Returns: (transfer full). */
char *rb_yardline_token(int yards_to_goal);

/* The same in the reader's language: "propia 25". Asserts 1 to 99. Returns: (transfer full). */
char *rb_yardline_label(int yards_to_goal);
char *rb_yardline_tell(int yards_to_goal); /* the same, told (rb/base/told.h) */

/* Reads "own 25", "o25", "opp 40", "opponent 40", "-25" (own), "+40" (opponent), "50" and what the
 * reader's language says for them ("propia 25"), in any case, with any spacing. A bare number other
 * than 50 is refused: it does not say which half. `error` names what was read and what is allowed. */
bool rb_yardline_parse(const char *text, int *yards_to_goal, GError **error);
