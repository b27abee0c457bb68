/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>
#include <utime.h>

#include "rb/base/random.h"

#include "index-cache.h"
#include "index.h"
#include "protocol.h"
#include "suite.h"

TCase *rb_case_index(void);

/* n frames at 30 a second in 90 kHz ticks, a key every ten; packets stored I P B B. */
static RbIndex *plain_index(int64_t n)
{
    RbIndex *index = rb_index_new(n, n);
    index->base = (RbRational){ 1, 90000 };
    index->rate = (RbRational){ 30, 1 };
    for (int64_t i = 0; i < n; i++) {
        index->packets[i] = (RbIndexPacket){ .pts = i * 3000,
                                             .dts = i * 3000 - 6000,
                                             .pos = 100 + i * 50,
                                             .size = 50,
                                             .flags = i % 10 == 0 ? RB_PACKET_KEY : 0 };
        index->frames[i] = (RbIndexFrame){ .pts = i * 3000, .packet = (uint32_t)i };
    }
    rb_index_set_times(index);
    return index;
}

START_TEST(test_index__bytes_round_trip)
{
    g_autoptr(RbIndex) index = plain_index(35);
    g_autoptr(GByteArray) bytes = rb_index_to_bytes(index);
    g_autoptr(RbIndex) back = rb_index_from_bytes(bytes->data, bytes->len);
    ck_assert_ptr_nonnull(back);
    ck_assert_int_eq(back->n_packets, 35);
    ck_assert_int_eq(back->n_frames, 35);
    ck_assert_mem_eq(back->packets, index->packets, 35 * sizeof *index->packets);
    ck_assert_mem_eq(back->frames, index->frames, 35 * sizeof *index->frames);
    ck_assert_mem_eq(back->us, index->us, 35 * sizeof *index->us);
    ck_assert_int_eq(back->end_us, index->end_us);
}
END_TEST

START_TEST(test_index__every_truncation_is_refused)
{
    g_autoptr(RbIndex) index = plain_index(4);
    g_autoptr(GByteArray) bytes = rb_index_to_bytes(index);
    for (guint n = 0; n < bytes->len; n++) {
        g_autofree guint8 *part = g_memdup2(bytes->data, MAX(n, 1)); /* exact, for ASan */
        ck_assert_ptr_null(rb_index_from_bytes(part, n));
    }
}
END_TEST

static bool still_parses(GByteArray *bytes)
{
    g_autoptr(RbIndex) index = rb_index_from_bytes(bytes->data, bytes->len);
    return index != NULL;
}

START_TEST(test_index__inconsistent_contents_are_refused)
{
    g_autoptr(RbIndex) index = plain_index(12);
    RbIndexFrame *frames = index->frames;
    RbIndexPacket *packets = index->packets;
    const RbIndexFrame frame = frames[5];
    const RbIndexPacket packet = packets[5];
    for (int i = 0; i < 8; i++) {
        frames[5] = frame;
        packets[5] = packet;
        index->base = (RbRational){ 1, 90000 };
        switch (i) {
        case 0:
            frames[5].packet = 12; /* no such packet */
            break;
        case 1:
            frames[5].packet = 4; /* taken already */
            break;
        case 2:
            frames[5].flags = 1u << 30;
            break;
        case 3:
            frames[5].pts = RB_NO_TIME;
            break;
        case 4:
            packets[5].flags = 1u << 30;
            break;
        case 5:
            packets[5].size = -1;
            break;
        case 6:
            packets[5].pos = -2;
            break;
        case 7:
            index->base.den = 0;
            break;
        }
        g_autoptr(GByteArray) bytes = rb_index_to_bytes(index);
        ck_assert_msg(!still_parses(bytes), "change %d was accepted", i);
    }
}
END_TEST

START_TEST(test_index__random_bytes_never_break_it)
{
    g_autoptr(RbIndex) index = plain_index(9);
    g_autoptr(GByteArray) bytes = rb_index_to_bytes(index);
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(3));
    int accepted = 0;
    for (int i = 0; i < 20000; i++) {
        const int at = rb_random_int(&random, 0, (int)bytes->len - 1);
        const guint8 was = bytes->data[at];
        bytes->data[at] = (guint8)rb_random_next(&random);
        accepted += still_parses(bytes); /* a change of a time is a valid index */
        bytes->data[at] = was;
    }
    ck_assert_int_gt(accepted, 0);
    ck_assert_int_lt(accepted, 20000);
}
END_TEST

START_TEST(test_index__times_find_frames)
{
    g_autoptr(RbIndex) index = plain_index(100);
    for (int64_t i = 0; i < 100; i++) {
        ck_assert_int_eq(rb_index_find_at(index, index->us[i]), i);
        ck_assert_int_eq(rb_index_find_at(index, index->us[i] + 33000), i);
        ck_assert_int_eq(rb_index_find_pts(index, i * 3000), i);
        ck_assert(rb_index_is_key(index, i) == (i % 10 == 0));
    }
    ck_assert_int_eq(rb_index_find_at(index, -1), 0);
    ck_assert_int_eq(rb_index_find_pts(index, 1), -1);
    ck_assert_int_eq(index->end_us, 3333333); /* 100 frames of 1/30 s */
}
END_TEST

