/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/thread.h"
#include "rb/film/error.h"
#include "rb/film/writer.h"

#include "scene.h"

/* One job an angle: its film is one long stream and is encoded in order. */

#define GAME_CRF 25
#define KEY_FRAMES_APART 60

static void demo_clip_free(void *pointer)
{
    RbDemoClip *clip = pointer;
    g_free(clip->film);
    g_free(clip->own_film);
    g_array_unref(clip->moments);
    g_free(clip);
}

void rb_demo_film_truth_free(RbDemoFilmTruth *truth)
{
    if (truth != NULL) {
        g_ptr_array_unref(truth->clips);
        g_free(truth);
    }
}

/* What one job works on and leaves. */
typedef struct {
    const RbDemoFilmSpec *spec; /* borrowed */
    const char *folder;         /* borrowed */
    bool per_snap_files;
    const RbDemoStadium *stadium; /* borrowed, shared */
    const RbDemoCast *cast;       /* borrowed, shared */
    RbAngle angle;
    GPtrArray *clips; /* owned, of RbDemoClip */
    GPtrArray *paths; /* owned, of char: files that stand */
} Reel;

static RbFilmWriter *open_writer(const char *path, RbCancel *cancel, GError **error)
{
    const RbWriterOptions options = {
        .width = RB_DEMO_WIDTH,
        .height = RB_DEMO_HEIGHT,
        .rate = { RB_DEMO_RATE_NUM, RB_DEMO_RATE_DEN },
        .crf = GAME_CRF,
        .gop = KEY_FRAMES_APART,
        .b_frames = -1,
        .faststart = true,
        .threads = 1,
    };
    return rb_film_writer_open(path, &options, cancel, error);
}

static RbDemoClip *describe_clip(const Reel *reel, const RbDemoAction *action,
                                 const RbDemoPlay *play, int64_t first, const char *film)
{
    RbDemoClip *clip = g_new0(RbDemoClip, 1);
    clip->snap = play->snap;
    clip->number = play->number;
    clip->angle = reel->angle;
    clip->film = g_strdup(film);
    clip->first = first;
    clip->last = first + action->frames - 1;
    clip->moments = g_array_new(FALSE, TRUE, sizeof(RbDemoMoment));
    for (int kind = RB_MARK_SET; kind <= RB_MARK_END; kind++) {
        const int frame = action->marks[kind];
        if (frame < 0) {
            continue;
        }
        RbDemoMoment moment = { .kind = (RbMarkKind)kind, .frame = first + frame };
        const RbCamera camera = rb_demo_scene_camera(action, reel->angle, frame);
        const RbProjection projection = rb_camera_projection(&camera);
        memcpy(moment.matrix, projection.m, sizeof moment.matrix);
        for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
            moment.players[i] = action->poses[frame * RB_DEMO_PLAYERS + i].at;
        }
        moment.ball = action->ball[frame];
        g_array_append_val(clip->moments, moment);
    }
    return clip;
}

/* Draws every frame of a snap into the film. */
static bool film_action(const Reel *reel, const RbDemoAction *action, RbDemoMask *mask,
                        RbFilmWriter *game, GError **error)
{
    for (int frame = 0; frame < action->frames; frame++) {
        RbWriterFrame target;
        if (!rb_film_writer_next(game, &target, error)) {
            return false;
        }
        RbDemoCanvas canvas = {
            .stadium = reel->stadium,
            .mask = mask,
            .frame = { RB_DEMO_WIDTH,
                       RB_DEMO_HEIGHT,
                       { target.planes[0], target.planes[1], target.planes[2] },
                       { target.strides[0], target.strides[1], target.strides[2] } }
        };
        rb_demo_scene_draw(&canvas, action, reel->cast, reel->angle, frame);
        if (!rb_film_writer_push(game, error)) {
            return false;
        }
    }
    return true;
}

