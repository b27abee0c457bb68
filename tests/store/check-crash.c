/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "rb/store/history.h"
#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"
#include "power.h"
#include "store-private.h"

/* One answer of the rail: it sets two fields of a chart and one of its looks, all to the same
 * number, so that half of it would show. */
static bool tag(RbStore *store, int n, GError **error)
{
    g_autoptr(RbChart) chart =
        rb_store_find_chart(store, (RbSnapId){ 11 }, (RbPersonId){ 7 }, error);
    if (chart == NULL || !rb_store_begin(store, chart->author, "Answer", error)) {
        return false;
    }
    chart->release_ms = n;
    chart->pressure_ms = n;
    chart->looks[n % RB_READS_MAX] = (RbLook)(1 + n % 3);
    if (!rb_store_save_chart(store, chart, error)) {
        rb_store_rollback(store);
        return false;
    }
    return rb_store_commit(store, error);
}

static void prepare(RbStore *store)
{
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 11 }, (RbPersonId){ 7 });
    begin(store, "Chart");
    check(rb_store_save_chart(store, chart, &error_));
    commit(store);
}

/* The number of the last answer that is stored; -2 when an answer is there by half. */
static int stored(RbStore *store, GError **error)
{
    g_autoptr(RbChart) chart =
        rb_store_find_chart(store, (RbSnapId){ 11 }, (RbPersonId){ 7 }, error);
    if (chart == NULL) {
        return -2;
    }
    const int n = chart->release_ms;
    const bool whole = chart->pressure_ms == n &&
                       (n < 0 || chart->looks[n % RB_READS_MAX] == (RbLook)(1 + n % 3));
    return whole ? n : -2;
}

/* The child: tags from `n` on and says so after each commit, until it is killed. */
static void tag_forever(const char *path, int n, int say)
{
    GError *error = NULL;
    RbStore *store = rb_store_open(path, &error);
    while (store != NULL && tag(store, n, &error)) {
        if (write(say, &n, sizeof n) != sizeof n) {
            _exit(2);
        }
        n++;
    }
    fprintf(stderr, "child: %s\n", error != NULL ? error->message : "?");
    _exit(1);
}

/* Kills a child after a while. Returns the last answer it acknowledged, `before` if none. */
static int run_and_kill(RbRandom *random, const char *path, int before)
{
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    const pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        close(ends[0]);
        tag_forever(path, before + 1, ends[1]);
    }
    close(ends[1]);
    g_usleep((gulong)rb_random_int(random, 3000, 60000));
    ck_assert_int_eq(kill(child, SIGKILL), 0);
    int status = 0;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFSIGNALED(status)); /* it was still at work */
    int last = before;
    int n = 0;
    while (read(ends[0], &n, sizeof n) == sizeof n) {
        last = n;
    }
    close(ends[0]);
    return last;
}

START_TEST(test_crash__killed_a_hundred_times_loses_nothing)
{
    enum { KILLS = 100 };
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(20));
    g_autofree char *path = rb_test_path("a.readbreak");
    RbStore *store = make_store("a.readbreak");
    prepare(store);
    rb_store_free(store);
    int last = -1;
    for (int i = 0; i < KILLS; i++) {
        const int acknowledged = run_and_kill(&random, path, last);
        GError *error = NULL;
        store = rb_store_open(path, &error);
        rb_assert_no_error(error);
        last = stored(store, &error);
        rb_assert_no_error(error);
        /* The last one may have been stored and killed before it could say so. */
        ck_assert_msg(last == acknowledged || last == acknowledged + 1,
                      "kill %d: stored %d, acknowledged %d", i, last, acknowledged);
        check(rb_store_check_integrity(store, &error_));
        if (last > 0) {
            check(rb_store_undo(store, (RbPersonId){ 7 }, NULL, NULL, &error_));
            ck_assert_int_eq(stored(store, &error), last - 1);
            check(rb_store_redo(store, (RbPersonId){ 7 }, NULL, NULL, &error_));
            ck_assert_int_eq(stored(store, &error), last);
        }
        rb_store_free(store);
    }
    printf("%d answers in %d kills\n", last + 1, KILLS);
    ck_assert_int_gt(last, 20);
}
END_TEST

