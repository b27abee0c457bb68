/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>

#include "rb/store/backup.h"
#include "rb/store/history.h"
#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"
#include "scripts.h"
#include "store-private.h"

enum { FIXTURE_ACTIONS = 40 };

/* Schemas that have left the house; each has its fixture. */
enum { RELEASED = 1 };

static GPtrArray *texts(RbStore *store, const char *sql)
{
    GError *error = NULL;
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, &error);
    rb_assert_no_error(error);
    GPtrArray *list = g_ptr_array_new_with_free_func(g_free);
    while (rb_statement_step(query, &error) == RB_STEP_ROW) {
        g_ptr_array_add(list, g_strdup(rb_statement_get_text(query, "x")));
    }
    rb_assert_no_error(error);
    return list;
}

static char *joined(RbStore *store, const char *sql)
{
    g_autoptr(GPtrArray) list = texts(store, sql);
    g_ptr_array_add(list, NULL);
    return g_strjoinv("\n", (char **)list->pdata);
}

static bool is_listed(const char *const *names, const char *name)
{
    for (; *names != NULL; names++) {
        if (strcmp(*names, name) == 0) {
            return true;
        }
    }
    return false;
}

START_TEST(test_schema__every_table_is_shared_or_local)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GPtrArray) tables =
        texts(store, "SELECT name AS x FROM sqlite_schema WHERE type = 'table'"
                     " AND name NOT LIKE 'sqlite_%'");
    guint listed = 0;
    for (guint i = 0; i < tables->len; i++) {
        const char *name = tables->pdata[i];
        ck_assert_msg(is_listed(rb_shared_tables, name) !=
                          is_listed(rb_local_tables, name),
                      "table %s must be in one list", name);
    }
    for (int i = 0; rb_shared_tables[i] != NULL; i++) {
        listed++;
    }
    for (int i = 0; rb_local_tables[i] != NULL; i++) {
        listed++;
    }
    ck_assert_uint_eq(listed, tables->len);
}
END_TEST

START_TEST(test_schema__shared_tables_keep_their_rules)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autofree char *nothing =
        joined(store, "SELECT name AS x FROM sqlite_schema WHERE type = 'trigger'");
    ck_assert_str_eq(nothing, "");
    for (int i = 0; rb_shared_tables[i] != NULL; i++) {
        const char *table = rb_shared_tables[i];
        g_autofree char *info = g_strdup_printf(
            "SELECT cid || ' ' || name || ' ' || type || ' ' || pk || ' ' || \"notnull\""
            " || ' ' || hidden || ' ' || coalesce(dflt_value, '-') AS x"
            " FROM pragma_table_xinfo('%s') WHERE pk OR hidden OR \"notnull\""
            " OR dflt_value IS NOT NULL OR name = 'removed' ORDER BY cid",
            table);
        g_autoptr(GPtrArray) odd = texts(store, info);
        ck_assert_msg(odd->len == 2, "%s: %u columns with rules", table, odd->len);
        ck_assert_str_eq(odd->pdata[0], "0 id INTEGER 1 0 0 -");
        ck_assert(g_str_has_suffix(odd->pdata[1], " removed INTEGER 0 1 0 1"));
        g_autofree char *unique = g_strdup_printf(
            "SELECT name AS x FROM pragma_index_list('%s') WHERE \"unique\"", table);
        g_autofree char *uniques = joined(store, unique);
        ck_assert_str_eq(uniques, "");
        g_autofree char *foreign = g_strdup_printf(
            "SELECT \"table\" AS x FROM pragma_foreign_key_list('%s')", table);
        g_autofree char *foreigns = joined(store, foreign);
        ck_assert_str_eq(foreigns, "");
        g_autofree char *text = g_strdup_printf(
            "SELECT sql AS x FROM sqlite_schema WHERE type = 'table' AND name = '%s'",
            table);
        g_autofree char *sql = joined(store, text);
        ck_assert(g_str_has_suffix(sql, ") STRICT"));
        /* The one check is that of `removed`. */
        const char *first = strstr(sql, "CHECK");
        ck_assert_ptr_nonnull(first);
        ck_assert_ptr_null(strstr(first + 1, "CHECK"));
        ck_assert(g_str_has_prefix(first, "CHECK (removed IN (0, 1))"));
    }
}
END_TEST

