/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/store/exchange.h"
#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/store/store.h"
#include "rb/work/demo.h"
#include "rb/work/exchange.h"

#include "library-private.h"
#include "library-sample.h"
#include "suite.h"

TCase *rb_case_exchange(void);

/* Two laptops of one staff and the folder between them; the first holds a season. */
typedef struct {
    RbLibrary *first;  /* owned */
    RbLibrary *second; /* owned */
    char *folder;      /* owned */
    RbSnapId snap;     /* one of it */
} Staff;

static void start(Staff *staff)
{
    const RbDemoOptions options = { .seed = rb_test_seed(871), .film_snaps = 0 };
    GError *error = NULL;
    g_autofree char *season = rb_test_path("first.readbreak");
    g_autofree char *path = rb_test_path("second.readbreak");
    staff->folder = rb_test_path("shared");
    ck_assert_int_eq(g_mkdir(staff->folder, 0700), 0);
    ck_assert(rb_demo_make(season, &options, NULL, NULL, &error));
    staff->first = rb_library_open(season, "Coach", &error);
    rb_assert_no_error(error);
    g_autoptr(RbNames) names = rb_library_load_names(staff->first, &error);
    const RbGame *game = g_ptr_array_index(rb_names_games(names), 0);
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(staff->first, game->id, &error);
    rb_assert_no_error(error);
    staff->snap = ((const RbSnap *)g_ptr_array_index(snaps, 0))->id;
    staff->second = rb_library_create(path, "Lee Park", &error);
    rb_assert_no_error(error);
}

/* The same with one snap in place of a season: quick. */
static void start_small(Staff *staff)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("first.readbreak");
    g_autofree char *second = rb_test_path("second.readbreak");
    staff->folder = rb_test_path("shared");
    ck_assert_int_eq(g_mkdir(staff->folder, 0700), 0);
    staff->first = rb_library_create(path, "Coach", &error);
    staff->second = rb_library_create(second, "Lee Park", &error);
    rb_assert_no_error(error);
    g_autoptr(RbGame) game = rb_game_new((RbGameId){ 1 }, "Week 1");
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 2 }, game->id, 1);
    RbStore *store = rb_library_store(staff->first);
    ck_assert(rb_library_begin(staff->first, "A game", &error));
    ck_assert(rb_store_save_game(store, game, &error));
    ck_assert(rb_store_save_snap(store, snap, &error));
    ck_assert(rb_library_commit(staff->first, true, &error));
    staff->snap = snap->id;
}

static void stop(Staff *staff)
{
    rb_library_close(staff->first);
    rb_library_close(staff->second);
    g_free(staff->folder);
}

static RbExchangeSent send_work(Staff *staff, RbLibrary *library)
{
    GError *error = NULL;
    RbExchangeSent sent = { 0 };
    ck_assert(rb_exchange_send(library, staff->folder, &sent, NULL, NULL, &error));
    rb_assert_no_error(error);
    return sent;
}

static RbExchangeReceived *receive(Staff *staff, RbLibrary *library)
{
    GError *error = NULL;
    RbExchangeReceived *received =
        rb_exchange_receive(library, staff->folder, NULL, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(received);
    return received;
}

static char *hash_of(const RbLibrary *library)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = rb_store_open(rb_library_get_path(library), &error);
    rb_assert_no_error(error);
    char *hash = rb_store_content_hash(store, &error);
    rb_assert_no_error(error);
    return hash;
}

/* Once each has sent and taken, both hold the same. */
static void assert_alike(Staff *staff)
{
    send_work(staff, staff->first);
    send_work(staff, staff->second);
    rb_exchange_received_free(receive(staff, staff->first));
    rb_exchange_received_free(receive(staff, staff->second));
    g_autofree char *a = hash_of(staff->first);
    g_autofree char *b = hash_of(staff->second);
    ck_assert_str_eq(a, b);
}

/* The only file of the folder that is not `known`. Returns: (transfer full). */
static char *other_file(const Staff *staff, const char *known)
{
    g_autoptr(GDir) dir = g_dir_open(staff->folder, 0, NULL);
    ck_assert_ptr_nonnull(dir);
    char *found = NULL;
    for (const char *name; (name = g_dir_read_name(dir)) != NULL;) {
        if (known == NULL || strcmp(name, known) != 0) {
            ck_assert_ptr_null(found);
            found = g_build_filename(staff->folder, name, NULL);
        }
    }
    ck_assert_ptr_nonnull(found);
    return found;
}

