/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/random.h"

#include "film/snap-look.h"
#include "film/snap-onset.h"
#include "suite.h"

TCase *rb_case_snap_finder(void);

/* A smooth ground with grain, as a camera sees it that was moved. */
static void paint(SnapView *view, const SnapCamera *camera, uint64_t grain)
{
    RbRandom random;
    rb_random_seed(&random, grain);
    for (int y = 0; y < SNAP_HEIGHT; y++) {
        for (int x = 0; x < SNAP_WIDTH; x++) {
            /* What the camera shows at u was at x = the inverse of the motion. */
            const double u = (x - SNAP_WIDTH / 2.0 - camera->dx) / (1 + camera->zoom);
            const double v = (y - SNAP_HEIGHT / 2.0 - camera->dy) / (1 + camera->zoom);
            const double level =
                120 + 40 * sin(u / 7) * cos(v / 5) + 25 * sin(u / 19 + v / 11);
            view->pixels[y * SNAP_WIDTH + x] =
                (uint8_t)(level + rb_random_int(&random, -2, 2));
        }
    }
}

/* A man of the size of a block or two. */
static void paint_man(SnapView *view, int x, int y)
{
    for (int v = y; v < y + 12; v++) {
        for (int u = x; u < x + 5; u++) {
            if (u >= 0 && v >= 0 && u < SNAP_WIDTH && v < SNAP_HEIGHT) {
                view->pixels[v * SNAP_WIDTH + u] = 235;
            }
        }
    }
}

static int count_over(const float blocks[SNAP_BLOCKS], float least)
{
    int n = 0;
    for (int i = 0; i < SNAP_BLOCKS; i++) {
        n += blocks[i] > least;
    }
    return n;
}

/* Pan, tilt and zoom are found to a fraction of a pixel, and explain the picture. */
START_TEST(test_snap_finder__camera_is_taken_out)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(820));
    SnapView a;
    SnapView b;
    float blocks[SNAP_BLOCKS];
    paint(&a, &(SnapCamera){ 0, 0, 0 }, 1);
    for (int round = 0; round < 30; round++) {
        const SnapCamera truth = { rb_random_int(&random, -25, 25) / 10.0,
                                   rb_random_int(&random, -15, 15) / 10.0,
                                   rb_random_int(&random, -10, 10) / 1000.0 };
        SnapCamera found = { 0, 0, 0 };
        paint(&b, &truth, 2 + (uint64_t)round);
        rb_snap_camera_fit(&a, &b, &found);
        ck_assert_double_eq_tol(found.dx, truth.dx, 0.05);
        ck_assert_double_eq_tol(found.dy, truth.dy, 0.05);
        ck_assert_double_eq_tol(found.zoom, truth.zoom, 0.002);
        rb_snap_blocks(&a, &b, &found, blocks);
        ck_assert_int_eq(count_over(blocks, 4), 0);
    }
}
END_TEST

/* A man who moves while the camera pans is seen where he is, and he alone. */
START_TEST(test_snap_finder__a_man_is_seen_in_a_pan)
{
    SnapView a;
    SnapView b;
    float blocks[SNAP_BLOCKS];
    const SnapCamera pan = { 1.7, 0.4, 0 };
    SnapCamera found = { 0, 0, 0 };
    paint(&a, &(SnapCamera){ 0, 0, 0 }, 1);
    paint(&b, &pan, 2);
    paint_man(&a, 100, 60);
    paint_man(&b, 106, 60);
    rb_snap_camera_fit(&a, &b, &found);
    ck_assert_double_eq_tol(found.dx, pan.dx, 0.1);
    rb_snap_blocks(&a, &b, &found, blocks);
    for (int i = 0; i < SNAP_BLOCKS; i++) {
        const int x = i % SNAP_COLUMNS * SNAP_BLOCK_WIDTH;
        const int y = i / SNAP_COLUMNS * SNAP_BLOCK_HEIGHT;
        const bool his = x > 85 && x < 115 && y > 50 && y < 75;
        ck_assert_msg(his || blocks[i] < 5, "block %d, %d: %.1f", x, y, blocks[i]);
    }
    ck_assert_int_ge(count_over(blocks, 8), 2);
}
END_TEST

/* Nothing to hold on to: no motion, and no division by zero. */
START_TEST(test_snap_finder__a_black_picture_has_no_motion)
{
    SnapView a;
    SnapCamera found = { 0, 0, 0 };
    memset(a.pixels, 16, sizeof a.pixels);
    rb_snap_camera_fit(&a, &a, &found);
    ck_assert_double_eq_tol(found.dx, 0, 1e-9);
    ck_assert_double_eq_tol(found.zoom, 0, 1e-9);
}
END_TEST

/* A clip of 30 pictures a second as a list of stretches: how long, how many blocks move. */
typedef struct {
    double seconds;
    double moving;
} Stretch;

#define POINTS 600

