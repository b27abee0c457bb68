/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/store/backup.h"
#include "rb/store/history.h"
#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"
#include "place.h"
#include "store-private.h"

/* What a folder holds: names, sizes, bytes and times. */
static char *folder_state(void)
{
    g_autoptr(GString) state = g_string_new(NULL);
    g_autoptr(GDir) dir = g_dir_open(rb_test_folder(), 0, NULL);
    const char *name = NULL;
    while ((name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = rb_test_path(name);
        g_autofree char *data = NULL;
        gsize size = 0;
        struct stat info;
        ck_assert_int_eq(stat(path, &info), 0);
        if (S_ISREG(info.st_mode)) {
            g_file_get_contents(path, &data, &size, NULL);
        }
        g_autofree char *sum =
            g_compute_checksum_for_data(G_CHECKSUM_SHA256, (guchar *)data, size);
        g_string_append_printf(state, "%s %s %ld.%ld\n", name, sum,
                               (long)info.st_mtim.tv_sec, info.st_mtim.tv_nsec);
    }
    return g_string_free(g_steal_pointer(&state), FALSE);
}

/* Opening gives one sentence with the file's name and this code, and touches nothing. */
static void refused(const char *path, const RbStoreOptions *options, RbStoreError code)
{
    g_autofree char *before = folder_state();
    GError *error = NULL;
    ck_assert_ptr_null(rb_store_open_with(path, options, &error));
    ck_assert_ptr_nonnull(error);
    ck_assert_msg(g_error_matches(error, RB_STORE_ERROR, (int)code), "%d: %s",
                  error->code, error->message);
    g_autofree char *name = g_path_get_basename(path);
    ck_assert_msg(strstr(error->message, name) != NULL, "no name: %s", error->message);
    ck_assert_msg(g_str_has_suffix(error->message, "."), "no stop: %s", error->message);
    ck_assert_msg(strchr(error->message, '\n') == NULL, "lines: %s", error->message);
    g_clear_error(&error);
    g_autofree char *after = folder_state();
    ck_assert_str_eq(before, after);
}

static void refused_both(const char *path, RbStoreError code)
{
    refused(path, &(RbStoreOptions){ 0 }, code);
    refused(path, &(RbStoreOptions){ .read_only = true }, code);
}

/* A closed library with something in it. Returns: (transfer full): its path. */
static char *make_closed(const char *name)
{
    RbRandom random;
    rb_random_seed(&random, 3);
    g_autoptr(RbStore) store = make_store(name);
    for (int i = 0; i < 20; i++) {
        random_action(&random, store);
    }
    return g_strdup(rb_store_get_path(store));
}

static void put_bytes(const char *path, off_t at, const void *data, size_t size)
{
    const int fd = open(path, O_WRONLY);
    ck_assert_int_ge(fd, 0);
    ck_assert_int_eq(pwrite(fd, data, size, at), (ssize_t)size);
    close(fd);
}

static void put_text(const char *name, const char *text, char **path)
{
    *path = rb_test_path(name);
    ck_assert(g_file_set_contents(*path, text, -1, NULL));
}

/* From now on the process is nobody, who may not do what root may. */
static void become_nobody(void)
{
    enum { NOBODY = 65534 };
    if (geteuid() == 0) {
        ck_assert_int_eq(chown(rb_test_folder(), NOBODY, NOBODY), 0);
        g_autoptr(GDir) dir = g_dir_open(rb_test_folder(), 0, NULL);
        const char *name = NULL;
        while ((name = g_dir_read_name(dir)) != NULL) {
            g_autofree char *path = rb_test_path(name);
            ck_assert_int_eq(chown(path, NOBODY, NOBODY), 0);
        }
        ck_assert_int_eq(setgid(NOBODY), 0);
        ck_assert_int_eq(setuid(NOBODY), 0);
        prctl(PR_SET_DUMPABLE, 1); /* for the leak checker */
    }
}

START_TEST(test_open__refuses_what_is_no_library)
{
    g_autofree char *missing = rb_test_path("missing.readbreak");
    refused_both(missing, RB_STORE_ERROR_MISSING);
    g_autofree char *below = rb_test_path("no/such/folder.readbreak");
    refused_both(below, RB_STORE_ERROR_MISSING);
    g_autofree char *folder = rb_test_path("folder.readbreak");
    ck_assert_int_eq(g_mkdir(folder, 0700), 0);
    refused_both(folder, RB_STORE_ERROR_NOT_FILE);
    g_autofree char *pipe = rb_test_path("pipe.readbreak");
    ck_assert_int_eq(mkfifo(pipe, 0600), 0);
    refused_both(pipe, RB_STORE_ERROR_NOT_FILE);
    g_autofree char *empty = NULL;
    put_text("empty.readbreak", "", &empty);
    refused_both(empty, RB_STORE_ERROR_NOT_LIBRARY);
    g_autofree char *text = NULL;
    put_text("text.readbreak", "A letter to the coach, long enough to be one.", &text);
    refused_both(text, RB_STORE_ERROR_NOT_LIBRARY);

    g_autofree char *other = rb_test_path("other.readbreak");
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(other, &db), SQLITE_OK);
    sqlite3_exec(db, "CREATE TABLE snap (id INTEGER PRIMARY KEY)", NULL, NULL, NULL);
    sqlite3_close(db);
    refused_both(other, RB_STORE_ERROR_NOT_LIBRARY);
}
END_TEST

