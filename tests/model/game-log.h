/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/snap.h"

/* Reads a game's log from a tab-separated fixture. Team H is 1, team R is 2.
 * Returns: (transfer full): of RbSnap. */
GPtrArray *log_read(const char *fixture);

/* An empty log that owns its snaps. Returns: (transfer full). */
GPtrArray *log_new(void);

/* Deep copy. Returns: (transfer full). */
GPtrArray *log_copy(const GPtrArray *log);

/* Only one team's snaps, free kicks left out, with the numbers they have in the whole log.
 * Returns: (transfer full). */
GPtrArray *log_of_team(const GPtrArray *log, int64_t team);

/* The snap with that number. */
RbSnap *log_snap(const GPtrArray *log, int number);
