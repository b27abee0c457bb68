/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A simulated person clicks marks and men on the demo's snaps, each 1.5 pixels off a coordinate;
 * the truth is the demo's cameras. */
#include <math.h>
#include <stdlib.h>

#include "rb/field/measure.h"

#include "random-play.h"
#include "seen-field.h"
#include "suite.h"

TCase *rb_case_measured_film(void);

enum { MARKS = 6, MEASURES = 5000, PER_VIEW = 10, DRAWS = 400 };
#define CLICK_PX 1.5

/* What one view's measures came to. */
typedef struct {
    int covered; /* of PER_VIEW */
} ViewTally;

typedef struct {
    GArray *views; /* owned, of ViewTally */
    int cushions;
    int near; /* cushions within half a yard */
} Tally;

static RbPoint2 missed(RbPoint2 pixel, RbRandom *random)
{
    return (RbPoint2){ pixel.x + rb_random_normal(random, 0.0, CLICK_PX),
                       pixel.y + rb_random_normal(random, 0.0, CLICK_PX) };
}

/* Measures from a man to a man; false when one is not in the picture. */
static bool measure_men(const Scene *scene, RbAngle angle, int from, int to,
                        RbLengthKind kind, const RbCalibration *c, RbRandom *random,
                        RbUncertain *measured, double *truth)
{
    const int frame = scene->action->snap;
    const RbDemoPose *poses = scene->action->poses + frame * RB_DEMO_PLAYERS;
    const RbPoint2 a = poses[from].at;
    const RbPoint2 b = poses[to].at;
    RbPoint2 pixels[2];
    if (from == to || !scene_show(scene, angle, frame, a, &pixels[0]) ||
        !scene_show(scene, angle, frame, b, &pixels[1])) {
        return false;
    }
    const RbClick clicks[2] = { { c, missed(pixels[0], random), CLICK_PX },
                                { c, missed(pixels[1], random), CLICK_PX } };
    *truth = kind == RB_LENGTH_ALONG    ? b.x - a.x
             : kind == RB_LENGTH_ACROSS ? b.y - a.y
                                        : hypot(b.x - a.x, b.y - a.y);
    return rb_measure_length(kind, &clicks[0], &clicks[1], measured);
}

/* The corners against the men they stand over. */
static void measure_cushions(const Scene *scene, RbAngle angle, const RbCalibration *c,
                             RbRandom *random, Tally *tally)
{
    const RbDemoPose *poses =
        scene->action->poses + scene->action->snap * RB_DEMO_PLAYERS;
    for (int corner = RB_DEMO_CORNER_LEFT; corner <= RB_DEMO_CORNER_RIGHT; corner++) {
        int over = RB_DEMO_FIRST_ELIGIBLE;
        for (int man = over; man < RB_DEMO_OFFENSE; man++) {
            if (fabs(poses[man].at.y - poses[corner].at.y) <
                fabs(poses[over].at.y - poses[corner].at.y)) {
                over = man;
            }
        }
        RbUncertain measured;
        double truth = 0.0;
        if (measure_men(scene, angle, over, corner, RB_LENGTH_ALONG, c, random, &measured,
                        &truth)) {
            tally->cushions++;
            tally->near += fabs(measured.value - truth) <= 0.5 ? 1 : 0;
        }
    }
}

static void measure_view(const Scene *scene, RbAngle angle, RbRandom *random,
                         Tally *tally)
{
    RbSighting sightings[MARKS];
    RbCalibration c;
    const int n = scene_click(scene, angle, scene->action->snap, MARKS, CLICK_PX, random,
                              sightings);
    if (n < 4 ||
        !rb_calibration_fit(sightings, n, RB_DEMO_WIDTH, RB_DEMO_HEIGHT, &c, NULL)) {
        return;
    }
    measure_cushions(scene, angle, &c, random, tally);
    ViewTally view = { 0 };
    int done = 0;
    for (int tries = 0; done < PER_VIEW && tries < 300; tries++) {
        RbUncertain measured;
        double truth = 0.0;
        const RbLengthKind kind =
            (RbLengthKind)rb_random_int(random, 0, RB_LENGTH_ACROSS);
        if (measure_men(scene, angle, rb_random_int(random, 0, RB_DEMO_PLAYERS - 1),
                        rb_random_int(random, 0, RB_DEMO_PLAYERS - 1), kind, &c, random,
                        &measured, &truth)) {
            view.covered +=
                fabs(measured.value - truth) <= rb_measured_half_width(&measured) ? 1 : 0;
            done++;
        }
    }
    if (done == PER_VIEW) {
        g_array_append_val(tally->views, view);
    }
}