START_TEST(test_open__refuses_a_newer_library)
{
    g_autofree char *path = make_closed("new.readbreak");
    put_bytes(path, 60, "\0\0\0\143", 4); /* user_version, big-endian: 99 */
    refused_both(path, RB_STORE_ERROR_NEWER);
}
END_TEST

START_TEST(test_open__refuses_a_newer_library_whose_number_is_in_the_log)
{
    /* A newer program died before its log came into the file. */
    g_autofree char *path = make_closed("new.readbreak");
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_exec(db, "PRAGMA user_version = 99", NULL, NULL, NULL);
    g_autofree char *log = g_strconcat(path, "-wal", NULL);
    g_autofree char *data = NULL;
    gsize size = 0;
    ck_assert(g_file_get_contents(log, &data, &size, NULL));
    ck_assert_uint_gt(size, 0);
    sqlite3_db_config(db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, NULL);
    sqlite3_close(db);
    g_autofree char *before = NULL;
    g_autofree char *after = NULL;
    g_file_get_contents(path, &before, &size, NULL);
    GError *error = NULL;
    ck_assert_ptr_null(rb_store_open(path, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER));
    g_clear_error(&error);
    gsize size_after = 0;
    g_file_get_contents(path, &after, &size_after, NULL);
    ck_assert_uint_eq(size, size_after);
    ck_assert_mem_eq(before, after, size);
    g_autofree char *log_after = NULL;
    ck_assert(g_file_get_contents(log, &log_after, &size_after, NULL));
    ck_assert_mem_eq(data, log_after, size_after);
}
END_TEST