START_TEST(test_schema__scripts_are_embedded_byte_for_byte)
{
    const char *folder = g_getenv("RB_TEST_SCHEMA");
    ck_assert_ptr_nonnull(folder);
    for (int i = 0; i < rb_schema_n; i++) {
        g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
        g_autofree char *prefix = g_strdup_printf("%04d-", i + 1);
        const char *name = NULL;
        bool found = false;
        while ((name = g_dir_read_name(dir)) != NULL) {
            if (g_str_has_prefix(name, prefix)) {
                g_autofree char *path = g_build_filename(folder, name, NULL);
                g_autofree char *text = NULL;
                ck_assert(g_file_get_contents(path, &text, NULL, NULL));
                ck_assert_str_eq(text, rb_schema_scripts[i]);
                found = true;
            }
        }
        ck_assert(found);
    }
}
END_TEST

START_TEST(test_schema__a_library_is_set_up_as_designed)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    static const struct {
        const char *pragma;
        const char *value;
    } wanted[] = {
        { "application_id", "1382302315" }, /* "RdBk" */
        { "user_version", "6" },
        { "journal_mode", "wal" },
        { "synchronous", "2" }, /* FULL */
        { "foreign_keys", "1" },
        { "secure_delete", "1" },
        { "trusted_schema", "0" },
        { "busy_timeout", "5000" },
    };
    ck_assert_int_eq(rb_schema_n, 6);
    for (size_t i = 0; i < G_N_ELEMENTS(wanted); i++) {
        g_autofree char *sql =
            strcmp(wanted[i].pragma, "busy_timeout") == 0
                ? g_strdup("SELECT timeout AS x FROM pragma_busy_timeout")
                : g_strdup_printf("SELECT \"%s\" AS x FROM pragma_%s", wanted[i].pragma,
                                  wanted[i].pragma);
        g_autofree char *value = joined(store, sql);
        ck_assert_msg(strcmp(value, wanted[i].value) == 0, "%s is %s", wanted[i].pragma,
                      value);
    }
}
END_TEST

/* The data of every table as INSERT statements. */
static char *dump(RbStore *store)
{
    GString *text = g_string_new(NULL);
    g_autoptr(GPtrArray) tables =
        texts(store, "SELECT name AS x FROM sqlite_schema WHERE type = 'table'"
                     " AND name NOT LIKE 'sqlite_%' AND name <> 'migration'"
                     " ORDER BY rowid");
    for (guint i = 0; i < tables->len; i++) {
        const char *table = tables->pdata[i];
        g_autofree char *columns = g_strdup_printf(
            "SELECT 'quote(\"' || name || '\")' AS x FROM pragma_table_info('%s')",
            table);
        g_autoptr(GPtrArray) quoted = texts(store, columns);
        g_ptr_array_add(quoted, NULL);
        g_autofree char *values = g_strjoinv(" || ', ' || ", (char **)quoted->pdata);
        g_autofree char *rows = g_strdup_printf(
            "SELECT 'INSERT INTO \"%s\" VALUES (' || %s || ');' AS x FROM \"%s\" ORDER BY 1",
            table, values, table);
        g_autofree char *lines = joined(store, rows);
        g_string_append_printf(text, "%s\n", lines);
    }
    return g_string_free(text, FALSE);
}

/* To be run once when a schema is released, by hand: RB_WRITE_FIXTURE=1 with the next number.
 * Each line of the hashes is the content after one more undo. */
static void write_fixture(const char *sql_path, const char *hashes_path)
{
    RbRandom random;
    rb_random_seed(&random, 2026);
    g_autoptr(RbStore) store = make_store("fixture.readbreak");
    for (int i = 0; i < FIXTURE_ACTIONS; i++) {
        random_action(&random, store);
    }
    ck_assert_int_eq(
        sqlite3_exec(store->db, "UPDATE here SET place = ''", NULL, NULL, NULL),
        SQLITE_OK);
    g_autofree char *text = dump(store);
    g_autofree char *whole = g_strconcat("-- SPDX-License-Identifier: GPL-3.0-or-later\n"
                                         "-- A library of schema 1 with its history.\n",
                                         text, NULL);
    ck_assert(g_file_set_contents(sql_path, whole, -1, NULL));
    g_autoptr(GString) hashes = g_string_new(NULL);
    do {
        g_autofree char *hash = rb_store_content_hash(store, NULL);
        g_string_append_printf(hashes, "%s\n", hash);
    } while (rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, NULL));
    ck_assert(g_file_set_contents(hashes_path, hashes->str, -1, NULL));
}

