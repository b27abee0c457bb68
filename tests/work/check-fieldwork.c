/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/field/camera.h"
#include "rb/work/fieldwork.h"

#include "suite.h"

TCase *rb_case_fieldwork(void);

enum { WIDTH = 1920, HEIGHT = 1080 };

/* A camera at the 50 that looks at the yard line `at`. */
static RbHomography ground(double at)
{
    RbCamera camera = { .position = { 50, -35, 16 }, .width = WIDTH, .height = HEIGHT };
    rb_camera_aim(&camera, (RbPoint3){ at, 24, 0 });
    rb_camera_frame_width(&camera, (RbPoint3){ at, 24, 0 }, 44);
    const RbProjection projection = rb_camera_projection(&camera);
    return rb_projection_ground(&projection);
}

static RbPoint2 show(double at, RbPoint2 field)
{
    const RbHomography map = ground(at);
    RbPoint2 pixel = { 0.0, 0.0 };
    ck_assert(rb_homography_apply(&map, field, &pixel));
    return pixel;
}

/* Clicks the mark that is asked for, where it is. */
static void click_next(RbFieldwork *work, double at)
{
    const RbFieldMark *next = rb_fieldwork_get_next(work);
    RbSighting sighting;
    ck_assert_ptr_nonnull(next);
    ck_assert(rb_field_mark_resolve(RB_FIELD_COLLEGE, next, &sighting));
    const RbPoint2 on =
        next->is_line ? (RbPoint2){ sighting.field[0].x, 25.0 } : sighting.field[0];
    rb_fieldwork_click(work, show(at, on));
}

static RbFieldwork *marked(int marks)
{
    RbFieldwork *work = rb_fieldwork_new(RB_RULES_COLLEGE, WIDTH, HEIGHT, 42);
    rb_fieldwork_set_frame(work, 100, 2.0, 0.02);
    for (int i = 0; i < marks; i++) {
        click_next(work, 42);
    }
    return work;
}

static bool says(const RbFieldwork *work, const char *words)
{
    g_autofree char *sentence = rb_fieldwork_get_sentence(work);
    return strstr(sentence, words) != NULL;
}

START_TEST(test_fieldwork__four_proposed_marks_make_a_view)
{
    RbFieldwork *work = rb_fieldwork_new(RB_RULES_COLLEGE, WIDTH, HEIGHT, 42);
    /* The hash of the nearest yard line by fives first. */
    ck_assert(says(work, "Mark 1: click the near hash at the left 40."));
    click_next(work, 42);
    ck_assert(says(work, "Mark 2: click the far hash at the left 40."));
    click_next(work, 42);
    ck_assert_ptr_null(rb_fieldwork_get_view(work));
    click_next(work, 42);
    ck_assert(says(work, "Mark 4"));
    click_next(work, 42);
    ck_assert_ptr_nonnull(rb_fieldwork_get_view(work));
    ck_assert(says(work, "The view stands"));
    /* The fifth is where the view shows it, and farther off than any click is from another. */
    const RbFieldMark *fifth = rb_fieldwork_get_next(work);
    RbSighting sighting;
    ck_assert(rb_field_mark_resolve(RB_FIELD_COLLEGE, fifth, &sighting));
    const RbPoint2 there = show(42, sighting.field[0]);
    ck_assert_double_lt(hypot(there.x - fifth->pixel.x, there.y - fifth->pixel.y), 0.5);
    for (int i = 0; i < 6; i++) {
        click_next(work, 42);
    }
    ck_assert_double_lt(rb_fieldwork_get_view(work)->rms, 0.01);
    rb_fieldwork_free(work);
}
END_TEST

START_TEST(test_fieldwork__another_mark_by_a_key)
{
    RbFieldwork *work = rb_fieldwork_new(RB_RULES_COLLEGE, WIDTH, HEIGHT, 40);
    rb_fieldwork_turn_line(work, 1);
    ck_assert(says(work, "near hash at the left 45."));
    rb_fieldwork_turn_half(work);
    ck_assert(says(work, "far hash at the left 45."));
    rb_fieldwork_turn_end(work);
    ck_assert(says(work, "far hash at the right 45."));
    rb_fieldwork_turn_kind(work, RB_LANDMARK_NUMBER_TOP); /* by tens */
    ck_assert(says(work, "far top of the numbers at the 50."));
    rb_fieldwork_turn_line(work, -1);
    ck_assert(says(work, "far top of the numbers at the left 40."));
    rb_fieldwork_turn_kind(work, RB_LANDMARK_SIDELINE);
    rb_fieldwork_turn_to_line(work);
    ck_assert(says(work, "left 40-yard line."));
    rb_fieldwork_turn_to_line(work);
    ck_assert(says(work, "far sideline."));
    rb_fieldwork_turn_to_line(work);
    ck_assert(says(work, "far sideline at the left 40."));
    for (int i = 0; i < 60; i++) {
        rb_fieldwork_turn_line(work, 1); /* not past the end of the field */
    }
    ck_assert(says(work, "right"));
    rb_fieldwork_free(work);
}
END_TEST

