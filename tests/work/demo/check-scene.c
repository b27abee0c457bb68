/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "random-play.h"
#include "scene.h"
#include "suite.h"

TCase *rb_case_scene(void);

#define WIDTH RB_DEMO_WIDTH
#define HEIGHT RB_DEMO_HEIGHT

typedef struct {
    uint8_t y[WIDTH * HEIGHT];
    uint8_t u[WIDTH * HEIGHT / 4];
    uint8_t v[WIDTH * HEIGHT / 4];
} Picture;

typedef struct {
    RbDemoStadium *stadium;
    RbDemoMask *mask;
    RbDemoCast cast;
    RbDemoAction *action;
    RbDemoPlan plan;
} Set;

static void set_init(Set *set, RbFieldCode code, const RbDemoPlay *play, uint64_t seed)
{
    RbRandom random;
    set->stadium = rb_demo_stadium_new(code, seed);
    set->mask = rb_demo_mask_new(WIDTH, HEIGHT);
    rb_demo_cast_init(&set->cast, seed);
    rb_random_seed(&random, seed);
    rb_demo_plan_init(&set->plan, code, play, &random);
    set->action = rb_demo_action_new(&set->plan, &random);
}

static void set_clear(Set *set)
{
    rb_demo_stadium_free(set->stadium);
    rb_demo_mask_free(set->mask);
    rb_demo_action_free(set->action);
}

static void draw(const Set *set, RbAngle angle, int frame, Picture *picture)
{
    RbDemoCanvas canvas = { .stadium = set->stadium,
                            .mask = set->mask,
                            .frame = { WIDTH,
                                       HEIGHT,
                                       { picture->y, picture->u, picture->v },
                                       { WIDTH, WIDTH / 2, WIDTH / 2 } } };
    rb_demo_scene_draw(&canvas, set->action, &set->cast, angle, frame);
}

static int luma(const Picture *picture, RbPoint2 at)
{
    const int x = (int)floor(at.x);
    const int y = (int)floor(at.y);
    return x < 0 || y < 0 || x >= WIDTH || y >= HEIGHT ? -1 : picture->y[y * WIDTH + x];
}

/* True if no man stands where he might hide the point. */
static bool is_free(const Set *set, const RbProjection *projection, int frame,
                    RbPoint2 at)
{
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        const RbPoint2 man = set->action->poses[frame * RB_DEMO_PLAYERS + i].at;
        RbPoint2 image;
        if (rb_projection_apply(projection, (RbPoint3){ man.x, man.y, 1 }, &image,
                                NULL) &&
            fabs(image.x - at.x) < 45 && fabs(image.y - at.y) < 60) {
            return false;
        }
    }
    return true;
}

/* Points on the middle of the paint must be bright, those a yard beside it must not, by the
 * camera matrix that the truth gives. */
static void check_lines(const Set *set, RbAngle angle, int frame, int *seen, int *good)
{
    static Picture picture;
    draw(set, angle, frame, &picture);
    const RbCamera camera = rb_demo_scene_camera(set->action, angle, frame);
    const RbProjection projection = rb_camera_projection(&camera);
    for (int line = 5; line <= 95; line += 5) {
        for (double y = 15; y <= 38; y += 1.5) { /* clear of the numbers */
            RbPoint2 on;
            RbPoint2 beside;
            if (!rb_projection_apply(&projection, (RbPoint3){ line, y, 0 }, &on, NULL) ||
                !rb_projection_apply(&projection, (RbPoint3){ line + 0.5, y, 0 }, &beside,
                                     NULL)) {
                continue;
            }
            /* Far lines of the tight angle are thinner than a pixel. */
            const double scale = hypot(on.x - beside.x, on.y - beside.y);
            if (scale < 9 || luma(&picture, on) < 0 || luma(&picture, beside) < 0 ||
                !is_free(set, &projection, frame, on)) {
                continue;
            }
            (*seen)++;
            *good += luma(&picture, on) > luma(&picture, beside) + 45 ? 1 : 0;
        }
    }
}

START_TEST(test_scene__lines_are_where_the_matrix_says)
{
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        const RbDemoPlay play = sample_play();
        Set set;
        set_init(&set, (RbFieldCode)code, &play, 1);
        int seen = 0;
        int good = 0;
        for (int k = 0; k < 2; k++) {
            const RbAngle angle = k == 0 ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT;
            check_lines(&set, angle, set.action->snap, &seen, &good);
            check_lines(&set, angle, set.action->marks[RB_MARK_ARRIVAL], &seen, &good);
        }
        printf("lines: %d of %d\n", good, seen);
        ck_assert_int_gt(seen, 100);
        ck_assert_int_ge(good * 100, seen * 97);
        set_clear(&set);
    }
}
END_TEST

