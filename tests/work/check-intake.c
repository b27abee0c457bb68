/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <utime.h>

#include "rb/base/random.h"

#include "intake-names.h"
#include "intake-private.h"
#include "intake-sample.h"
#include "suite.h"

TCase *rb_case_intake(void);

START_TEST(test_intake__names_in_natural_order)
{
    static const char *const order[] = { "Clip 2.mp4", "clip 03.mp4", "clip 10.mp4",
                                         "clip 10b.mp4", "dusk.mp4" };
    for (size_t i = 0; i < G_N_ELEMENTS(order); i++) {
        for (size_t j = 0; j < G_N_ELEMENTS(order); j++) {
            const int way = rb_intake_compare_names(&order[i], &order[j]);
            ck_assert_msg((way > 0) - (way < 0) == (i > j) - (i < j), "%s %s", order[i],
                          order[j]);
        }
    }
}
END_TEST

START_TEST(test_intake__angle_by_name_or_folder)
{
    static const struct {
        const char *path;
        RbAngle angle;
    } rows[] = {
        { "/f/012 wide.mp4", RB_ANGLE_WIDE },
        { "/f/012 tight.mp4", RB_ANGLE_TIGHT },
        { "/f/End Zone/012.mp4", RB_ANGLE_TIGHT },
        { "/f/sideline/012.mov", RB_ANGLE_WIDE },
        { "/f/012.mp4", RB_ANGLE_OTHER },
        { "/f/tightrope wider.mp4", RB_ANGLE_OTHER },
        { "/f/wide tight.mp4", RB_ANGLE_OTHER },
        { "/f/EZ_04.mp4", RB_ANGLE_TIGHT },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        ck_assert_msg(rb_intake_angle_of(rows[i].path) == rows[i].angle, "%s",
                      rows[i].path);
    }
    ck_assert(rb_intake_is_film_name("A.MP4"));
    ck_assert(!rb_intake_is_film_name("notes.txt"));
    ck_assert(!rb_intake_is_film_name("._a.mp4"));
}
END_TEST

START_TEST(test_intake__the_number_is_the_run_that_differs)
{
    static const char *const names[] = { "Week 3 2024 012 wide.mp4",
                                         "Week 3 2024 013 wide.mp4",
                                         "Week 3 2024 014 wide.mp4", "extra.mp4" };
    const RbAngle angles[4] = { RB_ANGLE_WIDE };
    int numbers[4];
    rb_intake_find_numbers(names, angles, 4, numbers);
    ck_assert_int_eq(numbers[0], 12);
    ck_assert_int_eq(numbers[2], 14);
    ck_assert_int_eq(numbers[3], -1);
}
END_TEST

/* A game of 20, in one folder: three clips taken out, two put in, one there twice. */
static RbIntake *damaged_game(bool named)
{
    RbIntake *intake = rb_intake_new();
    for (int snap = 1; snap <= 20; snap++) {
        for (int tight = 0; tight < 2; tight++) {
            if ((snap == 4 && tight == 0) || (snap == 9 && tight == 1) ||
                (snap == 15 && tight == 1)) {
                continue;
            }
            g_autofree char *title =
                g_strdup_printf("%03d %s.mp4", snap, tight ? "tight" : "wide");
            add_clip(intake, title,
                     !named  ? RB_ANGLE_OTHER
                     : tight ? RB_ANGLE_TIGHT
                             : RB_ANGLE_WIDE,
                     length_of(snap), (uint64_t)snap * 2 + (uint64_t)tight);
            if (snap == 7 && tight == 0) {
                add_clip(intake, "007 wide copy.mp4",
                         named ? RB_ANGLE_WIDE : RB_ANGLE_OTHER, length_of(snap),
                         (uint64_t)snap * 2);
            }
        }
    }
    add_clip(intake, "crowd.mp4", RB_ANGLE_WIDE, 3100000, 900);
    add_clip(intake, "098 wide.mp4", RB_ANGLE_WIDE, 4100000, 902);
    rb_intake_tell_apart(intake, false);
    return intake;
}

