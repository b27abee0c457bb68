/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "figure.h"
#include "random-play.h"
#include "suite.h"

TCase *rb_case_figure(void);

#define WIDTH 320
#define HEIGHT 240

typedef struct {
    uint8_t y[WIDTH * HEIGHT];
    uint8_t u[WIDTH * HEIGHT / 4];
    uint8_t v[WIDTH * HEIGHT / 4];
    RbDemoCanvas canvas;
} Stage;

/* An empty stage seen from 20 yd, 100 pixels a yard, level with a man's chest. */
static void stage_init(Stage *stage)
{
    memset(stage->y, 90, sizeof stage->y);
    memset(stage->u, 128, sizeof stage->u);
    memset(stage->v, 128, sizeof stage->v);
    stage->canvas = (RbDemoCanvas){
        .mask = rb_demo_mask_new(WIDTH, HEIGHT),
        .frame = { WIDTH,
                   HEIGHT,
                   { stage->y, stage->u, stage->v },
                   { WIDTH, WIDTH / 2, WIDTH / 2 } },
        .camera = { .position = { 0, -20, 1 },
                    .focal_px = 2000,
                    .width = WIDTH,
                    .height = HEIGHT },
    };
    stage->canvas.projection = rb_camera_projection(&stage->canvas.camera);
}

typedef struct {
    int left, right, top, bottom; /* of what was painted; left > right: nothing */
} Bounds;

static Bounds bounds_of(const Stage *stage)
{
    Bounds b = { WIDTH, -1, HEIGHT, -1 };
    for (int y = 0; y < HEIGHT; y++) {
        for (int x = 0; x < WIDTH; x++) {
            if (stage->y[y * WIDTH + x] != 90) {
                b.left = MIN(b.left, x);
                b.right = MAX(b.right, x);
                b.top = MIN(b.top, y);
                b.bottom = MAX(b.bottom, y);
            }
        }
    }
    return b;
}

static RbDemoKit plain_kit(void)
{
    const RbDemoColour dark = { 40, 140, 120 };
    const RbDemoColour bright = { 230, 128, 128 };
    return (RbDemoKit){ dark, dark, dark, dark, dark, dark, bright };
}

static Bounds draw(Stage *stage, const RbDemoPose *pose, int jersey)
{
    const RbDemoKit kit = plain_kit();
    stage_init(stage);
    rb_demo_figure_draw(&stage->canvas, pose, &kit, 1, jersey);
    rb_demo_mask_free(stage->canvas.mask);
    return bounds_of(stage);
}

/* 100 pixels a yard: a man of 6 ft 1 in is about two yards with his helmet. */
START_TEST(test_figure__stands_on_the_ground_as_tall_as_a_man)
{
    static Stage stage;
    const RbDemoPose pose = { .at = { 0, 0 }, .heading = 1.0 };
    const Bounds b = draw(&stage, &pose, 12);
    const double ground = HEIGHT / 2.0 + 100;
    ck_assert_double_eq_tol(b.bottom, ground, 8);
    ck_assert_double_eq_tol(b.bottom - b.top, 200, 15);
    ck_assert_int_lt(b.right - b.left, 110);
}
END_TEST

START_TEST(test_figure__stance_and_fall_are_lower)
{
    static Stage stage;
    RbDemoPose pose = { .at = { 0, 0 } };
    const Bounds standing = draw(&stage, &pose, 12);
    pose.crouch = 0.85;
    pose.lean = 1.15;
    pose.arms = RB_DEMO_ARMS_GROUND;
    pose.arms_share = 1;
    const Bounds stance = draw(&stage, &pose, 12);
    pose = (RbDemoPose){ .at = { 0, 0 }, .down = 1 };
    const Bounds down = draw(&stage, &pose, 12);
    ck_assert_int_gt(stance.top, standing.top + 40);
    ck_assert_int_gt(down.top, standing.top + 110);
    ck_assert_int_gt(down.right - down.left, 130); /* and long */
}
END_TEST

static int bright_pixels(const Stage *stage)
{
    int n = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        n += stage->y[i] > 190 ? 1 : 0;
    }
    return n;
}

/* Numbers on chest and back, none on the side. */
START_TEST(test_figure__number_is_seen_from_front_and_back)
{
    static Stage stage;
    const double toward = -G_PI / 2; /* the camera looks along +y */
    RbDemoPose pose = { .at = { 0, 0 }, .heading = toward };
    draw(&stage, &pose, 88);
    ck_assert_int_gt(bright_pixels(&stage), 250);
    pose.heading = -toward;
    draw(&stage, &pose, 88);
    ck_assert_int_gt(bright_pixels(&stage), 250);
    const int eights = bright_pixels(&stage);
    draw(&stage, &pose, 11);
    ck_assert_int_lt(bright_pixels(&stage), eights);
    pose.heading = 0;
    draw(&stage, &pose, 88);
    ck_assert_int_lt(bright_pixels(&stage), 60);
}
END_TEST

/* Mean column of the bright pixels of a row band: where a digit's paint is. */
static double bright_side(const Stage *stage)
{
    double sum = 0;
    int n = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        if (stage->y[i] > 190) {
            sum += i % WIDTH;
            n++;
        }
    }
    return sum / n;
}

