/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Film on which a view cannot be carried: what goes wrong must be said. Real film, encoded by ffmpeg's
 * command line and read by the reel that the program reads with; the truth is the demo's cameras. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/film/frames.h"
#include "rb/work/measuring.h"

#include "random-play.h"
#include "seen-field.h"
#include "suite.h"

TCase *rb_case_lost(void);

enum { FRAMES = 90, BREAK = 45, MARKS = 6, PIXELS = RB_DEMO_WIDTH * RB_DEMO_HEIGHT };

typedef enum {
    PLAIN,     /* nothing happens */
    CUT_ANGLE, /* to the other camera */
    CUT_TIME,  /* the same camera, two seconds on */
    CUT_BACK,  /* to the other camera for ten frames, and back */
    FLASH,     /* two white frames */
    FADE,      /* through black and back, sixteen frames */
    BLUR,      /* out of focus for eight frames */
    PAN,       /* the camera's own turn, forty times as fast, for four frames */
    KINDS,
} Kind;

static const char *const names[KINDS] = { "plain",    "other camera", "two seconds on",
                                          "and back", "flash",        "fade",
                                          "blur",     "fast pan" };

/* What frame `i` of the film shows. */
static int source_of(Kind kind, int i, int first, RbAngle *angle)
{
    *angle = RB_ANGLE_WIDE;
    switch (kind) {
    case CUT_ANGLE:
        *angle = i >= BREAK ? RB_ANGLE_TIGHT : RB_ANGLE_WIDE;
        break;
    case CUT_BACK:
        *angle = i >= BREAK && i < BREAK + 10 ? RB_ANGLE_TIGHT : RB_ANGLE_WIDE;
        break;
    case CUT_TIME:
        return first + i + (i >= BREAK ? 120 : 0);
    case PAN:
        return first + i + 39 * CLAMP(i - BREAK, 0, 4);
    case PLAIN:
    case FLASH:
    case FADE:
    case BLUR:
    case KINDS:
        break;
    }
    return first + i;
}

/* Means over 49 pixels along rows, then along columns. */
static void blur(uint8_t *bytes)
{
    enum { REACH = 24 };
    g_autofree uint8_t *from = g_malloc(PIXELS);
    for (int pass = 0; pass < 2; pass++) {
        memcpy(from, bytes, PIXELS);
        const int step = pass == 0 ? 1 : RB_DEMO_WIDTH;
        for (int i = 0; i < PIXELS; i++) {
            int sum = 0;
            int n = 0;
            for (int k = -REACH; k <= REACH; k += 4) {
                const int at = i + k * step;
                if (at >= 0 && at < PIXELS) {
                    sum += from[at];
                    n++;
                }
            }
            bytes[i] = (uint8_t)(sum / n);
        }
    }
}

static void spoil(Kind kind, int i, uint8_t *bytes)
{
    const int since = i - BREAK;
    if (kind == FLASH && since >= 0 && since < 2) {
        memset(bytes, 250, PIXELS);
    } else if (kind == BLUR && since >= 0 && since < 8) {
        blur(bytes);
    } else if (kind == FADE && since >= 0 && since < 16) {
        const double part = fabs(since - 8.0) / 8.0;
        for (int k = 0; k < PIXELS; k++) {
            bytes[k] = (uint8_t)(part * bytes[k]);
        }
    }
}

static char *make_film(Scene *scene, Kind kind, int first)
{
    g_autofree char *raw = rb_test_path("lost.gray");
    char *path = rb_test_path("lost.mp4");
    FILE *file = fopen(raw, "wb");
    ck_assert_ptr_nonnull(file);
    for (int i = 0; i < FRAMES; i++) {
        RbAngle angle = RB_ANGLE_WIDE;
        const int frame = source_of(kind, i, first, &angle);
        g_autofree uint8_t *bytes =
            g_memdup2(scene_draw(scene, angle, frame)->bytes, PIXELS);
        spoil(kind, i, bytes);
        ck_assert_uint_eq(fwrite(bytes, 1, PIXELS, file), PIXELS);
    }
    ck_assert_int_eq(fclose(file), 0);
    g_autofree char *size = g_strdup_printf("%dx%d", RB_DEMO_WIDTH, RB_DEMO_HEIGHT);
    const char *words[] = { "ffmpeg", "-v",       "error",      "-nostdin", "-y",
                            "-f",     "rawvideo", "-s",         size,       "-pix_fmt",
                            "gray",   "-r",       "60000/1001", "-i",       raw,
                            "-c:v",   "libx264",  "-preset",    "veryfast", "-crf",
                            "18",     "-pix_fmt", "yuv420p",    path,       NULL };
    int status = 1;
    ck_assert(g_spawn_sync(NULL, (char **)words, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL,
                           NULL, NULL, &status, NULL));
    ck_assert_int_eq(status, 0);
    return path;
}

/* Mean distance of the men in the picture from where they are. */
static double error_at(const Scene *scene, RbAngle angle, int frame,
                       const RbCalibration *c)
{
    double sum = 0.0;
    int n = 0;
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        const RbPoint2 at = scene->action->poses[frame * RB_DEMO_PLAYERS + i].at;
        RbPoint2 pixel;
        RbPoint2 place;
        if (scene_show(scene, angle, frame, at, &pixel)) {
            const bool located = rb_calibration_locate(c, pixel, &place);
            sum += located ? hypot(place.x - at.x, place.y - at.y) : 99.0;
            n++;
        }
    }
    return n > 0 ? sum / n : 0.0;
}