START_TEST(test_open__refuses_a_damaged_library)
{
    g_autofree char *path = make_closed("cut.readbreak");
    struct stat info;
    ck_assert_int_eq(stat(path, &info), 0);
    ck_assert_int_eq(truncate(path, info.st_size - 4096), 0);
    refused_both(path, RB_STORE_ERROR_DAMAGED);
    ck_assert_int_eq(truncate(path, 4096 + 100), 0);
    refused_both(path, RB_STORE_ERROR_DAMAGED);

    /* The page of the schema itself is garbage: found on reading it. */
    g_autofree char *garbled = make_closed("garbled.readbreak");
    char garbage[2000];
    memset(garbage, 0x5a, sizeof garbage);
    put_bytes(garbled, 100, garbage, sizeof garbage);
    GError *error = NULL;
    ck_assert_ptr_null(rb_store_open(garbled, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_open__finds_damage_on_request)
{
    g_autofree char *path = make_closed("worn.readbreak");
    char garbage[4096];
    memset(garbage, 0x5a, sizeof garbage);
    struct stat info;
    ck_assert_int_eq(stat(path, &info), 0);
    put_bytes(path, info.st_size * 3 / 4 / 4096 * 4096, garbage, sizeof garbage);
    GError *error = NULL;
    g_autoptr(RbStore) store = rb_store_open(path, &error);
    rb_assert_no_error(error);
    ck_assert(!rb_store_check_integrity(store, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_open__says_that_permission_lacks)
{
    g_autofree char *path = make_closed("mine.readbreak");
    become_nobody();
    ck_assert_int_eq(g_chmod(path, 0), 0);
    refused_both(path, RB_STORE_ERROR_PERMISSION);
    ck_assert_int_eq(g_chmod(path, 0600), 0);
    ck_assert_int_eq(g_chmod(rb_test_folder(), 0), 0);
    GError *error = NULL;
    ck_assert_ptr_null(rb_store_open(path, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_PERMISSION));
    g_clear_error(&error);
    ck_assert_int_eq(g_chmod(rb_test_folder(), 0700), 0);
}
END_TEST

START_TEST(test_open__reads_what_it_may_not_write)
{
    g_autofree char *path = make_closed("old.readbreak");
    become_nobody();
    ck_assert_int_eq(g_chmod(path, 0400), 0);
    refused(path, &(RbStoreOptions){ 0 }, RB_STORE_ERROR_READ_ONLY);
    /* A folder, a stick, a disc that cannot be written: no room for the engine's files. */
    ck_assert_int_eq(g_chmod(rb_test_folder(), 0500), 0);
    refused(path, &(RbStoreOptions){ 0 }, RB_STORE_ERROR_READ_ONLY);
    g_autofree char *before = folder_state();
    GError *error = NULL;
    RbStore *store = rb_store_open_read_only(path, &error);
    rb_assert_no_error(error);
    ck_assert(rb_store_is_read_only(store));
    g_autoptr(GPtrArray) games = rb_store_list_games(store, &error);
    rb_assert_no_error(error);
    ck_assert_uint_gt(games->len, 0);
    ck_assert(!rb_store_begin(store, (RbPersonId){ 0 }, "Nothing", &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY));
    g_clear_error(&error);
    ck_assert(!rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY));
    g_clear_error(&error);
    ck_assert(!rb_store_set_state(store, "x", "y", &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY));
    g_clear_error(&error);
    rb_store_free(store);
    g_autofree char *after = folder_state();
    ck_assert_str_eq(before, after);
    ck_assert_int_eq(g_chmod(rb_test_folder(), 0700), 0);
}
END_TEST

START_TEST(test_open__waits_then_says_that_it_is_locked)
{
    g_autofree char *path = make_closed("busy.readbreak");
    const RbStoreOptions hurry = { .busy_ms = 50 };
    GError *error = NULL;
    g_autoptr(RbStore) store = rb_store_open_with(path, &hurry, &error);
    rb_assert_no_error(error);
    g_autoptr(RbStore) other = rb_store_open(path, &error);
    rb_assert_no_error(error);
    begin(other, "Slow");
    ck_assert(!rb_store_begin(store, (RbPersonId){ 0 }, "Second", &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_LOCKED));
    g_clear_error(&error);
    rb_store_rollback(other);
    begin(store, "Now it works");
    rb_store_rollback(store);

    /* A program that takes the file for itself alone. */
    g_autofree char *taken = make_closed("taken.readbreak");
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(taken, &db), SQLITE_OK);
    sqlite3_exec(db,
                 "PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE;"
                 "UPDATE here SET stamp = stamp + 1; COMMIT",
                 NULL, NULL, NULL);
    ck_assert_ptr_null(rb_store_open_with(taken, &hurry, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_LOCKED));
    g_clear_error(&error);
    sqlite3_close(db);
}
END_TEST

START_TEST(test_open__creates_only_where_nothing_is)
{
    g_autofree char *path = make_closed("a.readbreak");
    g_autofree char *before = folder_state();
    GError *error = NULL;
    ck_assert_ptr_null(rb_store_create(path, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_EXISTS));
    g_clear_error(&error);
    g_autofree char *nowhere = rb_test_path("none/b.readbreak");
    ck_assert_ptr_null(rb_store_create(nowhere, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_MISSING));
    g_clear_error(&error);
    g_autofree char *after = folder_state();
    ck_assert_str_eq(before, after);
}
END_TEST

START_TEST(test_open__takes_any_name)
{
    static const char *const names[] = { "a#b?c%41.readbreak",
                                         ":memory:",
                                         "file:x",
                                         "two words.readbreak",
                                         "Z\xc3\xbcrich",
                                         "bad\xff\xfe.readbreak",
                                         "-dash" };
    for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *path = make_closed(names[i]);
        ck_assert(g_file_test(path, G_FILE_TEST_IS_REGULAR));
        GError *error = NULL;
        g_autoptr(RbStore) store = rb_store_open(path, &error);
        rb_assert_no_error(error);
        check(rb_store_check_integrity(store, &error_));
        g_autoptr(GPtrArray) games = rb_store_list_games(store, &error);
        rb_assert_no_error(error);
        ck_assert_uint_gt(games->len, 0);
    }
}
END_TEST

START_TEST(test_open__a_copied_file_numbers_as_another_laptop)
{
    g_autofree char *path = make_closed("a.readbreak");
    g_autofree char *copy = rb_test_path("copy.readbreak");
    g_autofree char *data = NULL;
    gsize size = 0;
    ck_assert(g_file_get_contents(path, &data, &size, NULL));
    ck_assert(g_file_set_contents(copy, data, (gssize)size, NULL));
    int64_t laptops[3] = { 0 };
    const char *const opened[] = { path, copy, copy };
    for (int i = 0; i < 3; i++) {
        GError *error = NULL;
        g_autoptr(RbStore) store = rb_store_open(opened[i], &error);
        rb_assert_no_error(error);
        laptops[i] = store->laptop;
        ck_assert_int_gt(laptops[i], 0);
        /* What was done before can still be undone. */
        check(rb_store_undo(store, (RbPersonId){ 7 }, NULL, NULL, &error_));
    }
    ck_assert_int_ne(laptops[0], laptops[1]);
    ck_assert_int_eq(laptops[1], laptops[2]);
}
END_TEST

START_TEST(test_open__follows_links)
{
    g_autofree char *folder = rb_test_path("shelf");
    ck_assert_int_eq(g_mkdir(folder, 0700), 0);
    g_autofree char *path = make_closed("shelf/real.readbreak");
    g_autofree char *name = rb_test_path("name.readbreak");
    ck_assert_int_eq(symlink(path, name), 0);
    GError *error = NULL;
    g_autoptr(RbStore) store = rb_store_open(name, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(rb_store_get_path(store), path);
    /* Its backups lie beside the file, and are found under either name. */
    g_autofree char *backup = NULL;
    check(rb_store_backup(store, &backup, &error_));
    ck_assert(g_str_has_prefix(backup, folder));
    g_autoptr(GPtrArray) backups = rb_backup_list(name, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(backups->len, 1);
}
END_TEST

START_TEST(test_open__notices_that_the_file_is_gone)
{
    g_autofree char *path = make_closed("a.readbreak");
    g_autofree char *elsewhere = rb_test_path("b.readbreak");
    GError *error = NULL;
    g_autoptr(RbStore) store = rb_store_open(path, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(g_rename(path, elsewhere), 0);
    ck_assert(!rb_store_begin(store, (RbPersonId){ 0 }, "Lost", &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_MISSING));
    g_clear_error(&error);
    /* Nothing is lost: a backup of what is open can still be made. */
    g_autofree char *wanted = rb_store_content_hash(store, &error);
    g_autofree char *backup = NULL;
    check(rb_store_backup(store, &backup, &error_));
    g_autoptr(RbStore) saved = rb_store_open_read_only(backup, &error);
    rb_assert_no_error(error);
    g_autofree char *have = rb_store_content_hash(saved, &error);
    ck_assert_str_eq(wanted, have);
}
END_TEST

START_TEST(test_open__knows_network_drives)
{
    /* statfs(2), Linux manual pages; not for ext4, btrfs, xfs, tmpfs, vfat, FUSE. */
    ck_assert_str_eq(rb_place_network_name(0x6969), "NFS");
    ck_assert_str_eq(rb_place_network_name(0xff534d42), "SMB");
    ck_assert_str_eq(rb_place_network_name(0xffffffffff534d42), "SMB");
    static const uint64_t local[] = { 0xef53,     0x9123683e, 0x58465342,
                                      0x01021994, 0x4d44,     0x65735546 };
    for (size_t i = 0; i < G_N_ELEMENTS(local); i++) {
        ck_assert_ptr_null(rb_place_network_name(local[i]));
    }
}
END_TEST

TCase *rb_case_open(void)
{
    TCase *tcase = rb_case_new("open");
    tcase_add_test(tcase, test_open__refuses_what_is_no_library);
    tcase_add_test(tcase, test_open__refuses_a_newer_library);
    tcase_add_test(tcase, test_open__refuses_a_newer_library_whose_number_is_in_the_log);
    tcase_add_test(tcase, test_open__refuses_a_damaged_library);
    tcase_add_test(tcase, test_open__finds_damage_on_request);
    tcase_add_test(tcase, test_open__says_that_permission_lacks);
    tcase_add_test(tcase, test_open__reads_what_it_may_not_write);
    tcase_add_test(tcase, test_open__waits_then_says_that_it_is_locked);
    tcase_add_test(tcase, test_open__creates_only_where_nothing_is);
    tcase_add_test(tcase, test_open__takes_any_name);
    tcase_add_test(tcase, test_open__a_copied_file_numbers_as_another_laptop);
    tcase_add_test(tcase, test_open__follows_links);
    tcase_add_test(tcase, test_open__notices_that_the_file_is_gone);
    tcase_add_test(tcase, test_open__knows_network_drives);
    return tcase;
}