/* A file with the first `version` scripts and the fixture's data. Returns: its path. */
static char *library_of_fixture(const char *name, int version)
{
    g_autofree char *relative = g_strdup_printf("store/schema-%d.sql", version);
    g_autofree char *fixture = rb_test_fixture(relative);
    g_autofree char *text = NULL;
    ck_assert(g_file_get_contents(fixture, &text, NULL, NULL));
    char *path = rb_test_path(name);
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    for (int i = 0; i < version; i++) {
        ck_assert_int_eq(sqlite3_exec(db, rb_schema_scripts[i], NULL, NULL, NULL),
                         SQLITE_OK);
    }
    g_autofree char *rest =
        g_strdup_printf("PRAGMA application_id = %d; PRAGMA user_version = %d",
                        RB_APPLICATION_ID, version);
    char *message = NULL;
    sqlite3_exec(db, text, NULL, NULL, &message);
    ck_assert_msg(message == NULL, "%s", message);
    ck_assert_int_eq(sqlite3_exec(db, rest, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
    return path;
}

/* Tables with their columns and indexes, without the layout of the text that made them:
 * a migrated table's text is put together from pieces. */
static char *shape(RbStore *store)
{
    return joined(
        store, "SELECT m.name || ' ' || c.name || ' ' || c.type || ' ' || c.\"notnull\""
               " || ' ' || coalesce(c.dflt_value, '') || ' ' || c.pk AS x"
               " FROM sqlite_schema m, pragma_table_xinfo(m.name) c"
               " WHERE m.type = 'table' UNION ALL"
               " SELECT i.name || ' ' || i.tbl_name || ' ' || coalesce(k.name, '') || ' '"
               " || k.seqno || ' ' || coalesce(i.sql, '') FROM sqlite_schema i,"
               " pragma_index_info(i.name) k WHERE i.type = 'index' ORDER BY x");
}

START_TEST(test_schema__migrated_equals_fresh_and_its_history_still_undoes)
{
    g_autofree char *sql = rb_test_fixture("store/schema-1.sql");
    g_autofree char *expected = rb_test_fixture("store/schema-1.hashes");
    if (g_getenv("RB_WRITE_FIXTURE") != NULL) {
        write_fixture(sql, expected);
    }
    for (int version = 1; version <= RELEASED; version++) {
        g_autofree char *path = library_of_fixture("old.readbreak", version);
        GError *error = NULL;
        g_autoptr(RbStore) store = rb_store_open(path, &error);
        rb_assert_no_error(error);
        g_autoptr(RbStore) fresh = make_store("fresh.readbreak");
        g_autofree char *migrated_shape = shape(store);
        g_autofree char *fresh_shape = shape(fresh);
        ck_assert_str_eq(migrated_shape, fresh_shape);

        g_autofree char *text = NULL;
        ck_assert(g_file_get_contents(expected, &text, NULL, NULL));
        g_auto(GStrv) hashes = g_strsplit(g_strstrip(text), "\n", -1);
        ck_assert_uint_gt(g_strv_length(hashes), FIXTURE_ACTIONS / 2);
        for (int i = 0; hashes[i] != NULL; i++) {
            g_autofree char *hash = rb_store_content_hash(store, &error);
            rb_assert_no_error(error);
            ck_assert_msg(g_str_equal(hash, hashes[i]), "after undo %d", i);
            if (hashes[i + 1] != NULL) {
                check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
            }
        }
        ck_assert(!rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, NULL));
    }
}
END_TEST

/* A script that libraries in use were made with is never edited: a change is a script of its own. */
START_TEST(test_schema__released_scripts_are_as_they_left)
{
    static const char *const sums[] = {
        "e60f24366860ebe44551a1a9d7722d89a26d7f56b7bdb015bf0f936518e2d350",
        "463d82467ea1c3e225c0519820e098062a9c107af12694be27e7acea55b289b5",
        "ee883988ca7ecb4779b41cc9d4c16d32ba9f5c06416cb4470ba3c809679d5544",
        "aee0aa22bfc2f92fee4bddffac832ce79738c9b5b452eaccb17227e1805aab51",
        "4b3306d1a3d8dc6a9ff7a98a25110990021e06927667a778a1147ec264abef08",
        "ecd7b4d8971ded812c6dde56052b132e24dcba17a5de66ac18346aba7036db5d",
    };
    for (size_t i = 0; i < G_N_ELEMENTS(sums); i++) {
        g_autofree char *sum =
            g_compute_checksum_for_string(G_CHECKSUM_SHA256, rb_schema_scripts[i], -1);
        ck_assert_str_eq(sum, sums[i]);
    }
}
END_TEST

/* What schemas 6, 5 and 4 brought: the view of charts goes with 5. */
#define WITHOUT_6                                                                        \
    "ALTER TABLE chart DROP COLUMN split_left_pm;"                                       \
    "ALTER TABLE chart DROP COLUMN split_right_pm;"                                      \
    "ALTER TABLE chart DROP COLUMN split_left;"                                          \
    "ALTER TABLE chart DROP COLUMN split_right;"
#define WITHOUT_5                                                                        \
    "DROP VIEW freshness; DROP VIEW ladder; DROP VIEW pairings; DROP VIEW verdicts;"     \
    "DROP VIEW looks; DROP VIEW charts; DROP VIEW snaps; DROP VIEW games;"               \
    "DROP TABLE judged_snap; DROP TABLE judged_seen; DROP TABLE judged_note;"
#define WITHOUT_4                                                                        \
    "ALTER TABLE chart DROP COLUMN cushion_left_pm;"                                     \
    "ALTER TABLE chart DROP COLUMN cushion_right_pm;"                                    \
    "DROP TABLE field_view; DROP TABLE field_sight; DROP TABLE measure;"

/* Schema 2 grew on its way; libraries made with each of its forms are converted alike. */
START_TEST(test_schema__a_library_of_a_grown_schema_2_is_converted)
{
    static const char *const forms[] = { "",
                                         "DROP TABLE judged; DROP INDEX action_forget;" };
    g_autoptr(RbStore) fresh = make_store("fresh.readbreak");
    g_autofree char *fresh_shape = shape(fresh);
    for (size_t i = 0; i < G_N_ELEMENTS(forms); i++) {
        g_autofree char *path = rb_test_path("grown.readbreak");
        {
            g_autoptr(RbStore) store = make_store("grown.readbreak");
            g_autofree char *back = g_strconcat(
                WITHOUT_5 WITHOUT_6 WITHOUT_4, forms[i],
                "DELETE FROM migration WHERE version > 2; PRAGMA user_version = 2", NULL);
            ck_assert_int_eq(sqlite3_exec(store->db, back, NULL, NULL, NULL), SQLITE_OK);
        }
        GError *error = NULL;
        g_autoptr(RbStore) store = rb_store_open(path, &error);
        rb_assert_no_error(error);
        g_autofree char *converted_shape = shape(store);
        ck_assert_str_eq(converted_shape, fresh_shape);
        ck_assert_int_eq(g_unlink(path), 0);
    }
}
END_TEST

/* A migration as one will be: a column renamed with its name in the history, one added. */
#define NEXT_SCRIPT                                                                      \
    "ALTER TABLE snap RENAME COLUMN note TO remark;"                                     \
    "UPDATE field SET column_name = 'remark' WHERE table_name = 'snap'"                  \
    " AND column_name = 'note';"                                                         \
    "ALTER TABLE game ADD COLUMN weather TEXT;"

static GPtrArray *with_next(const char *script)
{
    GPtrArray *scripts = g_ptr_array_new();
    for (int i = 0; i < rb_schema_n; i++) {
        g_ptr_array_add(scripts, (char *)rb_schema_scripts[i]);
    }
    g_ptr_array_add(scripts, (char *)script);
    return scripts;
}

START_TEST(test_schema__a_migration_backs_up_and_keeps_history_undoable)
{
    g_autofree char *path = NULL;
    {
        g_autoptr(RbStore) store = make_store("a.readbreak");
        path = g_strdup(rb_store_get_path(store));
        g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 11 }, (RbGameId){ 5 }, 1);
        begin(store, "Snap");
        check(rb_store_save_snap(store, snap, &error_));
        commit(store);
        snap->note = g_strdup("late whistle");
        begin(store, "Note");
        check(rb_store_save_snap(store, snap, &error_));
        commit(store);
    }
    g_autoptr(GPtrArray) scripts = with_next(NEXT_SCRIPT);
    const RbSchema next = { (const char *const *)scripts->pdata, (int)scripts->len };
    const RbStoreOptions options = { .schema = &next };
    GError *error = NULL;
    /* For reading only it is refused, and left alone. */
    const RbStoreOptions reading = { .schema = &next, .read_only = true };
    ck_assert_ptr_null(rb_store_open_with(path, &reading, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY));
    g_clear_error(&error);

    g_autoptr(RbStore) store = rb_store_open_with(path, &options, &error);
    rb_assert_no_error(error);
    g_autofree char *note = joined(store, "SELECT remark AS x FROM snap");
    ck_assert_str_eq(note, "late whistle");
    check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
    g_autofree char *undone =
        joined(store, "SELECT coalesce(remark, 'none') AS x FROM snap");
    ck_assert_str_eq(undone, "none");
    g_autofree char *log = joined(store, "SELECT version AS x FROM migration ORDER BY 1");
    ck_assert_str_eq(log, "1\n2\n3\n4\n5\n6\n7");

    g_autofree char *fresh_path = rb_test_path("fresh.readbreak");
    g_autoptr(RbStore) fresh = rb_store_create_with(fresh_path, &options, &error);
    rb_assert_no_error(error);
    g_autofree char *migrated_shape = shape(store);
    g_autofree char *fresh_shape = shape(fresh);
    ck_assert_str_eq(migrated_shape, fresh_shape);

    /* The backup made before is the old library, and this version opens it. */
    g_autoptr(GPtrArray) backups = rb_backup_list(path, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(backups->len, 1);
    ck_assert_ptr_nonnull(strstr(backups->pdata[0], "before schema 7"));
    g_autoptr(RbStore) old = rb_store_open_read_only(backups->pdata[0], &error);
    rb_assert_no_error(error);
    g_autofree char *old_note = joined(old, "SELECT note AS x FROM snap");
    ck_assert_str_eq(old_note, "late whistle");
    /* The new one it does not. */
    ck_assert_ptr_null(rb_store_open(path, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_schema__a_failed_migration_leaves_the_library_as_it_was)
{
    static const char *const bad[] = {
        NEXT_SCRIPT "SELECT nonsense;",
        "DELETE FROM laptop", /* the history's own references break */
    };
    for (size_t i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autofree char *name = g_strdup_printf("%zu.readbreak", i);
        g_autofree char *path = rb_test_path(name);
        g_autofree char *before = NULL;
        {
            RbRandom random;
            rb_random_seed(&random, 5);
            g_autoptr(RbStore) store = make_store(name);
            for (int j = 0; j < 10; j++) {
                random_action(&random, store);
            }
            before = dump(store);
        }
        g_autoptr(GPtrArray) scripts = with_next(bad[i]);
        const RbSchema next = { (const char *const *)scripts->pdata, (int)scripts->len };
        GError *error = NULL;
        ck_assert_ptr_null(
            rb_store_open_with(path, &(RbStoreOptions){ .schema = &next }, &error));
        ck_assert_ptr_nonnull(error);
        g_clear_error(&error);
        g_autoptr(RbStore) store = rb_store_open(path, &error);
        rb_assert_no_error(error);
        g_autofree char *after = dump(store);
        ck_assert_str_eq(before, after);
    }
}
END_TEST

START_TEST(test_schema__an_open_store_notices_a_conversion)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GPtrArray) scripts = with_next(NEXT_SCRIPT);
    const RbSchema next = { (const char *const *)scripts->pdata, (int)scripts->len };
    GError *error = NULL;
    g_autoptr(RbStore) newer = rb_store_open_with(
        rb_store_get_path(store), &(RbStoreOptions){ .schema = &next }, &error);
    rb_assert_no_error(error);
    ck_assert(!rb_store_begin(store, (RbPersonId){ 0 }, "Late", &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER));
    g_clear_error(&error);
}
END_TEST

TCase *rb_case_schema(void)
{
    TCase *tcase = rb_case_new("schema");
    tcase_add_test(tcase, test_schema__every_table_is_shared_or_local);
    tcase_add_test(tcase, test_schema__shared_tables_keep_their_rules);
    tcase_add_test(tcase, test_schema__scripts_are_embedded_byte_for_byte);
    tcase_add_test(tcase, test_schema__a_library_is_set_up_as_designed);
    tcase_add_test(tcase,
                   test_schema__migrated_equals_fresh_and_its_history_still_undoes);
    tcase_add_test(tcase, test_schema__released_scripts_are_as_they_left);
    tcase_add_test(tcase, test_schema__a_library_of_a_grown_schema_2_is_converted);
    tcase_add_test(tcase, test_schema__a_migration_backs_up_and_keeps_history_undoable);
    tcase_add_test(tcase, test_schema__a_failed_migration_leaves_the_library_as_it_was);
    tcase_add_test(tcase, test_schema__an_open_store_notices_a_conversion);
    return tcase;
}
