/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>

#include "rb/store/store.h"
#include "rb/work/demo.h"
#include "rb/work/exchange.h"

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

TCase *rb_case_exchange(void)
{
    TCase *tcase = rb_case_new("exchange");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, test_exchange__what_was_sent_is_taken_once);
    tcase_add_test(tcase, test_exchange__a_dispute_is_settled_for_all);
    tcase_add_test(tcase, test_exchange__waits_for_what_it_builds_on);
    tcase_add_test(tcase, test_exchange__a_damaged_file_is_refused_whole);
    tcase_add_test(tcase, test_exchange__cancelled_or_without_a_folder_takes_nothing);
    return tcase;
}