START_TEST(test_fieldwork__nudged_and_taken_back)
{
    RbFieldwork *work = marked(5);
    const double before = rb_fieldwork_get_view(work)->rms;
    RbPoint2 last;
    RbPoint2 moved;
    ck_assert(rb_fieldwork_get_last(work, &last));
    rb_fieldwork_nudge(work, 20, 0);
    ck_assert(rb_fieldwork_get_last(work, &moved));
    ck_assert_double_eq_tol(moved.x - last.x, 20.0, 1e-9);
    ck_assert_double_gt(rb_fieldwork_get_view(work)->rms, before + 0.3);
    rb_fieldwork_nudge(work, -20, 0);
    ck_assert_double_lt(rb_fieldwork_get_view(work)->rms, before + 0.01);
    const RbFieldMark *marks = NULL;
    ck_assert_int_eq(rb_fieldwork_get_marks(work, &marks), 5);
    for (int n = 4; n >= 0; n--) {
        ck_assert(rb_fieldwork_take_back(work));
        ck_assert_int_eq(rb_fieldwork_get_marks(work, &marks), n);
        ck_assert_int_eq(rb_fieldwork_get_view(work) != NULL, n >= 4);
    }
    ck_assert(!rb_fieldwork_take_back(work));
    rb_fieldwork_measure(work, RB_MEASURE_CUSHION, RB_SIDE_LEFT); /* no view: not yet */
    ck_assert_int_eq(rb_fieldwork_get_phase(work), RB_FIELDWORK_MARKING);
    rb_fieldwork_free(work);
}
END_TEST

START_TEST(test_fieldwork__a_cushion_is_measured)
{
    RbFieldwork *work = marked(5);
    rb_fieldwork_measure(work, RB_MEASURE_CUSHION, RB_SIDE_RIGHT);
    ck_assert(says(work, "Right cushion: click the receiver's feet."));
    rb_fieldwork_click(work, show(42, (RbPoint2){ 40.5, 10.0 }));
    ck_assert(says(work, "Right cushion: click the corner's feet."));
    rb_fieldwork_click(work, show(42, (RbPoint2){ 46.7, 11.0 }));
    ck_assert_int_eq(rb_fieldwork_get_phase(work), RB_FIELDWORK_MEASURED);
    const RbFilmMeasure *measure = rb_fieldwork_get_measure(work);
    ck_assert_int_eq(measure->value, 6200);
    ck_assert(measure->sd > 20 && measure->sd < 400);
    ck_assert_int_eq(measure->side, RB_SIDE_RIGHT);
    ck_assert(measure->frame_1 == 100 && measure->frame_2 == 100);
    ck_assert(says(work, "Right cushion: 6.2 ± "));
    ck_assert(rb_fieldwork_take_back(work));
    ck_assert_int_eq(rb_fieldwork_get_phase(work), RB_FIELDWORK_MEASURING);
    g_autoptr(RbFieldView) view =
        rb_fieldwork_make_view(work, (RbFilmId){ 7 }, 100, (RbTime){ 5, { 1, 50 } });
    ck_assert_uint_eq(view->sights->len, 5);
    RbCalibration c;
    ck_assert(rb_field_view_fit(view, &c, NULL)); /* what is kept gives the view again */
    rb_fieldwork_free(work);
}
END_TEST