START_TEST(test_exchange__what_was_sent_is_taken_once)
{
    Staff staff;
    start(&staff);
    const RbExchangeSent sent = send_work(&staff, staff.first);
    ck_assert_int_gt(sent.actions, 0);
    rb_library_has_changed(staff.second);
    g_autoptr(RbExchangeReceived) received = receive(&staff, staff.second);
    ck_assert_int_eq(received->actions, sent.actions);
    ck_assert_int_ge(received->fields, received->actions);
    ck_assert_int_eq(received->waiting + received->refused, 0);
    ck_assert_int_eq(received->lines->len, sent.files);
    const RbExchangeLine *line = g_ptr_array_index(received->lines, 0);
    ck_assert_int_eq(line->fate, RB_EXCHANGE_TAKEN);
    ck_assert_str_ne(line->who, "");
    ck_assert(rb_library_has_changed(staff.second));
    assert_alike(&staff);
    g_autoptr(RbExchangeReceived) again = receive(&staff, staff.second);
    ck_assert_int_eq(again->actions, 0);
    ck_assert_int_eq(again->lines->len, 0);
    stop(&staff);
}
END_TEST

/* Both give one fact another value unseen: both are kept, and a person settles it for both. */
START_TEST(test_exchange__a_dispute_is_settled_for_all)
{
    Staff staff;
    GError *error = NULL;
    start(&staff);
    send_work(&staff, staff.first);
    rb_exchange_received_free(receive(&staff, staff.second));
    sample_tag(staff.first, staff.snap, "down", "3");
    sample_tag(staff.second, staff.snap, "down", "4");
    send_work(&staff, staff.first);
    send_work(&staff, staff.second);
    rb_exchange_received_free(receive(&staff, staff.first));
    rb_exchange_received_free(receive(&staff, staff.second));
    assert_alike(&staff);
    g_autoptr(GPtrArray) disputes = rb_exchange_load_disputes(staff.first, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(disputes->len, 1);
    const RbDispute *dispute = g_ptr_array_index(disputes, 0);
    ck_assert_int_eq(dispute->snap.value, staff.snap.value);
    ck_assert_uint_eq(dispute->values->len, 2);
    ck_assert(rb_exchange_settle(staff.first, dispute, 1, &error));
    rb_assert_no_error(error);
    send_work(&staff, staff.first);
    rb_exchange_received_free(receive(&staff, staff.second));
    assert_alike(&staff);
    g_autoptr(GPtrArray) left = rb_exchange_load_disputes(staff.second, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(left->len, 0);
    stop(&staff);
}
END_TEST

/* Work that builds on a file that has not come is kept waiting, and taken when it has. */
START_TEST(test_exchange__waits_for_what_it_builds_on)
{
    Staff staff;
    start(&staff);
    send_work(&staff, staff.first);
    g_autofree char *early = other_file(&staff, NULL);
    g_autofree char *early_name = g_path_get_basename(early);
    rb_exchange_received_free(receive(&staff, staff.second));
    sample_tag(staff.second, staff.snap, "down", "4");
    send_work(&staff, staff.second);
    g_autofree char *away = rb_test_path("away");
    ck_assert_int_eq(g_rename(early, away), 0);
    GError *error = NULL;
    g_autofree char *path = rb_test_path("third.readbreak");
    RbLibrary *third = rb_library_create(path, "Ann Diaz", &error);
    rb_assert_no_error(error);
    g_autoptr(RbExchangeReceived) first = receive(&staff, third);
    ck_assert_int_eq(first->actions, 0);
    ck_assert_int_eq(first->waiting, 1);
    const RbExchangeLine *line = g_ptr_array_index(first->lines, 0);
    ck_assert_int_eq(line->fate, RB_EXCHANGE_WAITS);
    ck_assert_ptr_nonnull(line->sentence);
    ck_assert_int_eq(g_rename(away, early), 0);
    g_autoptr(RbExchangeReceived) then = receive(&staff, third);
    ck_assert_int_gt(then->actions, 0);
    ck_assert_int_eq(then->waiting, 0);
    rb_library_close(third);
    stop(&staff);
}
END_TEST

/* One byte changed anywhere, here in the middle: refused with a sentence, nothing of it taken. */
START_TEST(test_exchange__a_damaged_file_is_refused_whole)
{
    Staff staff;
    start(&staff);
    send_work(&staff, staff.first);
    g_autofree char *path = other_file(&staff, NULL);
    g_autofree char *bytes = NULL;
    gsize size = 0;
    ck_assert(g_file_get_contents(path, &bytes, &size, NULL));
    bytes[size / 2] ^= 4;
    ck_assert(g_file_set_contents(path, bytes, (gssize)size, NULL));
    g_autofree char *before = hash_of(staff.second);
    g_autoptr(RbExchangeReceived) received = receive(&staff, staff.second);
    ck_assert_int_eq(received->refused, 1);
    ck_assert_int_eq(received->actions, 0);
    const RbExchangeLine *line = g_ptr_array_index(received->lines, 0);
    ck_assert_int_eq(line->fate, RB_EXCHANGE_REFUSED);
    ck_assert_ptr_nonnull(line->sentence);
    g_autofree char *after = hash_of(staff.second);
    ck_assert_str_eq(before, after);
    bytes[size / 2] ^= 4;
    ck_assert(g_file_set_contents(path, bytes, (gssize)size, NULL));
    g_autoptr(RbExchangeReceived) mended = receive(&staff, staff.second);
    ck_assert_int_gt(mended->actions, 0);
    assert_alike(&staff);
    stop(&staff);
}
END_TEST

START_TEST(test_exchange__cancelled_or_without_a_folder_takes_nothing)
{
    Staff staff;
    start(&staff);
    send_work(&staff, staff.first);
    g_autofree char *before = hash_of(staff.second);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    g_autoptr(GError) stopped = NULL;
    rb_cancel_cancel(cancel);
    ck_assert_ptr_null(
        rb_exchange_receive(staff.second, staff.folder, cancel, NULL, &stopped));
    ck_assert_ptr_nonnull(stopped);
    g_autofree char *nowhere = rb_test_path("nowhere");
    g_autoptr(GError) missing = NULL;
    ck_assert_ptr_null(rb_exchange_receive(staff.second, nowhere, NULL, NULL, &missing));
    ck_assert_ptr_nonnull(strstr(missing->message, nowhere));
    g_autofree char *after = hash_of(staff.second);
    ck_assert_str_eq(before, after);
    stop(&staff);
}
END_TEST

static void stop_at_half(double fraction, const char *what, void *data)
{
    (void)what;
    if (fraction >= 0.5) {
        rb_cancel_cancel(data);
    }
}

/* Of two files the first is taken when a person stops: what is on the screen is old then. */
START_TEST(test_exchange__stopped_on_the_way_tells_what_it_took)
{
    Staff staff;
    start_small(&staff);
    send_work(&staff, staff.first);
    sample_tag(staff.first, staff.snap, "down", "3");
    send_work(&staff, staff.first);
    rb_library_has_changed(staff.second);
    g_autofree char *before = hash_of(staff.second);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    g_autoptr(RbProgress) progress = rb_progress_new(stop_at_half, cancel);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(
        rb_exchange_receive(staff.second, staff.folder, cancel, progress, &error));
    ck_assert(rb_error_is_cancelled(error));
    g_autofree char *after = hash_of(staff.second);
    ck_assert_str_ne(before, after);
    ck_assert(rb_library_has_changed(staff.second));
    g_autoptr(RbNames) names = rb_library_load_names(staff.second, NULL);
    ck_assert_uint_gt(rb_names_games(names)->len, 0);
    assert_alike(&staff);
    stop(&staff);
}
END_TEST

static const RbExchangeLine *line_for(const RbExchangeReceived *received,
                                      const char *path)
{
    for (guint i = 0; i < received->lines->len; i++) {
        const RbExchangeLine *line = received->lines->pdata[i];
        if (g_str_has_suffix(path, line->file)) {
            return line;
        }
    }
    ck_abort_msg("%s is not told of", path);
    return NULL;
}

/* What other programs leave in a shared folder under such a name: a link that leads elsewhere, a
 * folder, half a terabyte of nothing. Each is named, and the work beside it is taken. */
START_TEST(test_exchange__odd_files_keep_nobody_from_the_others)
{
    Staff staff;
    start_small(&staff);
    send_work(&staff, staff.first);
    g_autoptr(GDir) dir = g_dir_open(staff.folder, 0, NULL);
    g_autofree char *good = g_build_filename(staff.folder, g_dir_read_name(dir), NULL);
    const RbParcelRange odd[] = {
        { 11, 1, 2 }, { 12, 1, 2 }, { 13, 1, 2 }, { 14, 1, 2 }
    };
    char *paths[G_N_ELEMENTS(odd)];
    for (size_t i = 0; i < G_N_ELEMENTS(odd); i++) {
        g_autofree char *name = rb_parcel_file_name(&odd[i]);
        paths[i] = g_build_filename(staff.folder, name, NULL);
    }
    ck_assert_int_eq(symlink(good, paths[0]), 0);
    ck_assert_int_eq(g_mkdir(paths[1], 0700), 0);
    ck_assert(g_file_set_contents(paths[2], "", 0, NULL));
    ck_assert_int_eq(truncate(paths[2], (off_t)1 << 39), 0);
    g_autofree char *bytes = NULL;
    gsize size = 0;
    ck_assert(g_file_get_contents(good, &bytes, &size, NULL));
    ck_assert(g_file_set_contents(paths[3], bytes, (gssize)size, NULL));
    g_autoptr(RbExchangeReceived) received = receive(&staff, staff.second);
    static const char *const why[] = { "not a plain file", "not a plain file",
                                       "too large", "renamed" };
    ck_assert_int_eq(received->refused, G_N_ELEMENTS(odd));
    for (size_t i = 0; i < G_N_ELEMENTS(odd); i++) {
        const RbExchangeLine *line = line_for(received, paths[i]);
        ck_assert_int_eq(line->fate, RB_EXCHANGE_REFUSED);
        ck_assert_ptr_nonnull(strstr(line->sentence, line->file));
        ck_assert_msg(strstr(line->sentence, why[i]) != NULL, "%s", line->sentence);
        g_free(paths[i]);
    }
    ck_assert_int_gt(received->actions, 0);
    stop(&staff);
}
END_TEST

/* The stick is full: said, no half file is left, and sent again it is whole. */
START_TEST(test_exchange__a_full_folder_loses_nothing)
{
    Staff staff;
    start_small(&staff);
    GError *error = NULL;
    RbExchangeSent sent = { 0 };
    struct rlimit limit;
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &limit), 0);
    signal(SIGXFSZ, SIG_IGN);
    const struct rlimit little = { 64, limit.rlim_max };
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &little), 0);
    const bool done =
        rb_exchange_send(staff.first, staff.folder, &sent, NULL, NULL, &error);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
    ck_assert(!done);
    ck_assert_ptr_nonnull(strstr(error->message, "send again"));
    g_clear_error(&error);
    g_autoptr(GDir) dir = g_dir_open(staff.folder, 0, NULL);
    ck_assert_ptr_null(g_dir_read_name(dir));
    assert_alike(&staff);
    stop(&staff);
}
END_TEST