static void check_damaged(RbIntake *intake)
{
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_BOTH), 17);
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_TIGHT_ONLY), 1);
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_WIDE_ONLY), 2);
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_EXTRA), 2);
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_DUPLICATE), 1);
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_NO_FILM), 0);
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
        g_autofree char *text = rb_intake_row_text(intake, row);
        g_autofree char *wide = rb_intake_clip_text(intake, row->wide);
        g_autofree char *tight = rb_intake_clip_text(intake, row->tight);
        if (row->number > 0) {
            ck_assert(row->wide < 0 || atoi(wide) == row->number);
            ck_assert(row->tight < 0 || atoi(tight) == row->number);
            ck_assert_int_eq(row->snap.value, 1000 + row->number);
        }
        ck_assert(row->kind == RB_INTAKE_BOTH || strlen(text) > 0);
        ck_assert(row->kind != RB_INTAKE_DUPLICATE || strstr(text, "007 wide.mp4"));
    }
}

START_TEST(test_intake__shows_exactly_what_is_amiss)
{
    g_autoptr(RbIntake) named = damaged_game(true);
    rb_intake_match(named, (RbGameId){ 1 }, log_of(20));
    check_damaged(named);
    /* Without a word in the names the pictures tell the cameras apart. */
    g_autoptr(RbIntake) unnamed = damaged_game(false);
    rb_intake_match(unnamed, (RbGameId){ 1 }, log_of(20));
    ck_assert(unnamed->alternating);
    check_damaged(unnamed);
}
END_TEST

/* Of two files that show the same, the one whose name tells the camera stays. */
START_TEST(test_intake__the_named_one_is_no_copy)
{
    g_autoptr(RbIntake) intake = rb_intake_new();
    add_clip(intake, "001 tight.mp4", RB_ANGLE_TIGHT, length_of(1), 3);
    add_clip(intake, "001 wide.mp4", RB_ANGLE_WIDE, length_of(1), 2);
    add_clip(intake, "a.mp4", RB_ANGLE_OTHER, length_of(1), 2);
    for (guint i = 0; i < 2; i++) {
        ((RbIntakeFile *)intake->files->pdata[i])->named = true;
    }
    rb_intake_tell_apart(intake, false);
    rb_intake_match(intake, (RbGameId){ 1 }, NULL);
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_BOTH), 1);
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_DUPLICATE), 1);
    ck_assert_int_eq(((RbIntakeClip *)intake->clips->pdata[2])->same_as, 1);
}
END_TEST

START_TEST(test_intake__mending_loses_no_clip)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(811));
    g_autoptr(RbIntake) intake = damaged_game(true);
    rb_intake_match(intake, (RbGameId){ 1 }, log_of(20));
    const int cases = rb_test_some(2000);
    for (int round = 0; round < cases; round++) {
        const guint row = (guint)rb_random_int(&random, 0, (int)intake->rows->len);
        if (rb_random_chance(&random, 0.5)) {
            rb_intake_set_extra(intake, row, rb_random_chance(&random, 0.5));
        } else {
            rb_intake_shift(intake, row,
                            rb_random_chance(&random, 0.5) ? RB_ANGLE_TIGHT
                                                           : RB_ANGLE_WIDE,
                            rb_random_chance(&random, 0.5) ? 1 : -1);
        }
        check_each_once(intake);
    }
}
END_TEST

/* One camera moved down and up again is as it was. */
START_TEST(test_intake__shift_there_and_back)
{
    g_autoptr(RbIntake) intake = rb_intake_new();
    for (int snap = 1; snap <= 5; snap++) {
        add_clip(intake, "w", RB_ANGLE_WIDE, length_of(snap), (uint64_t)snap * 2);
        add_clip(intake, "t", RB_ANGLE_TIGHT, length_of(snap), (uint64_t)snap * 2 + 1);
    }
    rb_intake_match(intake, (RbGameId){ 1 }, log_of(5));
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_BOTH), 5);
    ck_assert(rb_intake_set_extra(intake, 4, true));
    ck_assert(rb_intake_shift(intake, 1, RB_ANGLE_TIGHT, 1));
    ck_assert_int_eq(g_array_index(intake->rows, RbIntakeRow, 1).tight, -1);
    ck_assert_int_eq(g_array_index(intake->rows, RbIntakeRow, 2).tight, 3);
    ck_assert(rb_intake_shift(intake, 4, RB_ANGLE_TIGHT, -1));
    ck_assert_int_eq(g_array_index(intake->rows, RbIntakeRow, 1).tight, 3);
    ck_assert(!rb_intake_shift(intake, 99, RB_ANGLE_TIGHT, 1));
}
END_TEST