/* Hash strokes lie where the rule code puts them, and nowhere else. */
START_TEST(test_scene__hashes_by_rule_code)
{
    static Picture picture;
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        const RbDemoPlay play = sample_play();
        Set set;
        set_init(&set, (RbFieldCode)code, &play, 1);
        const int frame = set.action->snap;
        draw(&set, RB_ANGLE_WIDE, frame, &picture);
        const RbCamera camera = rb_demo_scene_camera(set.action, RB_ANGLE_WIDE, frame);
        const RbProjection projection = rb_camera_projection(&camera);
        for (int other = 0; other < RB_FIELD_CODES; other++) {
            const double y = rb_field_dimensions((RbFieldCode)other)->hash_yd;
            int bright = 0;
            int seen = 0;
            for (int line = 30; line <= 60; line += 5) {
                /* The arm of the stroke, off the yard line. */
                RbPoint2 at;
                RbPoint2 grass;
                ck_assert(rb_projection_apply(&projection, (RbPoint3){ line + 0.2, y, 0 },
                                              &at, NULL));
                ck_assert(rb_projection_apply(
                    &projection, (RbPoint3){ line + 0.2, y + 0.8, 0 }, &grass, NULL));
                if (luma(&picture, at) < 0 || !is_free(&set, &projection, frame, at)) {
                    continue;
                }
                seen++;
                bright += luma(&picture, at) > luma(&picture, grass) + 22 ? 1 : 0;
            }
            ck_assert_int_gt(seen, 1);
            if (code == other) {
                ck_assert_int_ge(bright * 100, seen * 80);
            } else {
                ck_assert_int_le(bright * 100, seen * 20);
            }
        }
        set_clear(&set);
    }
}
END_TEST

/* The frame with the ball against the same frame without it. */
static int ball_pixels(Set *set, RbAngle angle, int frame)
{
    static Picture with;
    static Picture without;
    draw(set, angle, frame, &with);
    const RbPoint3 kept = set->action->ball[frame];
    set->action->ball[frame] = (RbPoint3){ 50, -400, 0 };
    draw(set, angle, frame, &without);
    set->action->ball[frame] = kept;
    const RbCamera camera = rb_demo_scene_camera(set->action, angle, frame);
    const RbProjection projection = rb_camera_projection(&camera);
    RbPoint2 at;
    ck_assert(rb_projection_apply(&projection, kept, &at, NULL));
    int n = 0;
    for (int y = (int)at.y - 8; y <= (int)at.y + 8; y++) {
        for (int x = (int)at.x - 8; x <= (int)at.x + 8; x++) {
            if (x >= 0 && y >= 0 && x < WIDTH && y < HEIGHT) {
                n += abs(with.y[y * WIDTH + x] - without.y[y * WIDTH + x]) > 6 ? 1 : 0;
            }
        }
    }
    return n;
}

START_TEST(test_scene__ball_is_seen_where_it_is)
{
    for (int k = 0; k < 2; k++) {
        const RbAngle angle = k == 0 ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT;
        const RbDemoPlay play = sample_play();
        Set set;
        set_init(&set, RB_FIELD_COLLEGE, &play, 2);
        const int release = set.action->marks[RB_MARK_RELEASE];
        const int arrival = set.action->marks[RB_MARK_ARRIVAL];
        ck_assert_int_ge(ball_pixels(&set, angle, release), 4);
        ck_assert_int_ge(ball_pixels(&set, angle, (release + arrival) / 2), 8);
        if (angle == RB_ANGLE_WIDE) { /* the tight angle may have left the corner out */
            ck_assert_int_ge(ball_pixels(&set, angle, arrival), 4);
        }
        set_clear(&set);
    }
}
END_TEST

START_TEST(test_scene__same_seed_same_picture)
{
    static Picture a;
    static Picture b;
    static Picture c;
    const RbDemoPlay play = sample_play();
    Set set;
    set_init(&set, RB_FIELD_COLLEGE, &play, 3);
    draw(&set, RB_ANGLE_WIDE, 100, &a);
    draw(&set, RB_ANGLE_TIGHT, 37, &b);
    draw(&set, RB_ANGLE_WIDE, 100, &b);
    ck_assert_mem_eq(&a, &b, sizeof a);
    draw(&set, RB_ANGLE_WIDE, 101, &c);
    set_clear(&set);
    /* Noise of its own in each frame. */
    int differ = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        differ += a.y[i] != c.y[i] ? 1 : 0;
    }
    ck_assert_int_gt(differ, WIDTH * HEIGHT / 2);
}
END_TEST

START_TEST(test_scene__two_teams_can_be_told_apart)
{
    RbDemoCast cast;
    rb_demo_cast_init(&cast, 1);
    ck_assert_int_gt(abs(cast.kits[0].jersey.y - cast.kits[1].jersey.y), 100);
}
END_TEST

/* Printed, not asserted: a budget of 60 s for the default demo leaves about 5 ms a frame. */
START_TEST(test_scene__time_a_frame)
{
    static Picture picture;
    const RbDemoPlay play = sample_play();
    Set set;
    set_init(&set, RB_FIELD_COLLEGE, &play, 4);
    const clock_t start = clock();
    for (int i = 0; i < 40; i++) {
        draw(&set, i % 2 == 0 ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT, 150 + i, &picture);
    }
    printf("%.2f ms of processor time a frame\n",
           (double)(clock() - start) / CLOCKS_PER_SEC * 1000 / 40);
    set_clear(&set);
}
END_TEST

TCase *rb_case_scene(void)
{
    TCase *tcase = rb_case_new("scene");
    tcase_add_test(tcase, test_scene__lines_are_where_the_matrix_says);
    tcase_add_test(tcase, test_scene__hashes_by_rule_code);
    tcase_add_test(tcase, test_scene__ball_is_seen_where_it_is);
    tcase_add_test(tcase, test_scene__same_seed_same_picture);
    tcase_add_test(tcase, test_scene__two_teams_can_be_told_apart);
    tcase_add_test(tcase, test_scene__time_a_frame);
    return tcase;
}
