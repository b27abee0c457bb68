/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/work/library.h"

/* What does not fit in a game: the chain of situations (rb/model/chain.h), and charts against
 * the playbook and against the snap's facts. */
typedef struct {
    RbSnapId snap;
    int number;
    const char *field; /* token: "spot", "down", "ball", "read-3" */
    char *expected;    /* owned, nullable */
    char *found;       /* owned, nullable */
    char *sentence;    /* owned */
} RbCheck;

void rb_check_free(RbCheck *check);

/* In order of snaps. Returns: (transfer full) (nullable): of RbCheck, with `error` set. */
GPtrArray *rb_library_check_game(RbLibrary *library, RbGameId game, GError **error);
