/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cut-placer.h"

#include <glib/gi18n.h>

#include "rb/base/jobs.h"

#include "bridge.h"

struct RbCutPlacer {
    RbCutReview *review; /* borrowed: outlives it */
    void (*done)(void *data, const char *failure);
    void *data;
    RbJobs *jobs;     /* owned */
    RbJob *job;       /* owned, nullable: the film is being looked at */
    RbWaker *waker;   /* owned */
    RbIntake *intake; /* borrowed; NULL: off */
    int clip;
    bool moves;
    int64_t first; /* frame of what is cut … */
    int64_t at;    /* … the first behind the cut … */
    int64_t last;
};

typedef struct {
    char *path; /* owned */
    int64_t first;
    int64_t at;
    int64_t last;
} Ask;

static void ask_free(void *data)
{
    Ask *ask = data;
    g_free(ask->path);
    g_free(ask);
}

/* RbJobRun, on a worker. */
static void *read_seam(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    (void)progress;
    const Ask *ask = data;
    g_autofree RbIntakeSeam *seam = g_new0(RbIntakeSeam, 1);
    return rb_intake_read_seam(ask->path, ask->first, ask->at, ask->last, seam, cancel,
                               error)
               ? g_steal_pointer(&seam)
               : NULL;
}

static void on_news(void *data)
{
    RbCutPlacer *placer = data;
    if (placer->job == NULL || !rb_job_is_done(placer->job)) {
        return;
    }
    g_autoptr(GError) error = NULL;
    g_autofree RbIntakeSeam *seam = rb_job_take_result(placer->job, &error);
    g_clear_pointer(&placer->job, rb_job_unref);
    RbIntake *intake = placer->intake;
    if (seam != NULL && intake != NULL) {
        const bool put = placer->moves ? rb_intake_move_cut(intake, placer->clip, seam)
                                       : rb_intake_add_cut(intake, placer->clip, seam);
        g_warn_if_fail(put); /* nothing else changes the table meanwhile */
    }
    rb_cut_placer_leave(placer);
    placer->done(placer->data, error != NULL ? error->message : NULL);
}

RbCutPlacer *rb_cut_placer_new(RbCutReview *review,
                               void (*done)(void *data, const char *failure), void *data)
{
    RbCutPlacer *placer = g_new0(RbCutPlacer, 1);
    placer->review = review;
    placer->done = done;
    placer->data = data;
    placer->jobs = rb_jobs_new(1);
    placer->waker = rb_waker_new(on_news, placer);
    return placer;
}

static void drop_job(RbCutPlacer *placer)
{
    if (placer->job != NULL) {
        rb_job_cancel(placer->job);
        g_clear_pointer(&placer->job, rb_job_unref);
    }
}

void rb_cut_placer_free(RbCutPlacer *placer)
{
    if (placer != NULL) {
        drop_job(placer);
        rb_jobs_free(placer->jobs);
        rb_waker_free(placer->waker);
        g_free(placer);
    }
}

static const RbIntakeClip *clip_of(const RbCutPlacer *placer)
{
    return placer->intake->clips->pdata[placer->clip];
}

static const char *path_of(const RbCutPlacer *placer)
{
    const RbIntakeFile *file = placer->intake->files->pdata[clip_of(placer)->file];
    return file->look->path;
}

static void show(const RbCutPlacer *placer)
{
    rb_cut_review_show_place(placer->review, placer->intake, placer->clip, placer->at,
                             placer->moves);
}

/* A cut leaves at least a frame on each side. */
static bool begin(RbCutPlacer *placer, RbIntake *intake, int clip, int64_t first,
                  int64_t at)
{
    const RbIntakeClip *of = intake->clips->pdata[clip];
    if (of->last <= first) {
        return false;
    }
    drop_job(placer);
    placer->intake = intake;
    placer->clip = clip;
    placer->first = first;
    placer->last = of->last;
    placer->at = CLAMP(at, first + 1, of->last);
    placer->moves = first < of->first;
    show(placer);
    return true;
}

bool rb_cut_placer_begin(RbCutPlacer *placer, RbIntake *intake, const RbIntakeRow *row)
{
    const bool again = placer->intake == intake && !placer->moves &&
                       placer->clip == row->wide && row->tight >= 0;
    const int clip = row->wide >= 0 && !again ? row->wide : row->tight;
    if (clip < 0) {
        return false;
    }
    const RbIntakeClip *of = intake->clips->pdata[clip];
    return begin(placer, intake, clip, of->first,
                 of->first + (of->last - of->first + 1) / 2);
}

bool rb_cut_placer_begin_move(RbCutPlacer *placer, RbIntake *intake,
                              const RbIntakeRow *row)
{
    const bool again = placer->intake == intake && placer->moves &&
                       placer->clip == row->wide && row->tight >= 0;
    const int sides[] = { again ? -1 : row->wide, row->tight };
    for (int k = 0; k < 2; k++) {
        const int before = sides[k] >= 0 ? rb_intake_clip_before(intake, sides[k]) : -1;
        if (before >= 0) {
            const RbIntakeClip *one = intake->clips->pdata[before];
            const RbIntakeClip *of = intake->clips->pdata[sides[k]];
            return begin(placer, intake, sides[k], one->first, of->first);
        }
    }
    return false;
}

void rb_cut_placer_leave(RbCutPlacer *placer)
{
    drop_job(placer);
    placer->intake = NULL;
}

bool rb_cut_placer_is_on(const RbCutPlacer *placer)
{
    return placer->intake != NULL;
}

static void put(RbCutPlacer *placer)
{
    Ask *ask = g_new(Ask, 1);
    *ask = (Ask){ g_strdup(path_of(placer)), placer->first, placer->at, placer->last };
    const RbJobSpec spec = { .run = read_seam,
                             .data = ask,
                             .free_data = ask_free,
                             .free_result = g_free,
                             .wake = rb_waker_wake,
                             .wake_data = placer->waker };
    placer->job = rb_jobs_submit(placer->jobs, &spec);
}

/* As many frames as the film shows in a second. */
static int64_t second_of(const RbCutPlacer *placer)
{
    const RbIntakeFile *file = placer->intake->files->pdata[clip_of(placer)->file];
    const RbRational rate = file->look->rate;
    return rate.num > 0 ? MAX((rate.num + rate.den / 2) / rate.den, 1) : 30;
}

bool rb_cut_placer_key(RbCutPlacer *placer, guint key, GdkModifierType state)
{
    const bool far = (state & GDK_SHIFT_MASK) != 0;
    switch (key) {
    case GDK_KEY_Left:
    case GDK_KEY_Right: {
        const int64_t by = (key == GDK_KEY_Left ? -1 : 1) * (far ? second_of(placer) : 1);
        placer->at = CLAMP(placer->at + by, placer->first + 1, placer->last);
        drop_job(placer);
        show(placer);
        return true;
    }
    case GDK_KEY_y:
        if (placer->job == NULL) {
            put(placer);
        }
        return true;
    case GDK_KEY_j:
        if (!placer->moves) {
            return false;
        }
        rb_intake_join_cut(placer->intake, placer->clip);
        rb_cut_placer_leave(placer);
        placer->done(placer->data, NULL);
        return true;
    case GDK_KEY_Escape:
        rb_cut_placer_leave(placer);
        placer->done(placer->data, NULL);
        return true;
    default:
        return false;
    }
}
