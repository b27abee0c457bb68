/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A watched folder that is read again while its table is mended. */
#include <string.h>

#include "rb/base/random.h"

#include "intake-sample.h"
#include "suite.h"

TCase *rb_case_intake_keep(void);

static const char *shown_in(const RbIntake *intake, int clip)
{
    const RbIntakeFile *file =
        intake->files->pdata[((const RbIntakeClip *)intake->clips->pdata[clip])->file];
    return file->look->title;
}

/* The row in which a clip of that title stands. */
static int row_of(const RbIntake *intake, const char *title)
{
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
        if ((row->wide >= 0 && strcmp(shown_in(intake, row->wide), title) == 0) ||
            (row->tight >= 0 && strcmp(shown_in(intake, row->tight), title) == 0)) {
            return (int)i;
        }
    }
    return -1;
}

static const RbIntakeRow *row_with(const RbIntake *intake, const char *title)
{
    const int row = row_of(intake, title);
    ck_assert_msg(row >= 0, "%s is in no row", title);
    return &g_array_index(intake->rows, RbIntakeRow, (guint)row);
}

/* The clips of so many snaps in a watched folder, both angles, as they are copied in. */
static RbIntake *folder_of(int snaps, const char *more, RbAngle angle, uint64_t scene)
{
    RbIntake *intake = rb_intake_new();
    if (more != NULL && *more < 'm') {
        add_clip(intake, more, angle, length_of((int)scene / 2), scene);
    }
    for (int snap = 1; snap <= snaps; snap++) {
        for (int tight = 0; tight < 2; tight++) {
            g_autofree char *title =
                g_strdup_printf("%s %d", tight ? "tight" : "wide", snap);
            add_clip(intake, title, tight ? RB_ANGLE_TIGHT : RB_ANGLE_WIDE,
                     length_of(snap), (uint64_t)snap * 2 + (uint64_t)tight);
        }
    }
    if (more != NULL && *more >= 'm') {
        add_clip(intake, more, angle, length_of((int)scene / 2), scene);
    }
    return intake;
}

/* A film comes into the watched folder while the table is mended: what a person has taken out and
 * moved stays as it is, and the new clip gets a row. */
START_TEST(test_intake__a_new_film_forgets_no_mend)
{
    g_autoptr(RbIntake) before = folder_of(4, NULL, RB_ANGLE_OTHER, 0);
    rb_intake_match(before, (RbGameId){ 1 }, log_of(6));
    ck_assert(rb_intake_set_extra(before, 1, true));
    ck_assert(rb_intake_shift(before, 2, RB_ANGLE_TIGHT, 1));
    const int chosen = row_of(before, "wide 3");
    g_autoptr(RbIntake) now = folder_of(5, NULL, RB_ANGLE_OTHER, 0);
    rb_intake_match(now, (RbGameId){ 1 }, log_of(6));
    const int found = rb_intake_keep_mends(now, before, chosen);
    check_each_once(now);
    ck_assert_int_eq(found, row_of(now, "wide 3"));
    ck_assert_int_eq(row_with(now, "wide 2")->kind, RB_INTAKE_EXTRA);
    ck_assert_int_eq(row_with(now, "tight 2")->kind, RB_INTAKE_EXTRA);
    ck_assert_int_eq(row_with(now, "wide 3")->number, 3);
    ck_assert_int_eq(row_with(now, "tight 3")->number, 4);
    ck_assert_int_eq(row_with(now, "wide 4")->number, 4);
    ck_assert_int_eq(row_with(now, "tight 4")->number, 5);
    /* The new ones go where there is room. */
    ck_assert_int_ne(row_of(now, "wide 5"), -1);
    ck_assert_int_ne(row_of(now, "tight 5"), -1);
    /* And mended once more, it is kept once more. */
    g_autoptr(RbIntake) again = folder_of(5, NULL, RB_ANGLE_OTHER, 0);
    rb_intake_match(again, (RbGameId){ 1 }, log_of(6));
    ck_assert_int_eq(rb_intake_keep_mends(again, now, -1), -1);
    ck_assert_uint_eq(again->rows->len, now->rows->len);
    for (guint i = 0; i < now->rows->len; i++) {
        const RbIntakeRow *a = &g_array_index(now->rows, RbIntakeRow, i);
        const RbIntakeRow *b = &g_array_index(again->rows, RbIntakeRow, i);
        ck_assert_int_eq(a->kind, b->kind);
        ck_assert_int_eq(a->wide, b->wide);
        ck_assert_int_eq(a->tight, b->tight);
        ck_assert_int_eq(a->number, b->number);
    }
}
END_TEST

