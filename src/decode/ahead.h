/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

/* A thread for what is worth doing while nobody asks: so that a message never waits for the
 * packet that is being decoded meanwhile. Between ahead_start() and ahead_stop() the work owns
 * what it touches; outside, whoever calls does. */

/* One piece, which ends early when ahead_must_stop(). False: nothing is left. */
typedef bool (*AheadWork)(void *data);

/* Begins, if it is not at it. False without a thread. */
bool ahead_start(AheadWork work, void *data);
/* Waits until the piece in hand is left. */
void ahead_stop(void);
bool ahead_must_stop(void);
