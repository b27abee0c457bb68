/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/ids.h"
#include "rb/store/store.h"

/* Which snaps were changed since a moment, from the history: so that what was computed from a
 * library can follow it without being read again whole. */

/* How far the history of one laptop goes; laptop 0 counts the names that were forgotten. */
typedef struct {
    int64_t laptop;
    int64_t seq;
} RbSeen;

/* Returns: (transfer full) (nullable): of RbSeen, now; NULL with `error`. */
GArray *rb_store_list_seen(RbStore *store, GError **error);

/* The snaps whose facts, penalties, charts, clips or marks were changed after `seen`, each once.
 * everything: (out): something else was changed too, on which any snap may hang (playbook, words,
 * teams, games); what only a screen shows (cut-ups, saved filters, quiz answers) is nothing.
 * Returns: (transfer full) (nullable): of RbSnapId; NULL with `error`. */
GArray *rb_store_list_touched(RbStore *store, const GArray *seen, bool *everything,
                              GError **error);
