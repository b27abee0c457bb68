/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/model/ids.h"
#include "rb/store/error.h"

/* A library: one file that holds a staff's games, charts, playbook and their whole history.
 * A store is confined to the thread that opened it (asserted); several stores, in several
 * windows and programs, may have one library open at once.
 *
 * Every change of shared values happens inside an action (begin … commit), which is one
 * transaction, one entry of the history and one step of undo. What an action changed is
 * recorded by itself; nobody has to describe it. Local values (film paths, window state) may
 * be written with or without an action and leave no history. */
typedef struct RbStore RbStore;

#define RB_STORE_SUFFIX ".readbreak"

/* Makes a new library at `path` and opens it. Refuses (EXISTS) when anything has that name;
 * a half-made file is never left behind. The library holds no words and no concepts yet.
 * Returns: (transfer full). */
RbStore *rb_store_create(const char *path, GError **error);

/* Opens a library to read and write. An older schema is migrated, after a backup. Nothing
 * is written to a file that is refused. Returns: (transfer full). */
RbStore *rb_store_open(const char *path, GError **error);

/* The same for reading only; also from a medium that cannot be written. An older schema is
 * refused (READ_ONLY), since it would have to be migrated. Returns: (transfer full). */
RbStore *rb_store_open_read_only(const char *path, GError **error);

void rb_store_free(RbStore *store); /* NULL is allowed; rolls back an open action */
/* Removes the file of a library that was just made and could not be finished, with what the engine
 * leaves beside it. Nobody has it open. */
void rb_store_remove_unfinished(const char *path);

const char *rb_store_get_path(const RbStore *store); /* borrowed */
bool rb_store_is_read_only(const RbStore *store);

/* Starts an action by `person` (0: nobody, the program itself). words: what is done, for the
 * history: plain or told text (rb/base/told.h). False when the library is locked or read-only.
 * One action at a time (asserted). Every read inside sees its writes. */
bool rb_store_begin(RbStore *store, RbPersonId person, const char *words, GError **error);

/* The first action of a new, empty library: what the program puts into every one (words of the
 * trade, starter concepts). It counts as done long ago by nobody, and alike on every laptop, so
 * that the words of a library made today never take the place of what a staff has made of them.
 * Ends like any other. */
bool rb_store_begin_seed(RbStore *store, const char *words, GError **error);

/* Better words, once they are known; before commit. */
void rb_store_set_words(RbStore *store, const char *words);

/* On true everything is on the disk, with its history; an action that changed nothing leaves
 * no entry. On false everything is rolled back. */
bool rb_store_commit(RbStore *store, GError **error);

/* Gives up an action; does nothing when none is open (a failed commit, a full disk). */
void rb_store_rollback(RbStore *store);

bool rb_store_is_in_action(const RbStore *store);

/* A number that changes when another store (window, program) has committed. Cheap: for
 * polling. -1 with `error` set on failure. */
int64_t rb_store_data_version(RbStore *store, GError **error);

/* SHA-256, in hex, over the visible shared values, whatever order they came in: equal for
 * two laptops that agree. Returns: (transfer full). */
char *rb_store_content_hash(RbStore *store, GError **error);

/* True when the file is sound. Otherwise DAMAGED, with the first fault found. Reads the
 * whole file: a second for a hundred megabytes. */
bool rb_store_check_integrity(RbStore *store, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbStore, rb_store_free)