/* Puts a file's earlier content back in its place, as a person who copies a backup over it does. */
static void put_back(const char *path, const char *bytes, gsize size)
{
    FILE *file = g_fopen(path, "wb");
    ck_assert_uint_eq(fwrite(bytes, 1, size, file), size);
    ck_assert_int_eq(fclose(file), 0);
}

static RbLibrary *open_as_coach(const char *path)
{
    GError *error = NULL;
    RbLibrary *library = rb_library_open(path, "Coach", &error);
    rb_assert_no_error(error);
    return library;
}

/* Its next work would bear the numbers of work that the others have: refused, what they have stays,
 * and the way out that is told is one. */
START_TEST(test_exchange__a_library_set_back_sends_nothing_over_its_later_work)
{
    Staff staff;
    start_small(&staff);
    g_autofree char *path = g_strdup(rb_library_get_path(staff.first));
    send_work(&staff, staff.first);
    rb_library_close(staff.first);
    g_autofree char *bytes = NULL;
    gsize size = 0;
    ck_assert(g_file_get_contents(path, &bytes, &size, NULL));
    staff.first = open_as_coach(path);
    sample_tag(staff.first, staff.snap, "down", "3");
    send_work(&staff, staff.first);
    rb_library_close(staff.first);
    put_back(path, bytes, size);
    staff.first = open_as_coach(path);
    GError *error = NULL;
    RbExchangeSent sent = { 0 };
    ck_assert(!rb_exchange_send(staff.first, staff.folder, &sent, NULL, NULL, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "was set back"));
    g_clear_error(&error);
    rb_library_close(staff.first);
    g_autofree char *copy = rb_test_path("copy.readbreak");
    ck_assert(g_file_set_contents(copy, bytes, (gssize)size, NULL));
    staff.first = open_as_coach(copy);
    rb_exchange_received_free(receive(&staff, staff.first));
    g_autoptr(RbSnap) snap = rb_library_load_snap(staff.first, staff.snap, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(snap->situation.down, 3);
    sample_tag(staff.first, staff.snap, "down", "2");
    assert_alike(&staff);
    stop(&staff);
}
END_TEST

TCase *rb_case_exchange(void)
{
    TCase *tcase = rb_case_new("exchange");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, test_exchange__what_was_sent_is_taken_once);
    tcase_add_test(tcase, test_exchange__a_dispute_is_settled_for_all);
    tcase_add_test(tcase, test_exchange__waits_for_what_it_builds_on);
    tcase_add_test(tcase, test_exchange__a_damaged_file_is_refused_whole);
    tcase_add_test(tcase, test_exchange__cancelled_or_without_a_folder_takes_nothing);
    tcase_add_test(tcase, test_exchange__stopped_on_the_way_tells_what_it_took);
    tcase_add_test(tcase, test_exchange__odd_files_keep_nobody_from_the_others);
    tcase_add_test(tcase, test_exchange__a_full_folder_loses_nothing);
    tcase_add_test(tcase,
                   test_exchange__a_library_set_back_sends_nothing_over_its_later_work);
    return tcase;
}
