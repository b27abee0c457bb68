/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/film/frames.h"

#include "random-play.h"
#include "scene.h"
#include "suite.h"

TCase *rb_case_film(void);

#define WIDTH RB_DEMO_WIDTH
#define HEIGHT RB_DEMO_HEIGHT
#define SEED 9

/* A quick throw: as short as a clip can be. */
static RbDemoPlay quick_play(int number)
{
    RbDemoPlay play = sample_play();
    play.snap.value = 100 + number;
    play.number = number;
    play.routes[0].route = RB_ROUTE_HITCH;
    play.routes[0].depth_yd = 5;
    play.release_ms = 1000;
    play.gain = 4;
    return play;
}

static int count_files(const char *path)
{
    int n = 0;
    g_autoptr(GDir) dir = g_dir_open(path, 0, NULL);
    while (dir != NULL && g_dir_read_name(dir) != NULL) {
        n++;
    }
    return n;
}

/* The frame that the film must show, without its noise: drawn anew. */
static void draw_expected(const RbDemoPlay *play, RbAngle angle, int frame, uint8_t *luma)
{
    static uint8_t u[WIDTH * HEIGHT / 4];
    static uint8_t v[WIDTH * HEIGHT / 4];
    RbRandom random;
    RbDemoPlan plan;
    RbDemoCast cast;
    rb_random_seed_stream(&random, SEED, 1000);
    rb_demo_plan_init(&plan, RB_FIELD_COLLEGE, play, &random);
    g_autoptr(RbDemoAction) action = rb_demo_action_new(&plan, &random);
    rb_demo_cast_init(&cast, SEED);
    RbDemoStadium *stadium = rb_demo_stadium_new(RB_FIELD_COLLEGE, SEED);
    RbDemoMask *mask = rb_demo_mask_new(WIDTH, HEIGHT);
    RbDemoCanvas canvas = {
        .stadium = stadium,
        .mask = mask,
        .frame = { WIDTH, HEIGHT, { luma, u, v }, { WIDTH, WIDTH / 2, WIDTH / 2 } }
    };
    rb_demo_scene_draw(&canvas, action, &cast, angle, frame);
    rb_demo_mask_free(mask);
    rb_demo_stadium_free(stadium);
}

static double difference(const RbPicture *picture, const uint8_t *luma)
{
    size_t stride = 0;
    const uint8_t *plane = rb_picture_get_plane(picture, 0, &stride);
    double sum = 0;
    for (size_t y = 0; y < HEIGHT; y++) {
        for (size_t x = 0; x < WIDTH; x++) {
            sum += abs(plane[y * stride + x] - luma[y * WIDTH + x]);
        }
    }
    return sum / (WIDTH * HEIGHT);
}

/* Frame n of the file is frame n of the truth: nearer to it than to its neighbours. */
static void check_frame(const char *path, int64_t ordinal, const RbDemoPlay *play,
                        RbAngle angle, int frame)
{
    static uint8_t luma[WIDTH * HEIGHT];
    GError *error = NULL;
    g_autoptr(RbReel) reel = rb_reel_open_wait(path, NULL, 60000, NULL, &error);
    rb_assert_no_error(error);
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420 };
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(reel, ordinal, &options, NULL, 60000, &error);
    rb_assert_no_error(error);
    draw_expected(play, angle, frame, luma);
    const double own = difference(picture, luma);
    ck_assert_double_lt(own, 4);
    for (int off = -3; off <= 3; off += 6) {
        draw_expected(play, angle, frame + off, luma);
        ck_assert_double_lt(own, difference(picture, luma));
    }
}

