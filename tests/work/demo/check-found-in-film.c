/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>

#include "rb/film/frames.h"
#include "rb/film/scene-cuts.h"
#include "rb/film/snap-finder.h"

#include "random-play.h"
#include "suite.h"

TCase *rb_case_found_in_film(void);

/* What the finders of snaps and of cuts say of film whose truth is known. */

#define NEAR_FRAMES 4
#define LONG_PLAYS 16

typedef struct {
    int clips;
    int right;
    int sure; /* said with more than 0.9 */
    int sure_right;
} Tally;

static int64_t snap_of(const RbDemoClip *clip)
{
    for (guint i = 0; i < clip->moments->len; i++) {
        const RbDemoMoment *moment = &g_array_index(clip->moments, RbDemoMoment, i);
        if (moment->kind == RB_MARK_SNAP) {
            return moment->frame;
        }
    }
    return -1;
}

static RbReel *open_film(const char *name)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path(name);
    RbReel *reel = rb_reel_open_wait(path, NULL, 120000, NULL, &error);
    rb_assert_no_error(error);
    return reel;
}

static void judge_snap(const RbDemoClip *clip, Tally *tally)
{
    GError *error = NULL;
    RbSnapFound found;
    g_autoptr(RbReel) reel = open_film(clip->film);
    rb_snap_find(reel, clip->first, clip->last, &found, NULL, NULL, &error);
    rb_assert_no_error(error);
    const int64_t off = found.frame - snap_of(clip);
    const bool right = found.frame >= 0 && llabs(off) <= NEAR_FRAMES;
    printf("snap %d %s: off by %" G_GINT64_FORMAT ", sure %.3f\n", clip->number,
           rb_words_token(&rb_angle_words, (int)clip->angle), off, found.sure);
    tally->clips++;
    tally->right += right;
    tally->sure += found.sure > 0.9;
    tally->sure_right += found.sure > 0.9 && right;
}

/* Every cut of one angle, and nothing else. */
static void judge_cuts(const RbDemoFilmTruth *truth, RbAngle angle)
{
    GError *error = NULL;
    g_autoptr(GArray) cuts = NULL;
    g_autoptr(RbReel) reel = NULL;
    RbSceneStats stats;
    int right = 0;
    int shots = 0;
    for (guint i = 0; i < truth->clips->len; i++) {
        const RbDemoClip *clip = truth->clips->pdata[i];
        if (clip->angle != angle || clip->first == 0) {
            continue;
        }
        if (reel == NULL) {
            reel = open_film(clip->film);
            rb_scene_find_cuts(reel, &cuts, &stats, NULL, NULL, &error);
            rb_assert_no_error(error);
        }
        shots++;
        for (guint k = 0; k < cuts->len; k++) {
            const RbSceneCut *cut = &g_array_index(cuts, RbSceneCut, k);
            right += llabs(cut->frame - clip->first) <= 2;
        }
    }
    if (reel == NULL) {
        return;
    }
    printf("%d cuts, %u found, %d right, %.1f %% decoded\n", shots, cuts->len, right,
           100.0 * (double)stats.decoded / (double)stats.frames);
    ck_assert_int_ge(right * 100, 98 * shots);
    ck_assert_int_ge(right * 100, 98 * (int)cuts->len);
    ck_assert_int_le(stats.decoded * 100, stats.frames * 15);
}

static void judge(const RbDemoPlay *plays, int n, uint64_t seed)
{
    const RbDemoFilmSpec spec = { RB_FIELD_COLLEGE, seed, plays, n, "Week 1" };
    const RbDemoFilmOptions options = { .per_snap_files = false };
    g_autoptr(RbDemoFilmTruth) truth = NULL;
    GError *error = NULL;
    Tally tally = { 0 };
    rb_demo_film_make(&spec, rb_test_folder(), &options, NULL, NULL, &truth, &error);
    rb_assert_no_error(error);
    for (guint i = 0; i < truth->clips->len; i++) {
        judge_snap(truth->clips->pdata[i], &tally);
    }
    printf("snaps: %d of %d right; %d of %d that are sure\n", tally.right, tally.clips,
           tally.sure_right, tally.sure);
    ck_assert_int_ge(tally.right * 100, 85 * tally.clips);
    ck_assert_int_ge(tally.sure_right * 100, 95 * tally.sure);
    judge_cuts(truth, RB_ANGLE_WIDE);
    judge_cuts(truth, RB_ANGLE_TIGHT);
}

/* A lineman jumps, all set again, and then comes the snap. */
START_TEST(test_found_in_film__false_start_is_no_snap)
{
    if (!rb_test_is_sampled(1)) {
        return; /* minutes of drawing under a sanitizer; a quick film is drawn anyway */
    }
    RbDemoPlay play = sample_play();
    play.number = 1;
    play.release_ms = 1200;
    play.false_start = true;
    judge(&play, 1, 9);
}
END_TEST

/* Shifts, motion and false starts, as many as plain snaps, filmed as one long recording. */
START_TEST(test_found_in_film__snaps_and_cuts_of_a_recording)
{
    RbDemoPlay plays[LONG_PLAYS];
    RbRandom random;
    const uint64_t seed = rb_test_seed(830);
    rb_random_seed(&random, seed);
    for (int i = 0; i < LONG_PLAYS; i++) {
        plays[i] = random_play(&random);
        plays[i].snap.value = 1 + i;
        plays[i].number = 1 + i;
        plays[i].shift = i % 4 == 1;
        plays[i].false_start = i % 4 == 2;
        if (i % 4 != 3) {
            plays[i].motion = RB_DEMO_MOTION_NONE;
        }
    }
    judge(plays, LONG_PLAYS, seed);
}
END_TEST

TCase *rb_case_found_in_film(void)
{
    TCase *tcase = rb_case_new("found-in-film");
    tcase_set_timeout(tcase, 280);
    tcase_add_test(tcase, test_found_in_film__false_start_is_no_snap);
    if (rb_test_is_long()) {
        tcase_add_test(tcase, test_found_in_film__snaps_and_cuts_of_a_recording);
    }
    return tcase;
}