/* Part of clip `at` becomes a clip of its own: what a false cut makes. */
static void cut_in_two(RbIntake *intake, int at, double sure)
{
    RbIntakeClip *clip = intake->clips->pdata[at];
    RbIntakeClip *rest = g_memdup2(clip, sizeof *clip);
    rest->first = clip->first + (clip->last - clip->first) / 3;
    rest->length_us = clip->length_us - clip->length_us / 3;
    rest->cut_sure = sure;
    clip->last = rest->first - 1;
    clip->length_us /= 3;
    g_ptr_array_insert(intake->clips, at + 1, rest);
}

/* A cut that the finder missed is put, moved, and taken back by joining. */
START_TEST(test_intake__a_missed_cut_is_put)
{
    g_autoptr(RbIntake) intake = recordings(9);
    rb_intake_match(intake, (RbGameId){ 1 }, log_of(9));
    const RbIntakeClip was = *(const RbIntakeClip *)intake->clips->pdata[4];
    RbIntakeSeam seam = seam_at(was.first, was.first + 50, was.last);
    ((RbIntakeClip *)intake->clips->pdata[17])->same_as = 16; /* is shifted along */
    ck_assert(!rb_intake_add_cut(intake, 3, &seam));
    ck_assert(!rb_intake_add_cut(intake, 99, &seam));
    ck_assert(rb_intake_add_cut(intake, 4, &seam));
    ck_assert(!rb_intake_add_cut(intake, 4, &seam)); /* it is another clip by now */
    ck_assert_uint_eq(intake->clips->len, 19);
    const RbIntakeClip *one = intake->clips->pdata[4];
    const RbIntakeClip *two = intake->clips->pdata[5];
    ck_assert_int_eq(one->first, was.first);
    ck_assert_int_eq(one->last, was.first + 49);
    ck_assert_int_eq(two->first, was.first + 50);
    ck_assert_int_eq(two->last, was.last);
    ck_assert_int_eq(two->first_time.ticks, was.first + 50);
    ck_assert_int_eq(one->pictures[2][0], 7);
    ck_assert_int_eq(two->pictures[0][0], 9);
    ck_assert_double_eq(two->cut_sure, 1);
    ck_assert_int_eq(((RbIntakeClip *)intake->clips->pdata[18])->same_as, 17);
    check_each_once(intake);
    const RbIntakeSeam moved = seam_at(was.first, was.first + 90, was.last);
    ck_assert(!rb_intake_move_cut(intake, 0, &moved)); /* a recording starts there */
    ck_assert(rb_intake_move_cut(intake, 5, &moved));
    ck_assert_int_eq(one->last, was.first + 89);
    ck_assert_int_eq(two->first, was.first + 90);
    check_each_once(intake);
    ck_assert(rb_intake_join_cut(intake, 5));
    ck_assert_uint_eq(intake->clips->len, 18);
    ck_assert_int_eq(one->last, was.last);
    ck_assert_int_le(llabs(one->length_us - was.length_us), 60000);
}
END_TEST

/* A false cut is asked about, and joined; then all is as if it had never been. */
START_TEST(test_intake__a_false_cut_is_joined)
{
    g_autoptr(RbIntake) intake = recordings(9);
    cut_in_two(intake, 3, 0.55);
    cut_in_two(intake, 12, 0.7);
    rb_intake_match(intake, (RbGameId){ 1 }, log_of(9));
    ck_assert_int_eq(rb_intake_count_cuts(intake), 2);
    for (int left = 2; left > 0; left--) {
        int cut = -1;
        for (guint i = 0; i < intake->rows->len && cut < 0; i++) {
            const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
            g_autofree char *text = rb_intake_row_text(intake, row);
            cut = rb_intake_find_cut(intake, row, RB_INTAKE_SURE);
            ck_assert((cut >= 0) == (strstr(text, "cut before the ") != NULL));
        }
        ck_assert_int_ge(rb_intake_clip_before(intake, cut), 0);
        ck_assert(rb_intake_join_cut(intake, cut));
        ck_assert_int_eq(rb_intake_count_cuts(intake), left - 1);
        check_each_once(intake);
    }
    ck_assert_uint_eq(intake->clips->len, 18);
    ck_assert_int_eq(rb_intake_count(intake, RB_INTAKE_BOTH), 9);
    for (int i = 0; i < 18; i++) {
        const RbIntakeClip *clip = intake->clips->pdata[i];
        const int before = rb_intake_clip_before(intake, i);
        ck_assert_int_eq(before, i % 9 == 0 ? -1 : i - 1);
        ck_assert_int_le(llabs(clip->length_us - length_of(i % 9 + 1)), 20000);
    }
    /* The first of a recording starts with no cut. */
    ck_assert(!rb_intake_join_cut(intake, 0));
    ck_assert(!rb_intake_join_cut(intake, 9));
    ck_assert(!rb_intake_join_cut(intake, 99));
}
END_TEST

