/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/library.h"

/* A game that nobody logged yet, so that film and snaps have a place to go to. */
typedef struct {
    char *title;     /* owned: "Week 3 at Harbor City" */
    char *played_on; /* owned: ISO 8601 date, "2026-09-12" */
    char *them;      /* owned: name of the other team; NULL or blank: not said */
    char *us;        /* owned: of ours; NULL or blank: the one the library has, if any */
    RbGameKind kind;
    RbRules rules;
} RbGameEntry;

void rb_game_entry_free(RbGameEntry *entry); /* NULL is allowed */

/* From date and title, so that one game entered on two laptops is one. */
RbGameId rb_game_id_of(const char *played_on, const char *title);

/* One action. Makes the teams known that are named and not there yet; a game that was removed
 * comes back. Refuses a blank title, a date that is none, and a game of that date and title that
 * is there. Returns: 0 id with `error` set. words: (out) (nullable) (transfer full): what was
 * done. */
RbGameId rb_library_add_game(RbLibrary *library, const RbGameEntry *entry, char **words,
                             GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbGameEntry, rb_game_entry_free)
