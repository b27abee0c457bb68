/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/repair.h"
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
    GPtrArray
        *repairs; /* owned, of RbRepair: proposals, the best first; empty for charts */
} RbCheck;

void rb_check_free(RbCheck *check);

/* In order of snaps. Returns: (transfer full) (nullable): of RbCheck, with `error` set. */
GPtrArray *rb_library_check_game(RbLibrary *library, RbGameId game, GError **error);

/* Carries out one proposal of a game, counted from 1 over all checks in the order of the list
 * above, in one journal action. words: (out) (nullable) (transfer full): what was done. */
bool rb_library_repair_game(RbLibrary *library, RbGameId game, int number, char **words,
                            GError **error);
