/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Calibrations carried along film whose cameras are known. */
#include <math.h>
#include <stdlib.h>

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
    int clips;
    int near;    /* within 0.75 yd at the end */
    int flagged; /* loose or lost at the end */
    int silent;  /* farther off, and not flagged */
    int good;    /* near and not flagged */
} Tally;

static void carry(Scene *scene, RbAngle angle, uint64_t seed, Tally *tally)
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
    tally->clips++;
    tally->near += near;
    tally->flagged += state != RB_CARRY_GOOD;
    tally->good += near && state == RB_CARRY_GOOD;
    tally->silent += !near && state == RB_CARRY_GOOD;
    rb_carrier_free(carrier);
}

START_TEST(test_carried__four_seconds_without_a_new_click)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(91));
    Tally tally = { 0 };
    const int rounds = rb_test_is_long() ? 30 : 3;
    for (int round = 0; round < rounds; round++) {
        RbDemoPlay play = random_play(&random);
        Scene scene;
        scene_init(&scene, RB_FIELD_COLLEGE, &play, (uint64_t)round);
        carry(&scene, RB_ANGLE_WIDE, 100 + (uint64_t)round, &tally);
        carry(&scene, RB_ANGLE_TIGHT, 200 + (uint64_t)round, &tally);
        scene_clear(&scene);
    }
    printf("carried: %d clips, %d near, %d flagged, %d off and not flagged\n",
           tally.clips, tally.near, tally.flagged, tally.silent);
    fflush(stdout);
    ck_assert_int_ge(tally.good * 100, tally.clips * 80);
    ck_assert_int_eq(tally.silent, 0);
}
END_TEST

TCase *rb_case_carried(void)
{
    TCase *tcase = rb_case_new("carried");
    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, test_carried__four_seconds_without_a_new_click);
    return tcase;
}
