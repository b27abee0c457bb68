/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* MAP_ANONYMOUS */
/* Calibrations carried along film whose cameras are known. */
#include <math.h>
#include <stdlib.h>
#include <sys/mman.h>

#include "random-play.h"
#include "seen-field.h"
#include "suite.h"

TCase *rb_case_carried(void);

/* Four seconds of 60000/1001. */
enum { PAN_FRAMES = 240, MARKS = 6 };
#define CLICK_PX 1.5

/* Mean distance of the places of the men who are in the picture from where they are. */
static double error_at(const Scene *scene, RbAngle angle, int frame,
                       const RbCalibration *c, double *worst)
{
    double sum = 0.0;
    int n = 0;
    *worst = 0.0;
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        const RbPoint2 at = scene->action->poses[frame * RB_DEMO_PLAYERS + i].at;
        RbPoint2 pixel;
        RbPoint2 place;
        if (scene_show(scene, angle, frame, at, &pixel)) {
            const bool located = rb_calibration_locate(c, pixel, &place);
            const double error = located ? hypot(place.x - at.x, place.y - at.y) : 99.0;
            sum += error;
            *worst = MAX(*worst, error);
            n++;
        }
    }
    return n > 0 ? sum / n : 0.0;
}

typedef struct {
    int rounds;
    int clips;
    int near;    /* within 0.75 yd at the end */
    int flagged; /* loose or lost at the end */
    int silent;  /* farther off, and not flagged */
    int good;    /* near and not flagged */
} Tally;

static void carry(Scene *scene, RbAngle angle, uint64_t seed, Tally *sum)
{
    RbRandom random;
    rb_random_seed(&random, seed);
    const int first = scene->action->snap;
    const int last = MIN(first + PAN_FRAMES, scene->action->frames - 1);
    RbSighting sightings[MARKS];
    const int n = scene_click(scene, angle, first, MARKS, CLICK_PX, &random, sightings);
    RbCalibration c;
    if (n < 4 ||
        !rb_calibration_fit(sightings, n, RB_DEMO_WIDTH, RB_DEMO_HEIGHT, &c, NULL)) {
        return; /* nothing to carry */
    }
    double worst = 0.0;
    const double start = error_at(scene, angle, first, &c, &worst);
    RbCarrier *carrier =
        rb_carrier_new(scene->plan.code, &c, scene_draw(scene, angle, first));
    for (int frame = first + 1; frame <= last; frame++) {
        rb_carrier_step(carrier, scene_draw(scene, angle, frame));
    }
    const RbCarryState state = rb_carrier_get_state(carrier);
    const double error =
        error_at(scene, angle, last, rb_carrier_get_calibration(carrier), &worst);
    printf(
        "%s: %d marks, %.2f yd at first, %.2f after %d frames (worst man %.2f), said %.2f, %d followed, %d found\n",
        angle == RB_ANGLE_WIDE ? "wide" : "tight", n, start, error, last - first, worst,
        rb_carrier_get_looseness(carrier), rb_carrier_get_followed(carrier),
        rb_carrier_get_found(carrier));
    fflush(stdout);
    const bool near = state != RB_CARRY_LOST && error < RB_CARRY_LOOSE_YD;
    sum->clips++;
    sum->near += near;
    sum->flagged += state != RB_CARRY_GOOD;
    sum->good += near && state == RB_CARRY_GOOD;
    sum->silent += !near && state == RB_CARRY_GOOD;
    rb_carrier_free(carrier);
}

/* Shared with the tests' processes: what the rounds came to. */
static Tally *tally;

static void share_tally(void)
{
    tally = mmap(NULL, sizeof *tally, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS,
                 -1, 0);
    ck_assert_ptr_ne(tally, MAP_FAILED);
}

static void drop_tally(void)
{
    munmap(tally, sizeof *tally);
}

static int rounds(void)
{
    return rb_test_is_long() ? 30 : rb_test_some(3);
}

/* One play by both cameras. Each round is a test of its own: Check keeps how long one took in
 * microseconds, in an int. */
START_TEST(test_carried__four_seconds_without_a_new_click)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(91));
    RbDemoPlay play = random_play(&random);
    for (int before = 0; before < _i; before++) {
        play = random_play(&random);
    }
    Scene scene;
    scene_init(&scene, RB_FIELD_COLLEGE, &play, (uint64_t)_i);
    const int silent = tally->silent;
    carry(&scene, RB_ANGLE_WIDE, 100 + (uint64_t)_i, tally);
    carry(&scene, RB_ANGLE_TIGHT, 200 + (uint64_t)_i, tally);
    scene_clear(&scene);
    tally->rounds++;
    ck_assert_int_eq(tally->silent, silent);
}
END_TEST

/* After the rounds, in the order in which they are added. */
START_TEST(test_carried__near_or_said)
{
    printf("carried: %d clips, %d near, %d flagged, %d off and not flagged\n",
           tally->clips, tally->near, tally->flagged, tally->silent);
    fflush(stdout);
    ck_assert_int_eq(tally->rounds, rounds());
    ck_assert_int_gt(tally->clips, rounds());
    ck_assert_int_ge(tally->good * 100, tally->clips * 80);
    ck_assert_int_eq(tally->silent, 0);
}
END_TEST

TCase *rb_case_carried(void)
{
    TCase *tcase = rb_case_new("carried");
    tcase_set_timeout(tcase, 1200); /* each, on a machine that has much else to do */
    tcase_add_unchecked_fixture(tcase, share_tally, drop_tally);
    tcase_add_loop_test(tcase, test_carried__four_seconds_without_a_new_click, 0,
                        rounds());
    tcase_add_test(tcase, test_carried__near_or_said);
    return tcase;
}