/* A cut that a person saw is asked about no more. */
START_TEST(test_intake__a_cut_that_was_seen_is_sure)
{
    g_autoptr(RbIntake) intake = recordings(5);
    ((RbIntakeClip *)intake->clips->pdata[3])->cut_sure = 0.4;
    rb_intake_match(intake, (RbGameId){ 1 }, NULL);
    const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, 3);
    ck_assert_int_eq(rb_intake_find_cut(intake, row, RB_INTAKE_SURE), 3);
    ck_assert(rb_intake_keep_cut(intake, 3));
    ck_assert(!rb_intake_keep_cut(intake, 3));
    ck_assert_int_eq(rb_intake_find_cut(intake, row, RB_INTAKE_SURE), -1);
    ck_assert_int_eq(rb_intake_count_cuts(intake), 0);
}
END_TEST

/* What was taken out stays out when everything is matched anew, until it is put back. */
START_TEST(test_intake__taken_out_stays_out)
{
    g_autoptr(RbIntake) intake = recordings(6);
    cut_in_two(intake, 4, 0.5);
    rb_intake_match(intake, (RbGameId){ 1 }, NULL);
    ck_assert(rb_intake_set_extra(intake, 0, true));
    const int both = rb_intake_count(intake, RB_INTAKE_BOTH);
    ck_assert(rb_intake_join_cut(intake, 5));
    check_each_once(intake);
    ck_assert_int_ge(rb_intake_count(intake, RB_INTAKE_EXTRA), 1);
    ck_assert_int_le(rb_intake_count(intake, RB_INTAKE_BOTH), both + 1);
    const RbIntakeClip *first = intake->clips->pdata[0];
    ck_assert(first->out);
    for (guint i = intake->rows->len; i-- > 0;) {
        if (g_array_index(intake->rows, RbIntakeRow, i).kind == RB_INTAKE_EXTRA) {
            rb_intake_set_extra(intake, i, false);
        }
    }
    rb_intake_match(intake, (RbGameId){ 1 }, NULL);
    check_each_once(intake);
}
END_TEST

START_TEST(test_intake__copies_are_compared_and_not_made_twice)
{
    g_autofree char *from = rb_test_path("a.mp4");
    g_autofree char *to = rb_test_path("copies");
    g_autoptr(GError) error = NULL;
    ck_assert(g_file_set_contents(from, "film", 4, NULL));
    g_autofree char *first = rb_intake_copy(from, to, NULL, NULL, &error);
    rb_assert_no_error(error);
    g_autofree char *second = rb_intake_copy(from, to, NULL, NULL, &error);
    ck_assert_str_eq(first, second);
    ck_assert(g_file_set_contents(from, "another", 7, NULL));
    g_autofree char *third = rb_intake_copy(from, to, NULL, NULL, &error);
    ck_assert_str_ne(first, third);
    g_autofree char *text = NULL;
    ck_assert(g_file_get_contents(third, &text, NULL, NULL));
    ck_assert_str_eq(text, "another");
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    g_autofree char *other = rb_test_path("other");
    rb_cancel_cancel(cancel);
    ck_assert_ptr_null(rb_intake_copy(from, other, cancel, NULL, &error));
    ck_assert_ptr_nonnull(error);
}
END_TEST