START_TEST(test_index__no_drift_over_two_hours)
{
    /* 59.94 frames a second, exactly: 431,568 frames are 7,199.9928 s. */
    g_autoptr(RbIndex) index = rb_index_new(431568, 431568);
    index->base = (RbRational){ 1, 60000 };
    index->rate = (RbRational){ 60000, 1001 };
    for (int64_t i = 0; i < index->n_frames; i++) {
        index->frames[i] = (RbIndexFrame){ .pts = i * 1001, .packet = (uint32_t)i };
    }
    rb_index_set_times(index);
    ck_assert_int_eq(index->end_us, 7199992800);
}
END_TEST

START_TEST(test_index__clock_jumps_are_left_out)
{
    static const struct {
        int64_t jump; /* ticks added from frame 50 on */
        int64_t extra_us;
    } rows[] = {
        { 0, 0 },
        { 2 * 90000, 2000000 },       /* a camera that stood still for 2 s is believed */
        { INT64_C(3600) * 90000, 0 }, /* an hour is the recorder's clock */
        { -50 * 3000, 0 },            /* back to the start */
        { INT64_MAX / 2, 0 },
        { INT64_MIN / 2, 0 },
    };
    for (size_t r = 0; r < G_N_ELEMENTS(rows); r++) {
        g_autoptr(RbIndex) index = plain_index(100);
        for (int64_t i = 50; i < 100; i++) {
            index->frames[i].pts += rows[r].jump;
        }
        rb_index_set_times(index);
        ck_assert_int_eq(index->end_us, 3333333 + rows[r].extra_us);
        for (int64_t i = 1; i < 100; i++) {
            ck_assert_int_ge(index->us[i], index->us[i - 1]);
        }
    }
}
END_TEST

START_TEST(test_index__slow_films_keep_their_times)
{
    /* A picture each twenty minutes: long steps are what this film is like. */
    g_autoptr(RbIndex) index = plain_index(10);
    for (int64_t i = 0; i < 10; i++) {
        index->frames[i].pts = i * 1200 * 90000;
    }
    rb_index_set_times(index);
    ck_assert_int_eq(index->us[9], INT64_C(9) * 1200 * 1000000);
}
END_TEST

START_TEST(test_index__one_frame_lasts_as_long_as_the_rate_says)
{
    g_autoptr(RbIndex) index = plain_index(1);
    ck_assert_int_eq(index->end_us, 33333);
    index->rate = (RbRational){ 0, 1 };
    rb_index_set_times(index);
    ck_assert_int_eq(index->end_us, 33333);
}
END_TEST

static RbIndexKey some_key(void)
{
    RbIndexKey key = { .bytes = 12345, .changed_ns = 99, .library_version = 7 };
    g_strlcpy(key.fingerprint,
              "f1:0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef",
              sizeof key.fingerprint);
    return key;
}

static const RbIndexDoubts one_doubt = {
    .doubts = { { .head = { RB_TELL_DOUBT, sizeof(RbTellDoubt), 0 },
                  .doubt = RB_DOUBT_SHORT,
                  .a = 5,
                  .b = 9 } },
    .n = 1,
};

START_TEST(test_index__cache_keeps_index_and_doubts)
{
    g_autoptr(RbIndex) index = plain_index(20);
    g_autoptr(GByteArray) body = rb_index_to_bytes(index);
    const RbIndexKey key = some_key();
    rb_index_cache_save(&key, &one_doubt, body->data, body->len);
    RbIndexDoubts doubts;
    g_autoptr(RbIndex) back = rb_index_cache_load(&key, &doubts);
    ck_assert_ptr_nonnull(back);
    ck_assert_int_eq(back->n_frames, 20);
    ck_assert_int_eq(doubts.n, 1);
    ck_assert_int_eq(doubts.doubts[0].b, 9);
    g_autofree char *path = rb_index_cache_path(&key);
    ck_assert_int_eq(g_unlink(path), 0);
    ck_assert_ptr_null(rb_index_cache_load(&key, &doubts));
}
END_TEST

START_TEST(test_index__cache_of_another_file_is_not_used)
{
    g_autoptr(RbIndex) index = plain_index(20);
    g_autoptr(GByteArray) body = rb_index_to_bytes(index);
    const RbIndexKey key = some_key();
    g_autoptr(GByteArray) file =
        rb_index_cache_format(&key, &one_doubt, body->data, body->len);
    RbIndexDoubts doubts;
    for (int i = 0; i < 5; i++) {
        RbIndexKey other = key;
        other.bytes += i == 1;
        other.changed_ns += i == 2;
        other.library_version += i == 3;
        other.fingerprint[10] = i == 4 ? 'f' : other.fingerprint[10];
        g_autoptr(RbIndex) back =
            rb_index_cache_parse(file->data, file->len, &other, &doubts);
        ck_assert((back != NULL) == (i == 0));
    }
}
END_TEST