static int compare_doubles(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* Share of covered measures, and the middle 95 % of it over views drawn anew: measures of one view
 * move together. */
static double covered(const Tally *tally, RbRandom *random, double ends[2])
{
    double shares[DRAWS];
    const int n = (int)tally->views->len;
    double sum = 0.0;
    for (int d = 0; d <= DRAWS; d++) {
        int hits = 0;
        for (int i = 0; i < n; i++) {
            const int at = d == DRAWS ? i : rb_random_int(random, 0, n - 1);
            hits += g_array_index(tally->views, ViewTally, (guint)at).covered;
        }
        const double share = (double)hits / (n * PER_VIEW);
        if (d < DRAWS) {
            shares[d] = share;
        } else {
            sum = share;
        }
    }
    qsort(shares, DRAWS, sizeof shares[0], compare_doubles);
    ends[0] = shares[DRAWS / 40];
    ends[1] = shares[DRAWS - DRAWS / 40 - 1];
    return sum;
}

START_TEST(test_measured_film__cushions_and_their_plus_or_minus)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(94));
    Tally tally = { g_array_new(FALSE, TRUE, sizeof(ViewTally)), 0, 0 };
    for (int round = 0; round < 2000 && tally.views->len < MEASURES / PER_VIEW; round++) {
        RbDemoPlay play = random_play(&random);
        Scene scene = { 0 };
        RbRandom own;
        rb_random_seed(&own, (uint64_t)round);
        rb_demo_plan_init(&scene.plan, RB_FIELD_COLLEGE, &play, &own);
        scene.action = rb_demo_action_new(&scene.plan, &own);
        measure_view(&scene, RB_ANGLE_WIDE, &random, &tally);
        measure_view(&scene, RB_ANGLE_TIGHT, &random, &tally);
        rb_demo_action_free(scene.action);
    }
    double ends[2];
    const double share = covered(&tally, &random, ends);
    printf("%u views, %.1f %% of %u measures within their plus or minus (%.1f to %.1f); "
           "%d of %d cushions within half a yard\n",
           tally.views->len, 100 * share, tally.views->len * PER_VIEW, 100 * ends[0],
           100 * ends[1], tally.near, tally.cushions);
    fflush(stdout);
    ck_assert_uint_ge(tally.views->len * PER_VIEW, MEASURES);
    ck_assert(ends[0] >= 0.75 && ends[1] <= 0.85);
    ck_assert_int_ge(tally.near * 10, tally.cushions * 9);
    g_array_unref(tally.views);
}
END_TEST

/* The release time from the marks of the demo's own clips, of either camera. */
START_TEST(test_measured_film__release_within_one_frame)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(95));
    int thrown = 0;
    for (int round = 0; round < 200; round++) {
        RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        const int snap = action->marks[RB_MARK_SNAP];
        const int release = action->marks[RB_MARK_RELEASE];
        if (snap < 0 || release < 0) {
            continue;
        }
        const double frame_s = RB_DEMO_STEP_S;
        const RbUncertain time =
            rb_measure_time(snap * frame_s, frame_s, release * frame_s, frame_s);
        ck_assert_double_le(fabs(time.value - plan.release_ms / 1000.0), frame_s);
        thrown++;
    }
    ck_assert_int_gt(thrown, 50);
}
END_TEST

TCase *rb_case_measured_film(void)
{
    TCase *tcase = rb_case_new("measured-film");
    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, test_measured_film__cushions_and_their_plus_or_minus);
    tcase_add_test(tcase, test_measured_film__release_within_one_frame);
    return tcase;
}