/* The power fails at some of the moments at which the disk is spoken to. */
typedef struct {
    RbRandom random;
    char *path;       /* owned */
    int acknowledged; /* the last answer whose commit returned */
    bool busy;        /* in an image's own check */
    double chance;    /* that a moment is tried */
    int tried;
    int lost;    /* an acknowledged answer was not there, or one was there by half */
    int damaged; /* could not be opened, or is not sound, or does not undo */
} Failing;

static bool is_sound(const char *image, int acknowledged, bool *lost)
{
    g_autoptr(RbStore) store = rb_store_open(image, NULL);
    if (store == NULL || !rb_store_check_integrity(store, NULL)) {
        return false;
    }
    const int n = stored(store, NULL);
    *lost = n < acknowledged || n > acknowledged + 1;
    return n < 1 || (rb_store_undo(store, (RbPersonId){ 7 }, NULL, NULL, NULL) &&
                     stored(store, NULL) == n - 1);
}

static void fail_now(void *data)
{
    Failing *failing = data;
    if (failing->busy || !rb_random_chance(&failing->random, failing->chance)) {
        return;
    }
    failing->busy = true;
    g_autofree char *image = rb_test_path("image.readbreak");
    g_autofree char *log = g_strconcat(image, "-wal", NULL);
    g_autofree char *memory = g_strconcat(image, "-shm", NULL);
    const PowerKind kind = (PowerKind)(failing->tried % POWER_KINDS);
    power_image(&failing->random, kind, failing->path, image);
    bool lost = false;
    const bool sound = is_sound(image, failing->acknowledged, &lost);
    failing->tried++;
    failing->damaged += sound ? 0 : 1;
    failing->lost += lost ? 1 : 0;
    g_unlink(image);
    g_unlink(log);
    g_unlink(memory);
    failing->busy = false;
}

/* synchronous: as the engine's setting; NULL: as the store sets it. */
static Failing run_on_failing_disk(uint64_t seed, const char *synchronous, int answers)
{
    Failing failing = { .acknowledged = -1 };
    rb_random_seed(&failing.random, seed);
    failing.path = rb_test_path("a.readbreak");
    power_install(fail_now, &failing);
    GError *error = NULL;
    RbStore *store =
        rb_store_create_with(failing.path, &(RbStoreOptions){ .vfs = "power" }, &error);
    rb_assert_no_error(error);
    prepare(store);
    /* Checkpoints, the dangerous moment, come often. */
    ck_assert_int_eq(
        sqlite3_exec(store->db, "PRAGMA wal_autocheckpoint = 30", NULL, NULL, NULL),
        SQLITE_OK);
    if (synchronous != NULL) {
        g_autofree char *sql = g_strconcat("PRAGMA synchronous = ", synchronous, NULL);
        ck_assert_int_eq(sqlite3_exec(store->db, sql, NULL, NULL, NULL), SQLITE_OK);
    }
    failing.chance = 0.1;
    for (int n = 0; n < answers; n++) {
        check(tag(store, n, &error_));
        failing.acknowledged = n;
    }
    failing.chance = 0.0;
    rb_store_free(store);
    g_free(failing.path);
    printf("%s: %d failures, %d lost, %d damaged\n",
           synchronous != NULL ? synchronous : "as set", failing.tried, failing.lost,
           failing.damaged);
    return failing;
}

START_TEST(test_crash__a_dying_laptop_loses_nothing_acknowledged)
{
    const Failing failing =
        run_on_failing_disk(rb_test_seed(21), NULL, rb_test_is_long() ? 1000 : 250);
    ck_assert_int_gt(failing.tried, 200);
    ck_assert_int_eq(failing.lost, 0);
    ck_assert_int_eq(failing.damaged, 0);
}
END_TEST

/* The model must be able to show a loss: the same run with less care loses. */
START_TEST(test_crash__the_failing_disk_does_bite)
{
    const Failing failing = run_on_failing_disk(rb_test_seed(22), "NORMAL", 60);
    ck_assert_int_gt(failing.tried, 20);
    ck_assert_int_gt(failing.lost, failing.tried / 5);
}
END_TEST