START_TEST(test_index__damaged_cache_is_not_used)
{
    g_autoptr(RbIndex) index = plain_index(5);
    g_autoptr(GByteArray) body = rb_index_to_bytes(index);
    const RbIndexKey key = some_key();
    g_autoptr(GByteArray) file =
        rb_index_cache_format(&key, &one_doubt, body->data, body->len);
    RbIndexDoubts doubts;
    for (guint i = 0; i < file->len; i++) {
        file->data[i] ^= 1;
        ck_assert_ptr_null(rb_index_cache_parse(file->data, file->len, &key, &doubts));
        file->data[i] ^= 1;
        ck_assert_ptr_null(rb_index_cache_parse(file->data, i, &key, &doubts));
    }
}
END_TEST

static void set_age(const char *path, time_t s)
{
    const struct utimbuf times = { 1700000000 - s, 1700000000 - s };
    ck_assert_int_eq(g_utime(path, (struct utimbuf *)(uintptr_t)&times), 0);
}

START_TEST(test_index__cache_folder_has_a_limit)
{
    g_autofree char *folder = rb_test_path("kept");
    ck_assert_int_eq(g_mkdir(folder, 0700), 0);
    char *paths[5];
    for (int i = 0; i < 5; i++) {
        g_autofree char *name = g_strdup_printf("index-%d", i);
        paths[i] = g_build_filename(folder, name, NULL);
        ck_assert(g_file_set_contents(paths[i], "0123456789", 10, NULL));
        set_age(paths[i], 100 * ((i * 2) % 5)); /* oldest first: 2 4 1 3 0 */
    }
    rb_index_cache_trim(folder, 50);
    ck_assert(g_file_test(paths[2], G_FILE_TEST_EXISTS));
    rb_index_cache_trim(folder, 35);
    ck_assert(!g_file_test(paths[2], G_FILE_TEST_EXISTS));
    ck_assert(!g_file_test(paths[4], G_FILE_TEST_EXISTS));
    ck_assert(g_file_test(paths[1], G_FILE_TEST_EXISTS));
    rb_index_cache_trim(folder, 1); /* the newest stays, however large */
    for (int i = 0; i < 5; i++) {
        ck_assert(g_file_test(paths[i], G_FILE_TEST_EXISTS) == (i == 0));
        g_free(paths[i]);
    }
    g_autofree char *none = rb_test_path("none");
    rb_index_cache_trim(none, 1);
}
END_TEST

START_TEST(test_index__an_index_used_again_counts_as_new)
{
    g_autoptr(RbIndex) index = plain_index(20);
    g_autoptr(GByteArray) body = rb_index_to_bytes(index);
    const RbIndexKey key = some_key();
    rb_index_cache_save(&key, &one_doubt, body->data, body->len);
    g_autofree char *path = rb_index_cache_path(&key);
    set_age(path, 0);
    RbIndexDoubts doubts;
    g_autoptr(RbIndex) back = rb_index_cache_load(&key, &doubts);
    ck_assert_ptr_nonnull(back);
    GStatBuf facts;
    ck_assert_int_eq(g_stat(path, &facts), 0);
    ck_assert_int_gt(facts.st_mtime, 1700000000);
    ck_assert_int_eq(g_unlink(path), 0);
}
END_TEST

TCase *rb_case_index(void)
{
    TCase *tcase = rb_case_new("index");
    tcase_add_test(tcase, test_index__bytes_round_trip);
    tcase_add_test(tcase, test_index__every_truncation_is_refused);
    tcase_add_test(tcase, test_index__inconsistent_contents_are_refused);
    tcase_add_test(tcase, test_index__random_bytes_never_break_it);
    tcase_add_test(tcase, test_index__times_find_frames);
    tcase_add_test(tcase, test_index__no_drift_over_two_hours);
    tcase_add_test(tcase, test_index__clock_jumps_are_left_out);
    tcase_add_test(tcase, test_index__slow_films_keep_their_times);
    tcase_add_test(tcase, test_index__one_frame_lasts_as_long_as_the_rate_says);
    tcase_add_test(tcase, test_index__cache_keeps_index_and_doubts);
    tcase_add_test(tcase, test_index__cache_of_another_file_is_not_used);
    tcase_add_test(tcase, test_index__damaged_cache_is_not_used);
    tcase_add_test(tcase, test_index__cache_folder_has_a_limit);
    tcase_add_test(tcase, test_index__an_index_used_again_counts_as_new);
    return tcase;
}
