/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"

#include "backup-private.h"
#include "migrate.h"
#include "place.h"
#include "scripts.h"
#include "statement-private.h"

enum { BUSY_MS = 5000, LOG_LIMIT_BYTES = 4 << 20 };

static const RbSchema this_version = { rb_schema_scripts, 0 };

static RbSchema schema_of(const RbStoreOptions *options)
{
    RbSchema schema = options->schema != NULL ? *options->schema : this_version;
    if (options->schema == NULL) {
        schema.n = rb_schema_n;
    }
    return schema;
}

static bool connect(RbStore *store, const char *path, const RbStoreOptions *options,
                    int flags, GError **error)
{
    /* The path is absolute and no URI, so no character in it means anything. */
    const int code =
        sqlite3_open_v2(path, &store->db, flags | SQLITE_OPEN_NOMUTEX, options->vfs);
    if (code != SQLITE_OK) {
        return rb_store_fail(store, code, error);
    }
    sqlite3_extended_result_codes(store->db, 1);
    sqlite3_busy_timeout(store->db, options->busy_ms > 0 ? options->busy_ms : BUSY_MS);
    /* The file may come from a stranger. */
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_DQS_DML, 0, NULL);
    sqlite3_db_config(store->db, SQLITE_DBCONFIG_DQS_DDL, 0, NULL);
    return true;
}

/* A library on a medium that cannot be written, cleanly closed, has no log and nowhere to put
 * the engine's shared memory: it can be read only as a file that nobody changes. */
static bool connect_immutable(RbStore *store, const RbStoreOptions *options,
                              GError **error)
{
    g_autofree char *log = g_strconcat(store->path, "-wal", NULL);
    if (g_file_test(log, G_FILE_TEST_EXISTS)) {
        return false;
    }
    g_clear_pointer(&store->db, rb_sqlite_close);
    g_autofree char *escaped = g_uri_escape_string(store->path, "/", false);
    g_autofree char *uri = g_strconcat("file:", escaped, "?immutable=1", NULL);
    return connect(store, uri, options, SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, error);
}

static bool read_version(RbStore *store, int64_t *version, GError **error)
{
    return rb_sqlite_int(store->db, store->path, "PRAGMA user_version", 0, version,
                         error);
}

/* Opens for reading and learns the version. Nothing is written. */
static bool connect_reading(RbStore *store, const RbStoreOptions *options,
                            int64_t *version, GError **error)
{
    g_autoptr(GError) first = NULL;
    if (!connect(store, store->path, options, SQLITE_OPEN_READONLY, error)) {
        return false;
    }
    if (read_version(store, version, &first)) {
        return true;
    }
    if (!g_error_matches(first, RB_STORE_ERROR, RB_STORE_ERROR_FAILED) &&
        !g_error_matches(first, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY)) {
        g_propagate_error(error, g_steal_pointer(&first));
        return false;
    }
    g_autoptr(GError) second = NULL;
    if (connect_immutable(store, options, &second) &&
        read_version(store, version, &second)) {
        return true;
    }
    g_propagate_error(error, g_steal_pointer(&first));
    return false;
}

static bool check_version(const RbStore *store, int64_t version, int ours, GError **error)
{
    g_autofree char *name = g_filename_display_name(store->path);
    if (version > ours) {
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER,
                            "The library %s was made by a newer version of Readbreak; "
                            "install that version to open it.",
                            name);
    }
    if (version < ours && store->read_only) {
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY,
                            "The library %s was made by an older version of Readbreak "
                            "and must be converted; open it where you may write.",
                            name);
    }
    return true;
}

/* Every table that this version works with must be there. */
static bool check_tables(RbStore *store, GError **error)
{
    for (int list = 0; list < 2; list++) {
        const char *const *names = list == 0 ? rb_shared_tables : rb_local_tables;
        for (; *names != NULL; names++) {
            g_autofree char *sql = g_strdup_printf(
                "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = '%s'",
                *names);
            int64_t found = 0;
            if (!rb_sqlite_int(store->db, store->path, sql, 0, &found, error)) {
                return false;
            }
            if (found == 0) {
                g_autofree char *name = g_filename_display_name(store->path);
                return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
                                    "The library %s is damaged (its table %s is missing);"
                                    " restore the newest backup under another name.",
                                    name, *names);
            }
        }
    }
    return true;
}