/* 71 and 17: the broad digit is on the reader's left or right, from both sides. */
START_TEST(test_figure__number_reads_the_right_way_round)
{
    static Stage stage;
    for (int back = 0; back < 2; back++) {
        const RbDemoPose pose = { .at = { 0, 0 },
                                  .heading = back == 1 ? G_PI / 2 : -G_PI / 2 };
        draw(&stage, &pose, 81);
        const double broad_left = bright_side(&stage);
        draw(&stage, &pose, 18);
        ck_assert_double_lt(broad_left + 2, bright_side(&stage));
    }
}
END_TEST

/* Legs change places half a stride later. */
START_TEST(test_figure__runs)
{
    static Stage stage;
    RbDemoPose pose = { .at = { 0, 0 }, .heading = 0, .stride = 1 };
    int widest = 0;
    int narrowest = WIDTH;
    for (int i = 0; i < 12; i++) {
        pose.phase = i * 2 * G_PI / 12;
        const Bounds b = draw(&stage, &pose, 12);
        widest = MAX(widest, b.right - b.left);
        narrowest = MIN(narrowest, b.right - b.left);
    }
    ck_assert_int_gt(widest, narrowest + 25);
}
END_TEST

START_TEST(test_figure__hands_are_where_the_ball_is)
{
    RbDemoPose pose = { .at = { 10, 20 }, .heading = 0, .arms_share = 1 };
    pose.arms = RB_DEMO_ARMS_CATCH;
    pose.reach = 1;
    const RbPoint3 caught = rb_demo_figure_hands(&pose);
    ck_assert_double_gt(caught.x, 10.3); /* before him */
    ck_assert_double_gt(caught.z, 1.5);  /* and up */
    pose.arms = RB_DEMO_ARMS_CARRY;
    const RbPoint3 carried = rb_demo_figure_hands(&pose);
    ck_assert_double_lt(carried.z, caught.z - 0.2);
    ck_assert_double_lt(carried.y, 20); /* under the right arm, heading along +x */
    pose.arms = RB_DEMO_ARMS_THROW;
    pose.reach = 0;
    ck_assert_double_lt(rb_demo_figure_hands(&pose).x, 10); /* cocked behind him */
    pose.reach = 0.5;
    ck_assert_double_gt(rb_demo_figure_hands(&pose).z, 1.8); /* high at the release */
}
END_TEST

/* Between two ways of holding the arms the hands move in small steps. */
START_TEST(test_figure__hands_do_not_jump)
{
    RbDemoPose pose = { .arms = RB_DEMO_ARMS_CARRY,
                        .arms_before = RB_DEMO_ARMS_CATCH,
                        .reach_before = 1 };
    RbPoint3 last = rb_demo_figure_hands(&pose);
    for (int i = 1; i <= 10; i++) {
        pose.arms_share = i / 10.0;
        const RbPoint3 now = rb_demo_figure_hands(&pose);
        ck_assert_double_lt(hypot(hypot(now.x - last.x, now.y - last.y), now.z - last.z),
                            0.2);
        last = now;
    }
}
END_TEST

START_TEST(test_figure__ball_is_longer_than_thick)
{
    static Stage stage;
    stage_init(&stage);
    rb_demo_ball_draw(&stage.canvas, (RbPoint3){ 0, 0, 1 }, (RbPoint3){ 1, 0, 0 });
    rb_demo_mask_free(stage.canvas.mask);
    const Bounds b = bounds_of(&stage);
    const double ratio = (double)(b.right - b.left) / (b.bottom - b.top);
    ck_assert_double_gt(ratio, 1.3); /* 11 in long, 6.7 in thick: NFL Rule 2-1-1 */
    ck_assert_double_lt(ratio, 1.9);
}
END_TEST

/* The sun stands to the near left: shadows fall to the far right and lie on the ground. */
START_TEST(test_figure__shadow_lies_on_the_ground)
{
    static Stage stage;
    stage_init(&stage);
    stage.canvas.camera.position = (RbPoint3){ 0, -12, 16 };
    rb_camera_aim(&stage.canvas.camera, (RbPoint3){ 0, 0, 0 });
    stage.canvas.camera.focal_px = 700;
    stage.canvas.projection = rb_camera_projection(&stage.canvas.camera);
    const RbDemoPose pose = { .at = { 0, 0 } };
    rb_demo_figure_shadow(&stage.canvas, &pose);
    rb_demo_mask_blend(stage.canvas.mask, &stage.canvas.frame,
                       (RbDemoColour){ 20, 128, 128 }, 0.5);
    rb_demo_mask_free(stage.canvas.mask);
    const Bounds b = bounds_of(&stage);
    ck_assert_int_gt(b.right - WIDTH / 2, WIDTH / 2 - b.left);
    ck_assert_int_gt(HEIGHT / 2 - b.top, b.bottom - HEIGHT / 2);
}
END_TEST

TCase *rb_case_figure(void)
{
    TCase *tcase = rb_case_new("figure");
    tcase_add_test(tcase, test_figure__stands_on_the_ground_as_tall_as_a_man);
    tcase_add_test(tcase, test_figure__stance_and_fall_are_lower);
    tcase_add_test(tcase, test_figure__number_is_seen_from_front_and_back);
    tcase_add_test(tcase, test_figure__number_reads_the_right_way_round);
    tcase_add_test(tcase, test_figure__runs);
    tcase_add_test(tcase, test_figure__hands_are_where_the_ball_is);
    tcase_add_test(tcase, test_figure__hands_do_not_jump);
    tcase_add_test(tcase, test_figure__ball_is_longer_than_thick);
    tcase_add_test(tcase, test_figure__shadow_lies_on_the_ground);
    return tcase;
}
