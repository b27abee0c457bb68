/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stddef.h>

#include "rb/stats/success.h"

#include "suite.h"

TCase *rb_case_success(void);

/* Profiles: B. Carroll, P. Palmer, J. Thorn, "The Hidden Game of Football", 1988 (40/60/100);
 * a later professional variant (45/60/100); B. Connelly, "Study Hall", 2013 (50/70/100). The
 * outcomes follow from the shares by arithmetic. Gains of half a yard do not exist here: the
 * row "1st and 10, gain 4.5" is asked at twice the scale, 9 of 20. */
START_TEST(test_success__vectors_of_three_profiles)
{
    static const struct {
        int down;
        int distance;
        int gain;
        bool want[3];
    } rows[] = {
        { 1, 10, 4, { true, false, false } }, { 1, 20, 9, { true, true, false } },
        { 1, 10, 5, { true, true, true } },   { 2, 5, 3, { true, true, false } },
        { 2, 5, 4, { true, true, true } },    { 2, 10, 6, { true, true, false } },
        { 2, 10, 7, { true, true, true } },   { 3, 4, 3, { false, false, false } },
        { 3, 4, 4, { true, true, true } },    { 4, 1, 0, { false, false, false } },
        { 1, 3, 2, { true, true, true } },
    };
    const RbSuccessProfile profiles[3] = {
        rb_success_profile_default(),
        { { 45, 60, 100, 100 } },
        rb_success_profile_college(),
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        for (int p = 0; p < 3; p++) {
            ck_assert_msg(rb_success_gain(profiles[p], rows[i].down, rows[i].distance,
                                          rows[i].gain) == rows[i].want[p],
                          "row %zu, profile %d", i, p);
        }
    }
}
END_TEST

/* 0.7 x 10 and 0.6 x 5 are not whole in binary: 7 of 10 and 3 of 5 must still be enough. */
START_TEST(test_success__exact_at_every_distance)
{
    const RbSuccessProfile college = rb_success_profile_college();
    for (int distance = 1; distance <= 99; distance++) {
        const int need = (7 * distance + 9) / 10;
        ck_assert(rb_success_gain(college, 2, distance, need));
        ck_assert(!rb_success_gain(college, 2, distance, need - 1));
    }
    ck_assert(!rb_success_gain(college, 3, 5, -12));
}
END_TEST

static RbSnap *second_and_8(RbResult result, RbEnding ending, int gain)
{
    RbSnap *snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    snap->situation.phase = RB_PHASE_SCRIMMAGE;
    snap->situation.down = 2;
    snap->situation.distance = 8;
    snap->result = result;
    snap->ending = ending;
    snap->has_gain = RB_YES;
    snap->gain = gain;
    return snap;
}

static void check_snap(RbSnap *taken, bool want, bool want_known)
{
    g_autoptr(RbSnap) snap = taken;
    bool known = !want_known;
    const bool success = rb_success_snap(rb_success_profile_default(), snap, &known);
    ck_assert_int_eq(success, want);
    ck_assert_int_eq(known, want_known);
}

START_TEST(test_success__endings_outweigh_the_gain)
{
    check_snap(second_and_8(RB_RESULT_COMPLETE, RB_ENDING_NONE, 5), true, true);
    check_snap(second_and_8(RB_RESULT_COMPLETE, RB_ENDING_NONE, 4), false, true);
    check_snap(second_and_8(RB_RESULT_COMPLETE, RB_ENDING_TOUCHDOWN, 3), true, true);
    check_snap(second_and_8(RB_RESULT_COMPLETE, RB_ENDING_FUMBLE_LOST, 30), false, true);
    check_snap(second_and_8(RB_RESULT_INTERCEPTED, RB_ENDING_NONE, 30), false, true);
    check_snap(second_and_8(RB_RESULT_INTERCEPTED, RB_ENDING_TOUCHDOWN_AGAINST, -60),
               false, true);
    check_snap(second_and_8(RB_RESULT_SACK, RB_ENDING_SAFETY, -8), false, true);
    check_snap(second_and_8(RB_RESULT_NO_PLAY, RB_ENDING_NONE, 20), false, false);
}
END_TEST

START_TEST(test_success__what_is_missing_is_not_known)
{
    RbSnap *snap = second_and_8(RB_RESULT_COMPLETE, RB_ENDING_NONE, 20);
    snap->situation.down = 0;
    check_snap(snap, false, false);
    snap = second_and_8(RB_RESULT_COMPLETE, RB_ENDING_NONE, 20);
    snap->situation.distance = 0;
    check_snap(snap, false, false);
    snap = second_and_8(RB_RESULT_COMPLETE, RB_ENDING_NONE, 20);
    snap->has_gain = RB_YES_NO_UNKNOWN;
    check_snap(snap, false, false);
    /* Nobody caught it: the gain is 0 without being tagged. */
    snap = second_and_8(RB_RESULT_INCOMPLETE, RB_ENDING_NONE, 0);
    snap->has_gain = RB_YES_NO_UNKNOWN;
    check_snap(snap, false, true);
}
END_TEST

TCase *rb_case_success(void)
{
    TCase *tcase = rb_case_new("success");
    tcase_add_test(tcase, test_success__vectors_of_three_profiles);
    tcase_add_test(tcase, test_success__exact_at_every_distance);
    tcase_add_test(tcase, test_success__endings_outweigh_the_gain);
    tcase_add_test(tcase, test_success__what_is_missing_is_not_known);
    return tcase;
}