static bool set_up_writing(RbStore *store, GError **error)
{
    g_autofree char *sql = g_strdup_printf("PRAGMA synchronous = FULL;"
                                           "PRAGMA foreign_keys = ON;"
                                           "PRAGMA secure_delete = ON;"
                                           "PRAGMA temp_store = MEMORY;"
                                           "PRAGMA cache_size = -32000;"
                                           "PRAGMA journal_size_limit = %d",
                                           LOG_LIMIT_BYTES);
    return rb_sqlite_exec(store->db, store->path, "PRAGMA journal_mode = WAL", error) &&
           rb_sqlite_exec(store->db, store->path, sql, error);
}

/* Gives this file an identity of its own if it has none yet or was copied from elsewhere. */
static bool settle_here(RbStore *store, GError **error)
{
    g_autofree char *place = rb_place_identity(store->path);
    g_autoptr(RbStatement) query =
        rb_statement_new(store, "SELECT laptop, place, stamp FROM here", error);
    if (query == NULL) {
        return false;
    }
    const RbStep step = rb_statement_step(query, error);
    if (step == RB_STEP_ERROR) {
        return false;
    }
    int64_t stamp = 0;
    if (step == RB_STEP_ROW) {
        store->laptop = rb_statement_get_int(query, "laptop");
        const bool same = g_strcmp0(rb_statement_get_text(query, "place"), place) == 0;
        stamp = rb_statement_get_int(query, "stamp");
        if (same) {
            return true;
        }
    }
    rb_statement_reset(query);
    store->laptop = rb_id_random();
    g_autofree char *sql =
        g_strdup_printf("BEGIN IMMEDIATE;"
                        "INSERT INTO laptop (id, mine) VALUES (%" G_GINT64_FORMAT ", 1);"
                        "INSERT OR REPLACE INTO here (one, laptop, place, stamp)"
                        " VALUES (1, %" G_GINT64_FORMAT ", '%s', %" G_GINT64_FORMAT ");"
                        "COMMIT",
                        store->laptop, store->laptop, place, stamp);
    if (!rb_sqlite_exec(store->db, store->path, sql, error)) {
        sqlite3_exec(store->db, "ROLLBACK", NULL, NULL, NULL);
        return false;
    }
    return true;
}

static void finalize(void *statement)
{
    sqlite3_finalize(statement);
}

static RbStore *store_new(const char *path, const RbStoreOptions *options)
{
    RbStore *store = g_new0(RbStore, 1);
    rb_confined_init(&store->confined);
    store->path = rb_place_resolve(path);
    store->vfs = g_strdup(options->vfs);
    store->read_only = options->read_only;
    store->statements = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, finalize);
    store->tables = g_hash_table_new_full(g_str_hash, g_str_equal, g_free,
                                          (GDestroyNotify)g_ptr_array_unref);
    store->settled = g_array_new(FALSE, FALSE, sizeof(RbSettled));
    store->restored = g_array_new(FALSE, FALSE, sizeof(RbRestored));
    return store;
}

/* A log beside the file may hold a later version number than its header, which has been
 * checked: asked before anything is opened that could write. */
static bool check_log(RbStore *store, const RbStoreOptions *options, GError **error)
{
    g_autofree char *log = g_strconcat(store->path, "-wal", NULL);
    if (!g_file_test(log, G_FILE_TEST_EXISTS)) {
        return true;
    }
    int64_t version = 0;
    const bool ok = connect_reading(store, options, &version, error) &&
                    check_version(store, version, store->version, error);
    g_clear_pointer(&store->db, rb_sqlite_close);
    return ok;
}

/* Reading where one may write leaves no files of the engine behind, so a reader takes a
 * connection that could write and forbids it to. */