/* The camera turned between the two clicks: each stands on its own frame's view. */
START_TEST(test_fieldwork__two_moments)
{
    RbFieldwork *work = marked(6);
    RbFieldwork *later = rb_fieldwork_new(RB_RULES_COLLEGE, WIDTH, HEIGHT, 52);
    for (int i = 0; i < 6; i++) {
        click_next(later, 52);
    }
    rb_fieldwork_measure(work, RB_MEASURE_SPEED, RB_SIDE_UNKNOWN);
    rb_fieldwork_click(work, show(42, (RbPoint2){ 40.0, 12.0 }));
    rb_fieldwork_set_frame(work, 150, 3.0, 0.02);
    rb_fieldwork_set_view(work, rb_fieldwork_get_view(later), false);
    rb_fieldwork_click(work, show(52, (RbPoint2){ 46.0, 20.0 }));
    const RbFilmMeasure *measure = rb_fieldwork_get_measure(work);
    ck_assert_int_eq(rb_fieldwork_get_phase(work), RB_FIELDWORK_MEASURED);
    ck_assert(ABS(measure->value - 10000) < 30); /* ten yards in a second */
    ck_assert(measure->frame_1 == 100 && measure->frame_2 == 150);
    /* On one frame there is no speed. */
    rb_fieldwork_measure(work, RB_MEASURE_SPEED, RB_SIDE_UNKNOWN);
    rb_fieldwork_click(work, show(52, (RbPoint2){ 40.0, 12.0 }));
    rb_fieldwork_click(work, show(52, (RbPoint2){ 46.0, 20.0 }));
    ck_assert_int_eq(rb_fieldwork_get_phase(work), RB_FIELDWORK_MEASURING);
    ck_assert(says(work, "two moments"));
    rb_fieldwork_free(work);
    rb_fieldwork_free(later);
}
END_TEST

START_TEST(test_fieldwork__a_loose_view_measures_nothing)
{
    RbFieldwork *work = marked(5);
    rb_fieldwork_measure(work, RB_MEASURE_LENGTH, RB_SIDE_UNKNOWN);
    const RbCalibration view = *rb_fieldwork_get_view(work);
    rb_fieldwork_set_view(work, &view, true);
    ck_assert(says(work, "too loose"));
    rb_fieldwork_click(work, show(42, (RbPoint2){ 40.0, 12.0 }));
    RbPoint2 places[2];
    ck_assert_int_eq(rb_fieldwork_get_places(work, places), 0);
    rb_fieldwork_set_view(work, &view, false);
    rb_fieldwork_click(work, show(42, (RbPoint2){ 40.0, 12.0 }));
    ck_assert_int_eq(rb_fieldwork_get_places(work, places), 1);
    rb_fieldwork_free(work);
}
END_TEST

/* A high-school field marked as a college one: its hashes lie 17 ft 9 in apart from where they are
 * said to be (NFHS and NCAA rules: 53 ft 4 in and 60 ft from the sideline). */
START_TEST(test_fieldwork__another_field_is_noticed)
{
    RbFieldwork *work = rb_fieldwork_new(RB_RULES_COLLEGE, WIDTH, HEIGHT, 42);
    bool noticed = false;
    for (int i = 0; i < 10 && !noticed; i++) {
        const RbFieldMark *next = rb_fieldwork_get_next(work);
        RbSighting sighting;
        if (i ==
            2) { /* marks of two kinds: hashes alone fit any field but for its width */
            rb_fieldwork_turn_kind(work, RB_LANDMARK_SIDELINE);
        }
        next = rb_fieldwork_get_next(work);
        ck_assert(rb_field_mark_resolve(RB_FIELD_HIGH_SCHOOL, next, &sighting));
        rb_fieldwork_click(work, show(42, sighting.field[0]));
        noticed = says(work, "fit a high school field far better than a college one");
    }
    ck_assert(noticed);
    rb_fieldwork_free(work);
}
END_TEST

/* The nearest one without a key, any other by the keys for marks. */
START_TEST(test_fieldwork__the_distance_to_a_landmark)
{
    RbFieldwork *work = marked(6);
    ck_assert_ptr_null(rb_fieldwork_get_target(work));
    rb_fieldwork_measure(work, RB_MEASURE_LANDMARK, RB_SIDE_UNKNOWN);
    ck_assert(says(work, "click the man's feet"));
    /* Three yards up the field from the near hash (20 yd in, NCAA) at the 40, four across. */
    rb_fieldwork_click(work, show(42, (RbPoint2){ 37.6, 16.8 }));
    ck_assert(says(work, "To the near hash at the left 40: 4.0 ±"));
    const RbFilmMeasure *measure = rb_fieldwork_get_measure(work);
    ck_assert_str_eq(measure->name, "near-hash-l40");
    rb_fieldwork_turn_line(work, -1);
    ck_assert(says(work, "near hash at the left 35"));
    ck_assert_int_lt(ABS(rb_fieldwork_get_measure(work)->value - 4123),
                     30); /* 2.6, 3.2 */
    rb_fieldwork_turn_kind(work, RB_LANDMARK_NUMBER_TOP);
    rb_fieldwork_turn_to_line(work);
    rb_fieldwork_turn_to_line(work);
    ck_assert(says(work, "To the near tops of the numbers: 7.8 ±")); /* 9 yd in */
    ck_assert_str_eq(rb_fieldwork_get_measure(work)->name, "line-near-top");
    /* The marks are what they were, and a choice stays when the place is nudged. */
    ck_assert_str_eq(rb_fieldwork_get_measure(work)->name, "line-near-top");
    rb_fieldwork_nudge(work, 3, 0);
    ck_assert_str_eq(rb_fieldwork_get_measure(work)->name, "line-near-top");
    const RbFieldMark *marks = NULL;
    ck_assert_int_eq(rb_fieldwork_get_marks(work, &marks), 6);
    rb_fieldwork_measure(work, RB_MEASURE_LENGTH, RB_SIDE_UNKNOWN);
    ck_assert_ptr_null(rb_fieldwork_get_target(work));
    rb_fieldwork_free(work);
}
END_TEST