START_TEST(test_film__files_frames_and_truth_agree)
{
    const RbDemoPlay plays[] = { quick_play(3), quick_play(8) };
    const RbDemoFilmSpec spec = { RB_FIELD_COLLEGE, SEED, plays, 2, "Week 1" };
    const RbDemoFilmOptions options = { .per_snap_files = true };
    g_autoptr(RbDemoFilmTruth) truth = NULL;
    GError *error = NULL;
    rb_demo_film_make(&spec, rb_test_folder(), &options, NULL, NULL, &truth, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(truth->clips->len, 4);
    const RbDemoClip *first = truth->clips->pdata[0];
    const RbDemoClip *second = truth->clips->pdata[2];
    ck_assert_str_eq(first->film, "Week 1 wide.mp4");
    ck_assert_str_eq(first->own_film, "snaps/003 wide.mp4");
    ck_assert_int_eq(first->first, 0);
    ck_assert_int_eq(second->first, first->last + 1);
    for (guint i = 0; i < truth->clips->len; i++) {
        const RbDemoClip *clip = truth->clips->pdata[i];
        ck_assert_int_eq(clip->angle, i % 2 == 0 ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT);
        ck_assert_int_eq(clip->snap.value, i < 2 ? 103 : 108);
        ck_assert_uint_eq(clip->moments->len, 6);
        for (guint k = 0; k < clip->moments->len; k++) {
            const RbDemoMoment *moment = &g_array_index(clip->moments, RbDemoMoment, k);
            ck_assert(moment->frame >= clip->first && moment->frame <= clip->last);
        }
    }
    const RbDemoMoment *snap = &g_array_index(first->moments, RbDemoMoment, 1);
    ck_assert_int_eq(snap->kind, RB_MARK_SNAP);
    g_autofree char *game = rb_test_path(first->film);
    g_autofree char *own = rb_test_path(first->own_film);
    check_frame(game, snap->frame + 40, &plays[0], RB_ANGLE_WIDE, (int)snap->frame + 40);
    check_frame(own, snap->frame + 55, &plays[0], RB_ANGLE_WIDE, (int)snap->frame + 55);
    g_autoptr(RbReel) reel = rb_reel_open_wait(game, NULL, 60000, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(rb_reel_get_frame_count(reel), second->last + 1);
}
END_TEST

START_TEST(test_film__cancelled_leaves_nothing)
{
    const RbDemoPlay play = quick_play(1);
    const RbDemoFilmSpec spec = { RB_FIELD_PRO, SEED, &play, 1, "Week 2" };
    const RbDemoFilmOptions options = { .per_snap_files = true };
    RbDemoFilmTruth *truth = NULL;
    GError *error = NULL;
    RbCancel *cancel = rb_cancel_new(NULL);
    rb_cancel_cancel(cancel);
    ck_assert(!rb_demo_film_make(&spec, rb_test_folder(), &options, cancel, NULL, &truth,
                                 &error));
    ck_assert(rb_error_is_cancelled(error));
    ck_assert_ptr_null(truth);
    ck_assert_int_eq(count_files(rb_test_folder()), 0);
    g_clear_error(&error);
    rb_cancel_unref(cancel);
}
END_TEST

START_TEST(test_film__missing_folder_is_a_sentence)
{
    const RbDemoPlay play = quick_play(1);
    const RbDemoFilmSpec spec = { RB_FIELD_PRO, SEED, &play, 1, "Week 2" };
    for (int own = 0; own < 2; own++) {
        const RbDemoFilmOptions options = { .per_snap_files = own == 1 };
        RbDemoFilmTruth *truth = NULL;
        GError *error = NULL;
        g_autofree char *folder = rb_test_path("not there");
        ck_assert(
            !rb_demo_film_make(&spec, folder, &options, NULL, NULL, &truth, &error));
        ck_assert_ptr_nonnull(strstr(error->message, own == 1 ? "snaps" : "Week 2"));
        g_clear_error(&error);
    }
}
END_TEST

/* A truth made by hand, as JSON. */
static RbDemoFilmTruth *hand_made(void)
{
    RbDemoFilmTruth *truth = g_new0(RbDemoFilmTruth, 1);
    truth->code = RB_FIELD_HIGH_SCHOOL;
    truth->clips = g_ptr_array_new();
    for (int i = 0; i < 2; i++) {
        RbDemoClip *clip = g_new0(RbDemoClip, 1);
        clip->snap.value = INT64_C(9000000000000000001);
        clip->number = 4;
        clip->angle = i == 0 ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT;
        clip->film = g_strdup("a.mp4");
        clip->own_film = i == 0 ? g_strdup("snaps/004 wide.mp4") : NULL;
        clip->first = 100;
        clip->last = 600;
        clip->moments = g_array_new(FALSE, TRUE, sizeof(RbDemoMoment));
        RbDemoMoment moment = { .kind = RB_MARK_SNAP, .frame = 207 };
        moment.matrix[5] = 2.5;
        moment.players[21].x = 33.25;
        moment.ball.z = 1.5;
        g_array_append_val(clip->moments, moment);
        g_ptr_array_add(truth->clips, clip);
    }
    return truth;
}

static void free_hand_made(RbDemoFilmTruth *truth)
{
    for (guint i = 0; i < truth->clips->len; i++) {
        RbDemoClip *clip = truth->clips->pdata[i];
        g_free(clip->film);
        g_free(clip->own_film);
        g_array_unref(clip->moments);
        g_free(clip);
    }
    g_ptr_array_unref(truth->clips);
    g_free(truth);
}

START_TEST(test_film__truth_completes_the_snaps_of_the_json)
{
    RbDemoFilmTruth *truth = hand_made();
    json_t *root = json_pack("{s:[{s:s, s:s}]}", "snaps", "snap", "9000000000000000001",
                             "concept", "curl-flat");
    rb_demo_film_truth_add(truth, root);
    free_hand_made(truth);
    json_t *snaps = json_object_get(root, "snaps");
    ck_assert_uint_eq(json_array_size(snaps), 1);
    json_t *snap = json_array_get(snaps, 0);
    ck_assert_str_eq(json_string_value(json_object_get(snap, "concept")), "curl-flat");
    json_t *films = json_object_get(snap, "film");
    ck_assert_uint_eq(json_array_size(films), 2);
    const char *angle = NULL;
    int first = 0;
    int frame = 0;
    double matrix = 0;
    double player = 0;
    double ball = 0;
    ck_assert_int_eq(json_unpack(json_array_get(films, 0), "{s:s, s:i, s:{s:i}}", "angle",
                                 &angle, "first", &first, "marks", "snap", &frame),
                     0);
    ck_assert_str_eq(angle, "wide");
    ck_assert_int_eq(first, 100);
    ck_assert_int_eq(frame, 207);
    json_t *moment =
        json_array_get(json_object_get(json_array_get(films, 0), "moments"), 0);
    matrix = json_real_value(
        json_array_get(json_array_get(json_object_get(moment, "matrix"), 1), 1));
    player = json_real_value(
        json_array_get(json_array_get(json_object_get(moment, "players"), 21), 0));
    ball = json_real_value(json_array_get(json_object_get(moment, "ball"), 2));
    ck_assert_double_eq(matrix, 2.5);
    ck_assert_double_eq(player, 33.25);
    ck_assert_double_eq(ball, 1.5);
    ck_assert_ptr_nonnull(json_object_get(json_array_get(films, 0), "own_file"));
    ck_assert_ptr_null(json_object_get(json_array_get(films, 1), "own_file"));
    ck_assert_str_eq(
        json_string_value(json_object_get(json_object_get(root, "field"), "rules")),
        "high-school");
    json_decref(root);
}
END_TEST

TCase *rb_case_film(void)
{
    TCase *tcase = rb_case_new("film");
    tcase_set_timeout(tcase, 240);
    tcase_add_test(tcase, test_film__files_frames_and_truth_agree);
    tcase_add_test(tcase, test_film__cancelled_leaves_nothing);
    tcase_add_test(tcase, test_film__missing_folder_is_a_sentence);
    tcase_add_test(tcase, test_film__truth_completes_the_snaps_of_the_json);
    return tcase;
}
