/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>

#include "rb/store/backup.h"
#include "rb/store/history.h"

#include "cases.h"
#include "make.h"

static void one_action(RbStore *store, int n)
{
    g_autofree char *value = g_strdup_printf("%d", n);
    begin(store, "Setting");
    check(rb_store_set_setting(store, "n", value, &error_));
    commit(store);
}

static GPtrArray *list(RbStore *store)
{
    GError *error = NULL;
    GPtrArray *paths = rb_backup_list(rb_store_get_path(store), &error);
    rb_assert_no_error(error);
    return paths;
}

static char *hash_at(const char *path)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = rb_store_open_read_only(path, &error);
    rb_assert_no_error(error);
    char *hash = rb_store_content_hash(store, &error);
    rb_assert_no_error(error);
    return hash;
}

START_TEST(test_backup__is_whole_while_the_library_is_in_use)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(11));
    g_autoptr(RbStore) store = make_store("a b.readbreak");
    for (int i = 0; i < 30; i++) {
        random_action(&random, store);
    }
    g_autofree char *path = NULL;
    check(rb_store_backup(store, &path, &error_));
    GError *error = NULL;
    g_autofree char *before = rb_store_content_hash(store, &error);
    rb_assert_no_error(error);
    one_action(store, 1); /* after the backup, so not in it */
    g_autofree char *copied = hash_at(path);
    ck_assert_str_eq(before, copied);
    g_autofree char *log = g_strconcat(path, "-wal", NULL);
    ck_assert(!g_file_test(log, G_FILE_TEST_EXISTS));
    g_autoptr(GPtrArray) paths = list(store);
    ck_assert_uint_eq(paths->len, 1);
    ck_assert_str_eq(paths->pdata[0], path);
    g_autofree char *folder = rb_test_path("a b backups");
    ck_assert(g_str_has_prefix(path, folder));
}
END_TEST

START_TEST(test_backup__the_last_ten_are_kept)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autofree char *newest = NULL;
    for (int i = 0; i < 13; i++) {
        one_action(store, i);
        g_clear_pointer(&newest, g_free);
        check(rb_store_backup(store, &newest, &error_));
    }
    /* Other files in the folder are nobody's business. */
    g_autofree char *stranger = rb_test_path("a backups/notes 2026.txt");
    ck_assert(g_file_set_contents(stranger, "x", 1, NULL));
    one_action(store, 99);
    check(rb_store_backup(store, NULL, &error_));
    g_autoptr(GPtrArray) paths = list(store);
    ck_assert_uint_eq(paths->len, 10);
    ck_assert_str_eq(paths->pdata[1], newest);
    ck_assert(g_file_test(stranger, G_FILE_TEST_EXISTS));
}
END_TEST

/* Dates a backup as made on another day, as its name says. */
static void make_older(const char *path, const char *date)
{
    g_autofree char *older = g_strdup(path);
    char *at = strstr(older, "/a 20");
    ck_assert_ptr_nonnull(at);
    memcpy(at + 3, date, strlen(date));
    ck_assert_int_eq(g_rename(path, older), 0);
}

START_TEST(test_backup__one_a_day_when_something_changed)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    one_action(store, 1);
    bool made = false;
    check(rb_store_backup_if_due(store, &made, &error_));
    ck_assert(made);
    one_action(store, 2);
    check(rb_store_backup_if_due(store, &made, &error_));
    ck_assert(!made); /* the same day */
    g_autoptr(GPtrArray) first = list(store);
    make_older(first->pdata[0], "2020-01-01");
    check(rb_store_backup_if_due(store, &made, &error_));
    ck_assert(made); /* another day, and something changed */
    g_autoptr(GPtrArray) second = list(store);
    ck_assert_uint_eq(second->len, 2);
    make_older(second->pdata[0], "2020-01-02");
    check(rb_store_backup_if_due(store, &made, &error_));
    ck_assert(!made); /* another day, but nothing changed */
}
END_TEST