/* Without a mend it is what reading it anew says. */
START_TEST(test_intake__nothing_mended_nothing_kept)
{
    g_autoptr(RbIntake) before = folder_of(4, NULL, RB_ANGLE_OTHER, 0);
    rb_intake_match(before, (RbGameId){ 1 }, log_of(6));
    g_autoptr(RbIntake) now = folder_of(6, NULL, RB_ANGLE_OTHER, 0);
    rb_intake_match(now, (RbGameId){ 1 }, log_of(6));
    rb_intake_keep_mends(now, before, 0);
    ck_assert_int_eq(rb_intake_count(now, RB_INTAKE_BOTH), 6);
    ck_assert(!now->by_hand);
}
END_TEST

/* A copy is the copy, also where it comes first by name; an angle that was missing is put in. */
START_TEST(test_intake__what_comes_later_is_the_copy)
{
    g_autoptr(RbIntake) before = folder_of(3, NULL, RB_ANGLE_OTHER, 0);
    rb_intake_match(before, (RbGameId){ 1 }, NULL);
    ck_assert(rb_intake_set_extra(before, 0, true));
    g_autoptr(RbIntake) now = folder_of(3, "again", RB_ANGLE_WIDE, 6);
    rb_intake_tell_apart(now, false);
    ((RbIntakeClip *)now->clips->pdata[0])->same_as = -1;
    ((RbIntakeClip *)now->clips->pdata[5])->same_as = 0; /* "wide 3" shows the same */
    rb_intake_match(now, (RbGameId){ 1 }, NULL);
    ck_assert_int_eq(row_with(now, "wide 3")->kind, RB_INTAKE_DUPLICATE);
    rb_intake_keep_mends(now, before, 0);
    check_each_once(now);
    ck_assert_int_eq(row_with(now, "again")->kind, RB_INTAKE_DUPLICATE);
    ck_assert_int_eq(row_with(now, "wide 3")->kind, RB_INTAKE_BOTH);
    ck_assert_int_eq(row_with(now, "wide 1")->kind, RB_INTAKE_EXTRA);
}
END_TEST

/* A film that is gone takes its clip out of the row, not the row of the other angle. */
START_TEST(test_intake__a_film_that_went)
{
    g_autoptr(RbIntake) before = folder_of(4, "zoom", RB_ANGLE_WIDE, 10);
    rb_intake_match(before, (RbGameId){ 1 }, log_of(6));
    ck_assert(rb_intake_set_extra(before, 0, true));
    ck_assert_int_ne(row_of(before, "zoom"), -1);
    g_autoptr(RbIntake) now = folder_of(4, NULL, RB_ANGLE_OTHER, 0);
    rb_intake_match(now, (RbGameId){ 1 }, log_of(6));
    ck_assert_int_eq(rb_intake_keep_mends(now, before, row_of(before, "zoom")), -1);
    check_each_once(now);
    ck_assert_int_eq(row_with(now, "wide 1")->kind, RB_INTAKE_EXTRA);
    ck_assert_int_eq(row_with(now, "wide 2")->number, 2);
}
END_TEST

