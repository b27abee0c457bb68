/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The release as it is judged: from the marks of a clip, with what their pictures leave open. */
#include "rb/model/film.h"

#include "judging.h"
#include "suite.h"

TCase *rb_case_judging(void);

static RbClip *clip_with(RbTime snap, int64_t snap_frame, RbTime release,
                         int64_t release_frame)
{
    RbClip *clip =
        rb_clip_new((RbClipId){ 1 }, (RbSnapId){ 1 }, (RbFilmId){ 1 }, RB_ANGLE_WIDE);
    const RbMark marks[] = {
        { .kind = RB_MARK_SNAP, .frame = snap_frame, .time = snap },
        { .kind = RB_MARK_RELEASE, .frame = release_frame, .time = release },
    };
    clip->first_time = (RbTime){ 0, { 1001, 30000 } };
    g_array_append_vals(clip->marks, marks, 2);
    return clip;
}

static void expect(RbClip *clip, int ms, int pm_ms)
{
    RbChart *chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    g_autoptr(GPtrArray) clips = g_ptr_array_new();
    g_ptr_array_add(clips, clip);
    chart->release_ms = 9999; /* typed: the marks count for more */
    chart->release_pm_ms = 999;
    RbChart *judged = rb_chart_for_judging(chart, NULL, clips);
    ck_assert_int_eq(judged->release_ms, ms);
    ck_assert_int_eq(judged->release_pm_ms, pm_ms);
    rb_chart_free(judged);
    rb_chart_free(chart);
    rb_clip_free(clip);
}

/* 30000/1001 frames a second: 33.37 ms each, fields 16.68 ms. */
START_TEST(test_judging__a_release_is_right_to_a_frame)
{
    expect(clip_with((RbTime){ 30, { 1001, 30000 } }, 30,
                     (RbTime){ 105, { 1001, 30000 } }, 105),
           2503, 34);
}
END_TEST

START_TEST(test_judging__on_interlaced_film_to_a_field)
{
    /* From the second field of frame 30 to the first of frame 105: 149 fields. */
    expect(clip_with((RbTime){ 61, { 1001, 60000 } }, 30,
                     (RbTime){ 210, { 1001, 60000 } }, 105),
           2486, 17);
    /* A mark of an older library is the frame's: the span is right to a frame then. */
    expect(clip_with((RbTime){ 30, { 1001, 30000 } }, 30,
                     (RbTime){ 210, { 1001, 60000 } }, 105),
           2503, 34);
}
END_TEST

START_TEST(test_judging__marks_that_do_not_follow_each_other_are_not_used)
{
    expect(clip_with((RbTime){ 105, { 1001, 30000 } }, 105,
                     (RbTime){ 30, { 1001, 30000 } }, 30),
           9999, 999);
    expect(clip_with((RbTime){ 30, { 1001, 30000 } }, 30, (RbTime){ 30, { 1001, 30000 } },
                     30),
           9999, 999);
}
END_TEST

TCase *rb_case_judging(void)
{
    TCase *tcase = rb_case_new("judging");
    tcase_add_test(tcase, test_judging__a_release_is_right_to_a_frame);
    tcase_add_test(tcase, test_judging__on_interlaced_film_to_a_field);
    tcase_add_test(tcase, test_judging__marks_that_do_not_follow_each_other_are_not_used);
    return tcase;
}