/* A play long enough, and marks on its snap. */
static int start(Scene *scene, RbRandom *random, RbCalibration *c)
{
    RbSighting sightings[MARKS];
    const int first = scene->action->snap;
    const int n = scene_click(scene, RB_ANGLE_WIDE, first, MARKS, 1.5, random, sightings);
    return first + FRAMES + 160 < scene->action->frames && n >= 4 &&
                   rb_calibration_fit(sightings, n, RB_DEMO_WIDTH, RB_DEMO_HEIGHT, c,
                                      NULL)
               ? first
               : -1;
}

START_TEST(test_lost__what_goes_wrong_on_real_film_is_said)
{
    const Kind kind = (Kind)_i;
    if (!rb_test_is_sampled(_i)) {
        return;
    }
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(95));
    Scene scene;
    RbCalibration c;
    int first = -1;
    for (uint64_t round = 0; first < 0; round++) {
        RbDemoPlay play = random_play(&random);
        scene_init(&scene, RB_FIELD_COLLEGE, &play, round);
        first = start(&scene, &random, &c);
        if (first < 0) {
            scene_clear(&scene);
            ck_assert_uint_lt(round, 60);
        }
    }
    g_autofree char *path = make_film(&scene, kind, first);
    GError *error = NULL;
    RbReel *reel = rb_reel_open_wait(path, NULL, 120000, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbTrail) trail = rb_trail_new(reel, RB_RULES_COLLEGE, &c, 0, true);
    double off = 0.0;
    RbCarriedView carried;
    int wrong = 0;
    for (int i = 0; i < FRAMES; i += 3) { /* on every frame that a person may look at */
        rb_trail_go(trail, i, &carried, NULL, NULL, &error);
        rb_assert_no_error(error);
        RbAngle angle = RB_ANGLE_WIDE;
        const int frame = source_of(kind, i, first, &angle);
        off = error_at(&scene, angle, frame, &carried.calibration);
        wrong += off > RB_CARRY_LOOSE_YD && carried.state == RB_CARRY_GOOD;
    }
    printf("%s: at the end %s, %.2f yd off, said %.2f\n", names[kind],
           carried.state == RB_CARRY_GOOD    ? "good"
           : carried.state == RB_CARRY_LOOSE ? "loose"
                                             : "lost",
           off, carried.looseness);
    fflush(stdout);
    ck_assert_msg(wrong == 0, "%s: wrong on %d frames and not flagged", names[kind],
                  wrong);
    if (kind == PLAIN) { /* to flag everything would be easy */
        ck_assert(carried.state == RB_CARRY_GOOD && off < RB_CARRY_LOOSE_YD);
    }
    if (kind == CUT_ANGLE || kind == FLASH) { /* these go wrong whatever the camera did */
        ck_assert_int_ne(carried.state, RB_CARRY_GOOD);
    }
    rb_reel_close(reel);
    scene_clear(&scene);
}
END_TEST

static bool is_same(const RbCarriedView *a, const RbCarriedView *b)
{
    return a->state == b->state && a->looseness == b->looseness &&
           memcmp(&a->calibration.map, &b->calibration.map, sizeof a->calibration.map) ==
               0;
}

/* On, back between, back past the marks, on again, and cancelled on the way: always what going there
 * straight gives. */
START_TEST(test_lost__a_trail_remembers_where_it_was)
{
    enum { MARKED = 20 };
    static const int64_t order[] = { 30, 24, 33, 14, 17, 33, 20 };
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(95));
    Scene scene;
    RbCalibration c;
    RbDemoPlay play = random_play(&random);
    scene_init(&scene, RB_FIELD_COLLEGE, &play, 1);
    g_autofree char *path = make_film(&scene, PLAIN, scene.action->snap - MARKED);
    RbSighting sightings[MARKS];
    const int n = scene_click(&scene, RB_ANGLE_WIDE, scene.action->snap, MARKS, 1.5,
                              &random, sightings);
    ck_assert(rb_calibration_fit(sightings, n, RB_DEMO_WIDTH, RB_DEMO_HEIGHT, &c, NULL));
    GError *error = NULL;
    RbReel *reel = rb_reel_open_wait(path, NULL, 120000, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbTrail) trail = rb_trail_new(reel, RB_RULES_COLLEGE, &c, MARKED, true);
    RbCarriedView carried;
    RbCancel *cancel = rb_cancel_new(NULL);
    rb_cancel_cancel(cancel);
    ck_assert(!rb_trail_go(trail, 40, &carried, NULL, cancel, &error));
    ck_assert(rb_error_is_cancelled(error));
    g_clear_error(&error);
    rb_cancel_unref(cancel);
    for (size_t i = 0; i < G_N_ELEMENTS(order); i++) {
        RbCarriedView straight;
        ck_assert(rb_trail_go(trail, order[i], &carried, NULL, NULL, &error));
        ck_assert(rb_film_carry(reel, RB_RULES_COLLEGE, &c, MARKED, order[i], true,
                                &straight, NULL, &error));
        ck_assert_msg(is_same(&carried, &straight), "frame %d", (int)order[i]);
    }
    rb_reel_close(reel);
    scene_clear(&scene);
}
END_TEST

TCase *rb_case_lost(void)
{
    TCase *tcase = rb_case_new("lost");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, test_lost__a_trail_remembers_where_it_was);
    tcase_add_loop_test(tcase, test_lost__what_goes_wrong_on_real_film_is_said, 0, KINDS);
    return tcase;
}