/* Cuts that a person put, joined or looked at stay; a film of the folder that is new is cut as read. */
START_TEST(test_intake__cuts_put_by_hand_stay)
{
    g_autoptr(RbIntake) before = recordings(6);
    rb_intake_match(before, (RbGameId){ 1 }, log_of(9));
    const RbIntakeClip was = *(const RbIntakeClip *)before->clips->pdata[2];
    RbIntakeSeam seam = seam_at(was.first, was.first + 50, was.last);
    ck_assert(rb_intake_add_cut(before, 2, &seam));
    ck_assert(rb_intake_join_cut(before, 5));
    ck_assert(rb_intake_keep_cut(before, 10)); /* of the tight one */
    g_autoptr(RbIntake) now = recordings(6);
    add_clip(now, "third", RB_ANGLE_WIDE, length_of(8), 16);
    rb_intake_match(now, (RbGameId){ 1 }, log_of(9));
    rb_intake_keep_mends(now, before, -1);
    check_each_once(now);
    ck_assert_uint_eq(now->clips->len, before->clips->len + 1);
    for (guint i = 0; i < before->clips->len; i++) {
        const RbIntakeClip *a = before->clips->pdata[i];
        const RbIntakeClip *b = now->clips->pdata[i];
        ck_assert_int_eq(a->first, b->first);
        ck_assert_int_eq(a->last, b->last);
        ck_assert_int_eq(a->angle, b->angle);
        ck_assert_double_eq(a->cut_sure, b->cut_sure);
    }
    ck_assert_int_ne(row_of(now, "third"), -1);
}
END_TEST

/* Whatever was mended and whatever comes and goes, each clip is in one row, and what a person took
 * out and put nowhere else stays out. */
START_TEST(test_intake__any_mend_is_kept)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(4711));
    for (int round = 0; round < 200; round++) {
        const bool log = rb_random_chance(&random, 0.5);
        g_autoptr(RbIntake) before =
            folder_of(rb_random_int(&random, 1, 6), NULL, RB_ANGLE_OTHER, 0);
        rb_intake_match(before, (RbGameId){ 1 }, log ? log_of(7) : NULL);
        for (int i = 0; i < 6; i++) {
            const guint row = (guint)rb_random_int(&random, 0, (int)before->rows->len);
            if (rb_random_chance(&random, 0.5)) {
                rb_intake_set_extra(before, row, rb_random_chance(&random, 0.7));
            } else {
                rb_intake_shift(before, row,
                                rb_random_chance(&random, 0.5) ? RB_ANGLE_TIGHT
                                                               : RB_ANGLE_WIDE,
                                rb_random_chance(&random, 0.5) ? 1 : -1);
            }
        }
        g_autoptr(RbIntake) now = folder_of(
            rb_random_int(&random, 1, 6), rb_random_chance(&random, 0.5) ? "again" : NULL,
            RB_ANGLE_WIDE, 2 * (uint64_t)rb_random_int(&random, 1, 7));
        rb_intake_match(now, (RbGameId){ 1 }, log ? log_of(7) : NULL);
        rb_intake_keep_mends(now, before, rb_random_int(&random, -1, 3));
        check_each_once(now);
        for (guint i = 0; i < before->rows->len && before->by_hand; i++) {
            const RbIntakeRow *row = &g_array_index(before->rows, RbIntakeRow, i);
            const int clip = row->wide >= 0 ? row->wide : row->tight;
            const char *title = clip >= 0 ? shown_in(before, clip) : "";
            if (clip >= 0 && row_of(now, title) >= 0) {
                ck_assert_int_eq(row_with(now, title)->number, row->number);
            }
        }
    }
}
END_TEST

TCase *rb_case_intake_keep(void)
{
    TCase *tcase = rb_case_new("intake-keep");
    tcase_add_test(tcase, test_intake__a_new_film_forgets_no_mend);
    tcase_add_test(tcase, test_intake__nothing_mended_nothing_kept);
    tcase_add_test(tcase, test_intake__what_comes_later_is_the_copy);
    tcase_add_test(tcase, test_intake__a_film_that_went);
    tcase_add_test(tcase, test_intake__cuts_put_by_hand_stay);
    tcase_add_test(tcase, test_intake__any_mend_is_kept);
    return tcase;
}