static bool film_snap(Reel *reel, int index, RbFilmWriter *game, int64_t *frames,
                      const char *film, RbDemoMask *mask, GError **error)
{
    const RbDemoPlay *play = &reel->spec->plays[index];
    RbRandom random;
    rb_random_seed_stream(&random, reel->spec->seed, 1000 + (uint64_t)index);
    RbDemoPlan plan;
    rb_demo_plan_init(&plan, reel->spec->code, play, &random);
    g_autoptr(RbDemoAction) action = rb_demo_action_new(&plan, &random);
    RbDemoClip *clip = describe_clip(reel, action, play, *frames, film);
    g_ptr_array_add(reel->clips, clip);
    if (reel->per_snap_files) {
        clip->own_film =
            g_strdup_printf("snaps/%03d %s.mp4", play->number,
                            rb_words_token(&rb_angle_words, (int)reel->angle));
        g_autofree char *path = g_build_filename(reel->folder, clip->own_film, NULL);
        if (!rb_film_writer_part(game, path, error)) {
            return false;
        }
    }
    *frames += action->frames;
    return film_action(reel, action, mask, game, error);
}

/* RbJobRun. Returns the reel itself, borrowed, when all went well. */
static void *film_angle(void *data, RbCancel *cancel, RbProgress *progress,
                        GError **error)
{
    Reel *reel = data;
    g_autofree char *film = g_strdup_printf("%s %s.mp4", reel->spec->title,
                                            rb_words_token(&rb_angle_words, reel->angle));
    g_autofree char *path = g_build_filename(reel->folder, film, NULL);
    g_autoptr(RbFilmWriter) game = open_writer(path, cancel, error);
    if (game == NULL) {
        return NULL;
    }
    RbDemoMask *mask = rb_demo_mask_new(RB_DEMO_WIDTH, RB_DEMO_HEIGHT);
    int64_t frames = 0;
    bool ok = true;
    for (int i = 0; ok && i < reel->spec->n_plays; i++) {
        rb_progress_set(progress, (double)i / reel->spec->n_plays, NULL);
        ok = film_snap(reel, i, game, &frames, film, mask, error);
    }
    rb_demo_mask_free(mask);
    if (!ok || !rb_film_writer_finish(game, error)) {
        return NULL;
    }
    g_ptr_array_add(reel->paths, g_steal_pointer(&path));
    for (guint i = 0; i < reel->clips->len; i++) {
        const RbDemoClip *clip = reel->clips->pdata[i];
        if (clip->own_film != NULL) {
            g_ptr_array_add(reel->paths,
                            g_build_filename(reel->folder, clip->own_film, NULL));
        }
    }
    return reel;
}

/* Lets the caller sleep until a job has news. */
typedef struct {
    RbMutex mutex;
    RbCond cond;
    bool news; /* protected by `mutex` */
} Bell;

static void on_wake(void *data)
{
    Bell *bell = data;
    rb_mutex_lock(&bell->mutex);
    bell->news = true;
    rb_cond_signal(&bell->cond);
    rb_mutex_unlock(&bell->mutex);
}

static void wait_for_news(Bell *bell)
{
    rb_mutex_lock(&bell->mutex);
    while (!bell->news) {
        rb_cond_wait(&bell->cond, &bell->mutex);
    }
    bell->news = false;
    rb_mutex_unlock(&bell->mutex);
}

/* Waits for both jobs, passing their progress on; the first failure ends the other. */
static bool wait_for_jobs(RbJob *jobs[2], Bell *bell, RbProgress *progress,
                          GError **error)
{
    bool taken[2] = { false, false };
    bool ok = true;
    while (!taken[0] || !taken[1]) {
        double sum = 0.0;
        for (int i = 0; i < 2; i++) {
            sum += MAX(0.0, rb_job_get_progress(jobs[i], NULL));
            if (taken[i] || !rb_job_is_done(jobs[i])) {
                continue;
            }
            taken[i] = true;
            g_autoptr(GError) own_error = NULL;
            if (rb_job_take_result(jobs[i], &own_error) == NULL) {
                rb_job_cancel(jobs[1 - i]);
                if (ok) {
                    g_propagate_error(error, g_steal_pointer(&own_error));
                }
                ok = false;
            }
        }
        rb_progress_set(progress, sum / 2.0, _("Filming the game"));
        if (!taken[0] || !taken[1]) {
            wait_for_news(bell);
        }
    }
    return ok;
}