static bool open_reading(RbStore *store, const RbStoreOptions *options, GError **error)
{
    int64_t version = 0;
    if (!rb_place_check_writable(store->path, NULL)) {
        return connect_reading(store, options, &version, error) &&
               check_version(store, version, store->version, error) &&
               check_tables(store, error);
    }
    return connect(store, store->path, options, SQLITE_OPEN_READWRITE, error) &&
           rb_sqlite_exec(store->db, store->path, "PRAGMA query_only = ON", error) &&
           read_version(store, &version, error) &&
           check_version(store, version, store->version, error) &&
           check_tables(store, error);
}

static bool open_writing(RbStore *store, const RbStoreOptions *options,
                         const RbSchema *schema, GError **error)
{
    int64_t version = 0;
    if (!connect(store, store->path, options, SQLITE_OPEN_READWRITE, error) ||
        !read_version(store, &version, error) ||
        !check_version(store, version, schema->n, error)) {
        return false;
    }
    if (version < schema->n &&
        !rb_backup_before_migration(store->db, store->path, (int)version, error)) {
        return false;
    }
    return set_up_writing(store, error) &&
           (version == schema->n || rb_migrate(store->db, store->path, schema, error)) &&
           check_tables(store, error) && settle_here(store, error);
}

static bool open_existing(RbStore *store, const RbStoreOptions *options, GError **error)
{
    const RbSchema schema = schema_of(options);
    store->version = schema.n;
    if (!rb_place_check_library(store->path, schema.n, error) ||
        (!store->read_only && !rb_place_check_writable(store->path, error)) ||
        !check_log(store, options, error)) {
        return false;
    }
    return store->read_only ? open_reading(store, options, error)
                            : open_writing(store, options, &schema, error);
}

RbStore *rb_store_open_with(const char *path, const RbStoreOptions *options,
                            GError **error)
{
    g_autoptr(RbStore) store = store_new(path, options);
    return open_existing(store, options, error) ? g_steal_pointer(&store) : NULL;
}

/* Makes the library under a name nobody else has; true when it is whole and closed. */
static bool make_library(const char *path, const RbStoreOptions *options, GError **error)
{
    g_autoptr(RbStore) store = store_new(path, options);
    const RbSchema schema = schema_of(options);
    return connect(store, store->path, options,
                   SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, error) &&
           set_up_writing(store, error) &&
           rb_migrate(store->db, store->path, &schema, error);
}

/* A full disk keeps the engine from tidying up itself. */
void rb_store_remove_unfinished(const char *path)
{
    static const char *const endings[] = { "", "-wal", "-shm", "-journal" };
    for (size_t i = 0; i < G_N_ELEMENTS(endings); i++) {
        g_autofree char *file = g_strconcat(path, endings[i], NULL);
        g_unlink(file);
    }
}

RbStore *rb_store_create_with(const char *path, const RbStoreOptions *options,
                              GError **error)
{
    g_autofree char *full = g_canonicalize_filename(path, NULL);
    if (!rb_place_check_free(full, error)) {
        return NULL;
    }
    g_autofree char *unfinished =
        g_strdup_printf("%s.%" G_GINT64_FORMAT, full, rb_id_random());
    if (!make_library(unfinished, options, error) ||
        !rb_place_rename_new(unfinished, full, error)) {
        rb_store_remove_unfinished(unfinished);
        return NULL;
    }
    RbStore *store = rb_store_open_with(full, options, error);
    if (store == NULL) {
        rb_store_remove_unfinished(full);
    }
    return store;
}

RbStore *rb_store_create(const char *path, GError **error)
{
    return rb_store_create_with(path, &(RbStoreOptions){ 0 }, error);
}

RbStore *rb_store_open(const char *path, GError **error)
{
    return rb_store_open_with(path, &(RbStoreOptions){ 0 }, error);
}

RbStore *rb_store_open_read_only(const char *path, GError **error)
{
    return rb_store_open_with(path, &(RbStoreOptions){ .read_only = true }, error);
}