/* Two stores of one library, in two processes, each adding to its own field. */
START_TEST(test_crash__two_writers_at_once_lose_nothing)
{
    enum { ANSWERS = 100, WRITERS = 2 };
    g_autofree char *path = rb_test_path("a.readbreak");
    rb_store_free(make_store("a.readbreak"));
    pid_t children[WRITERS];
    for (int i = 0; i < WRITERS; i++) {
        children[i] = fork();
        ck_assert_int_ge(children[i], 0);
        if (children[i] != 0) {
            continue;
        }
        GError *error = NULL;
        RbStore *store = rb_store_open(path, &error);
        bool ok = store != NULL;
        for (int n = 0; ok && n < ANSWERS; n++) {
            g_autofree char *name = g_strdup_printf("%d-%d", i, n);
            ok = rb_store_begin(store, (RbPersonId){ i + 1 }, name, &error) &&
                 rb_store_set_setting(store, name, "x", &error) &&
                 rb_store_commit(store, &error);
        }
        rb_store_free(store);
        _exit(ok ? 0 : 1);
    }
    for (int i = 0; i < WRITERS; i++) {
        int status = 0;
        ck_assert_int_eq(waitpid(children[i], &status, 0), children[i]);
        ck_assert(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    }
    GError *error = NULL;
    g_autoptr(RbStore) store = rb_store_open(path, &error);
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) list = rb_store_list_history(store, INT64_MAX, 1000, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(list->len, WRITERS * ANSWERS);
    for (guint i = 0; i < list->len; i++) {
        const RbHistoryEntry *entry = list->pdata[i];
        ck_assert_int_eq(entry->id.number, (int64_t)(list->len - i));
        g_autofree char *value = rb_store_get_setting(store, entry->words, &error);
        rb_assert_no_error(error);
        ck_assert_pstr_eq(value, "x");
    }
    check(rb_store_check_integrity(store, &error_));
}
END_TEST

START_TEST(test_crash__another_store_is_noticed)
{
    g_autofree char *path = rb_test_path("a.readbreak");
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    g_autoptr(RbStore) other = rb_store_open(path, &error);
    rb_assert_no_error(error);
    const int64_t before = rb_store_data_version(store, &error);
    begin(store, "Own");
    check(rb_store_set_setting(store, "a", "1", &error_));
    commit(store);
    ck_assert_int_eq(rb_store_data_version(store, &error), before);
    begin(other, "Another's");
    check(rb_store_set_setting(other, "a", "2", &error_));
    commit(other);
    ck_assert_int_ne(rb_store_data_version(store, &error), before);
    rb_assert_no_error(error);
    g_autofree char *value = rb_store_get_setting(store, "a", &error);
    ck_assert_str_eq(value, "2");
}
END_TEST

/* The engine's page limit stands in for the end of the disk. */
START_TEST(test_crash__a_full_disk_changes_nothing_and_says_so)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    prepare(store);
    check(tag(store, 0, &error_));
    GError *error = NULL;
    g_autofree char *before = rb_store_content_hash(store, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(
        sqlite3_exec(store->db, "PRAGMA max_page_count = 1", NULL, NULL, NULL),
        SQLITE_OK); /* no less than what is there already */
    g_autofree char *long_text = g_strnfill(100000, 'x');
    begin(store, "Too much");
    bool ok = true;
    for (int i = 0; ok && i < 20; i++) {
        g_autofree char *name = g_strdup_printf("%d", i);
        ok = rb_store_set_setting(store, name, long_text, &error);
    }
    ck_assert(!ok);
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_FULL));
    g_clear_error(&error);
    rb_store_rollback(store);
    ck_assert(!rb_store_is_in_action(store));
    g_autofree char *after = rb_store_content_hash(store, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(before, after);
    sqlite3_exec(store->db, "PRAGMA max_page_count = 100000", NULL, NULL, NULL);
    check(tag(store, 1, &error_));
}
END_TEST

TCase *rb_case_crash(void)
{
    TCase *tcase = rb_case_new("crash");
    tcase_set_timeout(tcase, 240);
    tcase_add_test(tcase, test_crash__killed_a_hundred_times_loses_nothing);
    tcase_add_test(tcase, test_crash__a_dying_laptop_loses_nothing_acknowledged);
    tcase_add_test(tcase, test_crash__the_failing_disk_does_bite);
    tcase_add_test(tcase, test_crash__two_writers_at_once_lose_nothing);
    tcase_add_test(tcase, test_crash__another_store_is_noticed);
    tcase_add_test(tcase, test_crash__a_full_disk_changes_nothing_and_says_so);
    return tcase;
}
