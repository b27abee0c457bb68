/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/store.h"

#include "rb/base/error.h"
#include "rb/base/told.h"

#include "record.h"
#include "statement-private.h"

const char *const rb_shared_tables[] = {
    "person",   "team",        "player",      "game",         "film",
    "snap",     "penalty",     "clip",        "mark",         "chart",
    "look",     "term",        "concept",     "revision",     "setting",
    "cutup",    "cutup_entry", "quiz_answer", "saved_filter", "drawing",
    "snap_tag", "field_view",  "field_sight", "measure",      NULL,
};

const char *const rb_local_tables[] = {
    "laptop", "here",         "action",      "field",       "op",
    "head",   "chart_change", "film_path",   "state",       "migration",
    "judged", "judged_snap",  "judged_seen", "judged_note", NULL,
};

bool rb_store_fail(RbStore *store, int code, GError **error)
{
    return rb_sqlite_error(error, store->db, code, store->path);
}

const char *rb_store_get_path(const RbStore *store)
{
    return store->path;
}

bool rb_store_is_read_only(const RbStore *store)
{
    return store->read_only;
}

bool rb_store_is_in_action(const RbStore *store)
{
    return store->in_action;
}

void rb_store_assert_in_action(const RbStore *store)
{
    rb_confined_assert(&store->confined);
    g_assert(store->in_action);
}

static void clear_pending(RbStore *store)
{
    g_clear_pointer(&store->pending.words, g_free);
    store->pending = (RbPending){ 0 };
    g_array_set_size(store->settled, 0);
    g_array_set_size(store->restored, 0);
    g_clear_pointer(&store->session, sqlite3session_delete);
    store->in_action = false;
}

void rb_store_free(RbStore *store)
{
    if (store == NULL) {
        return;
    }
    rb_store_rollback(store);
    g_hash_table_unref(store->statements);
    g_hash_table_unref(store->tables);
    g_array_unref(store->settled);
    g_array_unref(store->restored);
    rb_sqlite_close(store->db);
    g_free(store->path);
    g_free(store->vfs);
    g_free(store);
}

/* Another program may have moved, deleted or converted the library while this store had it
 * open. What is committed into a deleted file is lost when it is closed. */
static bool check_still_ours(RbStore *store, GError **error)
{
    int moved = 0;
    sqlite3_file_control(store->db, "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    if (moved != 0) {
        g_autofree char *gone = g_filename_display_name(store->path);
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_MISSING,
                            "The library %s was moved or deleted while it was open; make "
                            "a backup now, then close it and open it where it lies.",
                            gone);
    }
    int64_t version = 0;
    if (!rb_sqlite_int(store->db, store->path, "PRAGMA user_version", 0, &version,
                       error)) {
        return false;
    }
    if (version == store->version) {
        return true;
    }
    g_autofree char *name = g_filename_display_name(store->path);
    return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER,
                        "The library %s has just been converted by a newer version of "
                        "Readbreak; close this one and open it with that.",
                        name);
}

/* The session only records: sqlite.org, "The Session Extension". It is given each shared
 * table by name, so that the history's own tables never enter it. */
static bool start_recording(RbStore *store, GError **error)
{
    int code = sqlite3session_create(store->db, "main", &store->session);
    for (int i = 0; code == SQLITE_OK && rb_shared_tables[i] != NULL; i++) {
        code = sqlite3session_attach(store->session, rb_shared_tables[i]);
    }
    return code == SQLITE_OK || rb_store_fail(store, code, error);
}

bool rb_store_begin_pending(RbStore *store, RbPending pending, GError **error)
{
    rb_confined_assert(&store->confined);
    g_assert(!store->in_action);
    store->pending = pending;
    if (store->read_only) {
        rb_sqlite_error(error, NULL, SQLITE_READONLY, store->path);
        clear_pending(store);
        return false;
    }
    if (!rb_sqlite_exec(store->db, store->path, "BEGIN IMMEDIATE", error)) {
        clear_pending(store);
        return false;
    }
    store->in_action = true;
    if (!check_still_ours(store, error) || !start_recording(store, error)) {
        rb_store_rollback(store);
        return false;
    }
    return true;
}

bool rb_store_begin(RbStore *store, RbPersonId person, const char *words, GError **error)
{
    const RbPending pending = {
        .type = RB_ACTION_DO,
        .person = person,
        .words = rb_told_to_keep(words),
    };
    return rb_store_begin_pending(store, pending, error);
}

bool rb_store_begin_seed(RbStore *store, const char *words, GError **error)
{
    const RbPending pending = {
        .type = RB_ACTION_DO,
        .words = rb_told_to_keep(words),
        .seed = true,
    };
    return rb_store_begin_pending(store, pending, error);
}

bool rb_store_begin_unrecorded(RbStore *store, GError **error)
{
    if (!rb_store_begin_pending(store, (RbPending){ 0 }, error)) {
        return false;
    }
    g_clear_pointer(&store->session, sqlite3session_delete);
    return true;
}

bool rb_store_commit_unrecorded(RbStore *store, GError **error)
{
    rb_store_assert_in_action(store);
    const bool ok = rb_sqlite_exec(store->db, store->path, "COMMIT", error);
    rb_store_rollback(store); /* after COMMIT it only ends the action */
    return ok;
}

void rb_store_set_words(RbStore *store, const char *words)
{
    rb_store_assert_in_action(store);
    g_free(store->pending.words);
    store->pending.words = rb_told_to_keep(words);
}

bool rb_store_commit(RbStore *store, GError **error)
{
    rb_store_assert_in_action(store);
    /* A full disk has rolled everything back already: sqlite3_get_autocommit(). */
    if (sqlite3_get_autocommit(store->db) != 0) {
        clear_pending(store);
        return rb_sqlite_error(error, NULL, SQLITE_FULL, store->path);
    }
    bool changed = false;
    if (!rb_record_action(store, &changed, error) ||
        !rb_sqlite_exec(store->db, store->path, changed ? "COMMIT" : "ROLLBACK", error)) {
        rb_store_rollback(store);
        return false;
    }
    clear_pending(store);
    return true;
}

void rb_store_rollback(RbStore *store)
{
    rb_confined_assert(&store->confined);
    if (!store->in_action) {
        return;
    }
    clear_pending(store);
    if (sqlite3_get_autocommit(store->db) == 0) {
        sqlite3_exec(store->db, "ROLLBACK", NULL, NULL, NULL);
    }
}

int64_t rb_store_data_version(RbStore *store, GError **error)
{
    rb_confined_assert(&store->confined);
    int64_t version = -1;
    rb_sqlite_int(store->db, store->path, "PRAGMA data_version", -1, &version, error);
    return version;
}

bool rb_store_check_integrity(RbStore *store, GError **error)
{
    g_autoptr(RbStatement) query =
        rb_statement_new(store, "PRAGMA integrity_check(1)", error);
    if (query == NULL || rb_statement_step(query, error) == RB_STEP_ERROR) {
        return false;
    }
    const char *said = rb_statement_get_text(query, "integrity_check");
    if (g_strcmp0(said, "ok") == 0) {
        return true;
    }
    g_autofree char *name = g_filename_display_name(store->path);
    return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
                        "The library %s is damaged (%s); keep the file and restore the "
                        "newest backup under another name.",
                        name, said != NULL ? said : "it cannot be checked");
}