/* A stick without room for the film: nothing of it is left there, and it is said which film. */
START_TEST(test_intake__a_copy_without_room_leaves_nothing)
{
    enum { BYTES = 3 << 20 };
    g_autofree char *from = rb_test_path("a.mp4");
    g_autofree char *to = rb_test_path("copies");
    g_autofree char *bytes = g_strnfill(BYTES, 'f');
    ck_assert(g_file_set_contents(from, bytes, BYTES, NULL));
    struct rlimit limit; /* setrlimit(2): past that byte of a file nothing is written */
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &limit), 0);
    signal(SIGXFSZ, SIG_IGN);
    const struct rlimit little = { BYTES - 1, limit.rlim_max };
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &little), 0);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_intake_copy(from, to, NULL, NULL, &error));
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
    ck_assert_ptr_nonnull(strstr(error->message, from));
    g_autoptr(GDir) dir = g_dir_open(to, 0, NULL);
    ck_assert_ptr_null(g_dir_read_name(dir));
    g_autofree char *copy = rb_intake_copy(from, to, NULL, NULL, NULL);
    g_autofree char *copied = NULL;
    ck_assert(g_file_get_contents(copy, &copied, NULL, NULL));
    ck_assert(strcmp(copied, bytes) == 0);
}
END_TEST

static void put(const char *path, const char *text)
{
    ck_assert(g_file_set_contents(path, text, -1, NULL));
}

/* The mark is another one after each change of the films, and the same while nothing happens. */
START_TEST(test_intake__a_look_tells_of_every_change_of_the_films)
{
    g_autofree char *folder = rb_test_path("films");
    g_autofree char *below = g_build_filename(folder, "tight", NULL);
    g_autofree char *film = g_build_filename(folder, "1.mp4", NULL);
    g_autofree char *second = g_build_filename(below, "1.mp4", NULL);
    g_autofree char *notes = g_build_filename(folder, "notes.txt", NULL);
    ck_assert_uint_eq(rb_intake_look(folder), 0);
    ck_assert_int_eq(g_mkdir_with_parents(below, 0755), 0);
    ck_assert_uint_eq(rb_intake_look(folder), 0);
    uint64_t marks[6] = { 0 };
    put(film, "film");
    marks[1] = rb_intake_look(folder);
    put(notes, "no film");
    ck_assert_uint_eq(rb_intake_look(folder), marks[1]);
    put(film, "film that grows");
    marks[2] = rb_intake_look(folder);
    put(second, "the other angle");
    marks[3] = rb_intake_look(folder);
    struct utimbuf times = { .actime = 1, .modtime = 1 };
    ck_assert_int_eq(g_utime(film, &times), 0);
    marks[4] = rb_intake_look(folder);
    ck_assert_int_eq(g_remove(film), 0);
    marks[5] = rb_intake_look(folder);
    for (int i = 0; i < 6; i++) {
        for (int k = 0; k < i; k++) {
            ck_assert_msg(marks[i] != marks[k], "%d and %d are alike", i, k);
        }
    }
    ck_assert_int_eq(g_remove(second), 0);
    ck_assert_uint_eq(rb_intake_look(folder), 0);
}
END_TEST

TCase *rb_case_intake(void)
{
    TCase *tcase = rb_case_new("intake");
    tcase_add_test(tcase, test_intake__a_look_tells_of_every_change_of_the_films);
    tcase_add_test(tcase, test_intake__names_in_natural_order);
    tcase_add_test(tcase, test_intake__angle_by_name_or_folder);
    tcase_add_test(tcase, test_intake__the_number_is_the_run_that_differs);
    tcase_add_test(tcase, test_intake__shows_exactly_what_is_amiss);
    tcase_add_test(tcase, test_intake__the_named_one_is_no_copy);
    tcase_add_test(tcase, test_intake__mending_loses_no_clip);
    tcase_add_test(tcase, test_intake__shift_there_and_back);
    tcase_add_test(tcase, test_intake__a_missed_cut_is_put);
    tcase_add_test(tcase, test_intake__a_false_cut_is_joined);
    tcase_add_test(tcase, test_intake__a_cut_that_was_seen_is_sure);
    tcase_add_test(tcase, test_intake__taken_out_stays_out);
    tcase_add_test(tcase, test_intake__copies_are_compared_and_not_made_twice);
    tcase_add_test(tcase, test_intake__a_copy_without_room_leaves_nothing);
    return tcase;
}