START_TEST(test_backup__restores_under_a_new_name_only)
{
    RbStore *store = make_store("a.readbreak");
    one_action(store, 1);
    one_action(store, 2);
    g_autofree char *backup = NULL;
    check(rb_store_backup(store, &backup, &error_));
    g_autofree char *wanted = hash_at(backup);
    one_action(store, 3);
    g_autofree char *path = g_strdup(rb_store_get_path(store));
    rb_store_free(store);

    GError *error = NULL;
    g_autofree char *before = hash_at(path);
    ck_assert(!rb_backup_restore(backup, path, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_EXISTS));
    g_clear_error(&error);
    g_autofree char *after = hash_at(path);
    ck_assert_str_eq(before, after);

    /* A log left by an earlier file of the target's name must not get into it. */
    g_autofree char *target = rb_test_path("restored.readbreak");
    g_autofree char *stale = g_strconcat(target, "-wal", NULL);
    ck_assert(g_file_set_contents(stale, "an old log", -1, NULL));
    check(rb_backup_restore(backup, target, &error_));
    ck_assert(!g_file_test(stale, G_FILE_TEST_EXISTS));
    g_autofree char *restored = hash_at(target);
    ck_assert_str_eq(wanted, restored);
    /* It is a library like any other: its history undoes, and it is backed up apart. */
    g_autoptr(RbStore) again = rb_store_open(target, &error);
    rb_assert_no_error(error);
    check(rb_store_undo(again, (RbPersonId){ 7 }, NULL, NULL, &error_));
    g_autofree char *value = rb_store_get_setting(again, "n", &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(value, "1");
}
END_TEST

START_TEST(test_backup__restore_refuses_what_is_no_library)
{
    g_autofree char *text = rb_test_path("letter.readbreak");
    ck_assert(g_file_set_contents(text, "Dear coach,", -1, NULL));
    g_autofree char *target = rb_test_path("restored.readbreak");
    GError *error = NULL;
    ck_assert(!rb_backup_restore(text, target, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NOT_LIBRARY));
    g_clear_error(&error);
    ck_assert(!g_file_test(target, G_FILE_TEST_EXISTS));
}
END_TEST

/* setrlimit(2): past that byte of a file nothing is written. */
static void limit_files(rlim_t bytes)
{
    struct rlimit limit;
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &limit), 0);
    limit.rlim_cur = MIN(bytes, limit.rlim_max);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
}

static int count_files(const char *folder)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    int n = 0;
    while (dir != NULL && g_dir_read_name(dir) != NULL) {
        n++;
    }
    return n;
}

/* Ten are kept, but one that could not be written takes the place of none, and leaves nothing. */
START_TEST(test_backup__without_room_the_earlier_ones_stay)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    for (int i = 0; i < 10; i++) {
        one_action(store, i);
        check(rb_store_backup(store, NULL, &error_));
    }
    one_action(store, 99);
    g_autoptr(GPtrArray) before = list(store);
    g_autofree char *folder = g_path_get_dirname(before->pdata[0]);
    GError *error = NULL;
    g_autofree char *hash = rb_store_content_hash(store, &error);
    signal(SIGXFSZ, SIG_IGN);
    for (rlim_t room = 0; room <= 64 * 1024; room += 16 * 1024) {
        g_autofree char *path = NULL;
        limit_files(room);
        const bool made = rb_store_backup(store, &path, &error);
        limit_files(RLIM_INFINITY);
        ck_assert(!made && error != NULL && path == NULL);
        g_clear_error(&error);
        ck_assert_int_eq(count_files(folder), 10);
    }
    g_autoptr(GPtrArray) after = list(store);
    ck_assert_uint_eq(after->len, 10);
    for (guint i = 0; i < 10; i++) {
        ck_assert_str_eq(after->pdata[i], before->pdata[i]);
    }
    g_autofree char *newest = NULL;
    check(rb_store_backup(store, &newest, &error_));
    g_autofree char *copied = hash_at(newest);
    ck_assert_str_eq(copied, hash);
}
END_TEST

/* Nor does a restore that could not be finished leave half a library under the new name. */
START_TEST(test_backup__without_room_nothing_is_restored)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    one_action(store, 1);
    g_autofree char *path = NULL;
    check(rb_store_backup(store, &path, &error_));
    g_autofree char *target = rb_test_path("restored.readbreak");
    const int files = count_files(rb_test_folder());
    GError *error = NULL;
    signal(SIGXFSZ, SIG_IGN);
    limit_files(32 * 1024);
    const bool restored = rb_backup_restore(path, target, &error);
    limit_files(RLIM_INFINITY);
    ck_assert(!restored && error != NULL);
    g_clear_error(&error);
    ck_assert_int_eq(count_files(rb_test_folder()), files);
    check(rb_backup_restore(path, target, &error_));
}
END_TEST

TCase *rb_case_backup(void)
{
    TCase *tcase = rb_case_new("backup");
    tcase_add_test(tcase, test_backup__is_whole_while_the_library_is_in_use);
    tcase_add_test(tcase, test_backup__the_last_ten_are_kept);
    tcase_add_test(tcase, test_backup__one_a_day_when_something_changed);
    tcase_add_test(tcase, test_backup__restores_under_a_new_name_only);
    tcase_add_test(tcase, test_backup__restore_refuses_what_is_no_library);
    tcase_add_test(tcase, test_backup__without_room_the_earlier_ones_stay);
    tcase_add_test(tcase, test_backup__without_room_nothing_is_restored);
    return tcase;
}