static bool film_both(Reel reels[2], const RbDemoFilmOptions *options, RbCancel *cancel,
                      RbProgress *progress, GError **error)
{
    Bell bell = { .news = false };
    rb_mutex_init(&bell.mutex);
    rb_cond_init(&bell.cond);
    RbJobs *pool = rb_jobs_new(options->threads == 1 ? 1 : 2);
    RbJob *jobs[2];
    for (int i = 0; i < 2; i++) {
        const RbJobSpec spec = { .run = film_angle,
                                 .data = &reels[i],
                                 .wake = on_wake,
                                 .wake_data = &bell,
                                 .parent_cancel = cancel };
        jobs[i] = rb_jobs_submit(pool, &spec);
    }
    const bool ok = wait_for_jobs(jobs, &bell, progress, error);
    rb_jobs_free(pool);
    rb_job_unref(jobs[0]);
    rb_job_unref(jobs[1]);
    rb_cond_clear(&bell.cond);
    rb_mutex_clear(&bell.mutex);
    return ok;
}

static RbDemoFilmTruth *collect(const RbDemoFilmSpec *spec, Reel reels[2])
{
    RbDemoFilmTruth *truth = g_new0(RbDemoFilmTruth, 1);
    truth->code = spec->code;
    truth->clips = g_ptr_array_new_with_free_func(demo_clip_free);
    for (int i = 0; i < spec->n_plays; i++) {
        for (int k = 0; k < 2; k++) {
            g_ptr_array_add(truth->clips, g_steal_pointer(&reels[k].clips->pdata[i]));
        }
    }
    return truth;
}

static void remove_files(Reel reels[2])
{
    for (int k = 0; k < 2; k++) {
        for (guint i = 0; i < reels[k].paths->len; i++) {
            g_unlink(reels[k].paths->pdata[i]);
        }
    }
}

static void free_clip(void *clip)
{
    if (clip != NULL) { /* taken by the truth */
        demo_clip_free(clip);
    }
}

static bool make_snaps_folder(const char *folder, char **made, GError **error)
{
    g_autofree char *path = g_build_filename(folder, "snaps", NULL);
    if (g_mkdir(path, 0777) == 0) {
        *made = g_steal_pointer(&path);
        return true;
    }
    const int errnum = errno;
    if (errnum == EEXIST && g_file_test(path, G_FILE_TEST_IS_DIR)) {
        return true;
    }
    g_autofree char *shown = g_filename_display_name(path);
    return rb_error_errno(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE, errnum,
                          "The folder \"%s\" could not be made; choose another place for "
                          "the demo",
                          shown);
}

bool rb_demo_film_make(const RbDemoFilmSpec *spec, const char *folder,
                       const RbDemoFilmOptions *options, RbCancel *cancel,
                       RbProgress *progress, RbDemoFilmTruth **truth, GError **error)
{
    g_autofree char *made_folder = NULL;
    *truth = NULL;
    if (options->per_snap_files && !make_snaps_folder(folder, &made_folder, error)) {
        return false;
    }
    RbDemoStadium *stadium = rb_demo_stadium_new(spec->code, spec->seed);
    RbDemoCast cast;
    rb_demo_cast_init(&cast, spec->seed);
    Reel reels[2];
    for (int k = 0; k < 2; k++) {
        reels[k] = (Reel){ .spec = spec,
                           .folder = folder,
                           .per_snap_files = options->per_snap_files,
                           .stadium = stadium,
                           .cast = &cast,
                           .angle = k == 0 ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT };
        reels[k].clips = g_ptr_array_new_with_free_func(free_clip);
        reels[k].paths = g_ptr_array_new_with_free_func(g_free);
    }
    const bool ok = film_both(reels, options, cancel, progress, error);
    if (ok) {
        *truth = collect(spec, reels);
    } else {
        remove_files(reels);
        if (made_folder != NULL) {
            g_rmdir(made_folder);
        }
    }
    for (int k = 0; k < 2; k++) {
        g_ptr_array_unref(reels[k].clips);
        g_ptr_array_unref(reels[k].paths);
    }
    rb_demo_stadium_free(stadium);
    return ok;
}