static int draw(RbRandom *random, const Stretch *stretches, size_t n,
                SnapActivity activity[POINTS])
{
    int count = 0;
    for (size_t s = 0; s < n; s++) {
        for (int i = 0; i < (int)(stretches[s].seconds * 30) && count < POINTS; i++) {
            const double wobble = 1 + rb_random_normal(random, 0, 0.2);
            activity[count].us = count * INT64_C(33367);
            activity[count].moving = (float)fmax(0, stretches[s].moving * wobble +
                                                        rb_random_normal(random, 0, 0.5));
            count++;
        }
    }
    return count;
}

/* What is right here is the start of one of the stretches; -1: there is no snap. */
static const struct {
    const char *what;
    Stretch stretches[8];
    int right;
} clips[] = {
    { "walk up, set, play", { { 1, 25 }, { 1.2, 0 }, { 4, 30 } }, 2 },
    { "one man in motion", { { 1, 20 }, { 1, 0 }, { 1.5, 3 }, { 3, 28 } }, 3 },
    { "a shift", { { 1, 20 }, { 1, 0 }, { 1, 4 }, { 1, 0 }, { 3, 30 } }, 4 },
    { "a false start",
      { { 1, 20 }, { 1, 0 }, { 0.5, 22 }, { 0.8, 9 }, { 1.2, 0 }, { 4, 28 } },
      5 },
    { "play, then all stand", { { 1.2, 0 }, { 3, 30 }, { 2, 4 } }, 1 },
    { "play, then all go back", { { 1.2, 0 }, { 3, 30 }, { 1, 3 }, { 2, 16 } }, 1 },
    { "the clip starts late", { { 0.5, 1 }, { 4, 30 }, { 1, 5 } }, 1 },
    { "nobody moves", { { 6, 1 } }, -1 },
    { "one man walks by", { { 2, 0 }, { 3, 1 }, { 1, 0 } }, -1 },
};

START_TEST(test_snap_finder__told_from_what_looks_like_it)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(821));
    for (int round = 0; round < 400; round++) {
        const int which = round % (int)G_N_ELEMENTS(clips);
        SnapActivity activity[POINTS];
        const int n = draw(&random, clips[which].stretches, 8, activity);
        const SnapOnset onset = rb_snap_onset(activity, n);
        if (clips[which].right < 0) {
            ck_assert_msg(onset.at < 0 || onset.sure < 0.5, "%s: %d, %.2f",
                          clips[which].what, onset.at, onset.sure);
            continue;
        }
        int start = 0;
        for (int s = 0; s < clips[which].right; s++) {
            start += (int)(clips[which].stretches[s].seconds * 30);
        }
        ck_assert_msg(abs(onset.at - start) <= 1, "%s: %d, not %d", clips[which].what,
                      onset.at, start);
        ck_assert_double_ge(onset.sure, 0.5);
        ck_assert_double_le(onset.sure, 1);
    }
}
END_TEST

/* Whatever comes in: a place in it or none. */
START_TEST(test_snap_finder__any_curve_has_an_answer)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(822));
    for (int round = 0; round < 500; round++) {
        SnapActivity activity[40];
        const int n = rb_random_int(&random, 0, 39);
        int64_t us = 0;
        for (int i = 0; i < n; i++) {
            us += rb_random_int(&random, 0, 200000);
            activity[i] = (SnapActivity){ us, (float)rb_random_int(&random, 0, 360) };
        }
        const SnapOnset onset = rb_snap_onset(activity, n);
        ck_assert_int_ge(onset.at, -1);
        ck_assert_int_lt(onset.at, MAX(n, 1));
        ck_assert(onset.sure >= 0 && onset.sure <= 1);
    }
}
END_TEST

START_TEST(test_snap_finder__step_of_a_fine_curve)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(823));
    for (int at = 3; at < 18; at++) {
        SnapActivity activity[22];
        for (int i = 0; i < 22; i++) {
            activity[i].us = i * 16683;
            activity[i].moving =
                (float)((i < at ? 2 : 20) + rb_random_int(&random, 0, 4));
        }
        ck_assert_int_eq(rb_snap_step(activity, 22), at);
    }
}
END_TEST

TCase *rb_case_snap_finder(void)
{
    TCase *tcase = rb_case_new("snap-finder");
    tcase_set_tags(tcase, "found");
    tcase_add_test(tcase, test_snap_finder__camera_is_taken_out);
    tcase_add_test(tcase, test_snap_finder__a_man_is_seen_in_a_pan);
    tcase_add_test(tcase, test_snap_finder__a_black_picture_has_no_motion);
    tcase_add_test(tcase, test_snap_finder__told_from_what_looks_like_it);
    tcase_add_test(tcase, test_snap_finder__any_curve_has_an_answer);
    tcase_add_test(tcase, test_snap_finder__step_of_a_fine_curve);
    return tcase;
}