START_TEST(test_fieldwork__a_kept_view_is_taken_up_again)
{
    RbFieldwork *work = marked(6);
    g_autoptr(RbFieldView) view =
        rb_fieldwork_make_view(work, (RbFilmId){ 7 }, 100, (RbTime){ 4, { 1, 50 } });
    RbFieldwork *later = rb_fieldwork_new(RB_RULES_COLLEGE, WIDTH, HEIGHT, 20);
    ck_assert(!rb_fieldwork_is_kept(later));
    ck_assert(rb_fieldwork_load(later, view));
    ck_assert(rb_fieldwork_is_kept(later));
    const RbFieldMark *marks = NULL;
    ck_assert_int_eq(rb_fieldwork_get_marks(later, &marks), 6);
    for (int i = 0; i < 9; i++) { /* pixels are kept in hundredths */
        ck_assert_double_eq_tol(
            rb_fieldwork_get_view(later)->map.m[i], rb_fieldwork_get_view(work)->map.m[i],
            1e-3 * fabs(rb_fieldwork_get_view(work)->map.m[i]) + 1e-6);
    }
    ck_assert(says(later, "The view stands"));
    click_next(later, 42); /* one more: it is another view now */
    ck_assert(!rb_fieldwork_is_kept(later));
    ck_assert_int_eq(rb_fieldwork_get_marks(later, &marks), 7);
    rb_fieldwork_begin_anew(later, 20);
    ck_assert_ptr_null(rb_fieldwork_get_view(later));
    ck_assert(says(later, "Mark 1: click the near hash at the left 20."));
    /* Of a picture of another size, or with a mark that no field has: not taken. */
    view->width /= 2;
    ck_assert(!rb_fieldwork_load(later, view));
    view->width *= 2;
    g_strlcpy(g_array_index(view->sights, RbFieldSight, 0).name, "near-hash-x1",
              RB_SIGHT_NAME_BYTES);
    ck_assert(!rb_fieldwork_load(later, view));
    ck_assert_ptr_null(rb_fieldwork_get_view(later));
    rb_fieldwork_free(work);
    rb_fieldwork_free(later);
}
END_TEST

START_TEST(test_fieldwork__lengths_in_the_unit_that_was_chosen)
{
    RbFieldwork *work = marked(6);
    rb_fieldwork_measure(work, RB_MEASURE_LENGTH, RB_SIDE_UNKNOWN);
    rb_fieldwork_click(work, show(42, (RbPoint2){ 36.0, 20.0 }));
    rb_fieldwork_click(work, show(42, (RbPoint2){ 46.0, 20.0 }));
    ck_assert(says(work, "Length: 10.0 ±"));
    rb_fieldwork_set_unit(work, RB_UNIT_FEET);
    ck_assert(says(work, "Length: 30.0 ±"));
    rb_fieldwork_set_unit(work, RB_UNIT_METRES);
    ck_assert(says(work, "Length: 9.1 ±"));
    rb_fieldwork_free(work);
}
END_TEST

TCase *rb_case_fieldwork(void)
{
    TCase *tcase = rb_case_new("fieldwork");
    tcase_add_test(tcase, test_fieldwork__four_proposed_marks_make_a_view);
    tcase_add_test(tcase, test_fieldwork__another_mark_by_a_key);
    tcase_add_test(tcase, test_fieldwork__nudged_and_taken_back);
    tcase_add_test(tcase, test_fieldwork__a_cushion_is_measured);
    tcase_add_test(tcase, test_fieldwork__two_moments);
    tcase_add_test(tcase, test_fieldwork__a_loose_view_measures_nothing);
    tcase_add_test(tcase, test_fieldwork__another_field_is_noticed);
    tcase_add_test(tcase, test_fieldwork__the_distance_to_a_landmark);
    tcase_add_test(tcase, test_fieldwork__a_kept_view_is_taken_up_again);
    tcase_add_test(tcase, test_fieldwork__lengths_in_the_unit_that_was_chosen);
    return tcase;
}
