/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "small-maker.h"

#include "rb/film/small-pictures.h"
#include "rb/work/ahead.h"

typedef struct {
    char *film; /* owned */
    int64_t first;
    int64_t last;
    int64_t budget;
    bool ahead;
} Ask;

static RbJobs *jobs; /* made when first needed: one thread */

/* What comes next, and the job of each; jobs of what was taken over are NULL. */
static GPtrArray *next_spans; /* owned, nullable: of RbFilmSpan */
static GPtrArray *next_jobs;  /* owned, nullable: of RbJob */
static int64_t next_budget;

static void ask_free(void *data)
{
    Ask *ask = data;
    g_free(ask->film);
    g_free(ask);
}

static void *run(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    const Ask *ask = data;
    return ask->ahead ? rb_small_make_ahead(ask->film, ask->first, ask->last, ask->budget,
                                            cancel, error)
                      : rb_small_make(ask->film, ask->first, ask->last, ask->budget,
                                      cancel, progress, error);
}

static RbJob *submit(const char *film, int64_t first, int64_t last, int64_t budget,
                     bool ahead)
{
    if (jobs == NULL) {
        jobs = rb_jobs_new_behind(1);
    }
    Ask *ask = g_new(Ask, 1);
    *ask = (Ask){ .film = g_strdup(film),
                  .first = first,
                  .last = last,
                  .budget = budget,
                  .ahead = ahead };
    const RbJobSpec spec = {
        .run = run, .data = ask, .free_data = ask_free, .free_result = g_free
    };
    return rb_jobs_submit(jobs, &spec);
}

static void leave_job(void *job)
{
    if (job != NULL) {
        rb_job_cancel(job);
        rb_job_unref(job);
    }
}

static void stop_ahead(void)
{
    g_clear_pointer(&next_jobs, g_ptr_array_unref);
}

static void start_ahead(void)
{
    stop_ahead();
    next_jobs = g_ptr_array_new_with_free_func(leave_job);
    for (guint i = 0; next_spans != NULL && i < next_spans->len; i++) {
        const RbFilmSpan *span = next_spans->pdata[i];
        g_ptr_array_add(next_jobs,
                        submit(span->path, span->first, span->last, next_budget, true));
    }
}

/* The job that makes this span ahead already. Returns: (transfer full) (nullable). */
static RbJob *take_over(const char *film, int64_t first, int64_t last)
{
    for (guint i = 0; next_jobs != NULL && i < next_jobs->len; i++) {
        const RbFilmSpan *span = next_spans->pdata[i];
        if (next_jobs->pdata[i] != NULL && span->first == first && span->last == last &&
            g_str_equal(span->path, film)) {
            return g_steal_pointer(&next_jobs->pdata[i]);
        }
    }
    return NULL;
}

RbJob *rb_small_maker_start(const char *film, int64_t first, int64_t last, int64_t budget)
{
    RbJob *job = take_over(film, first, last);
    if (job == NULL) {
        stop_ahead();
        job = submit(film, first, last, budget, false);
        start_ahead();
    }
    return job;
}

/* A span that goes on being next keeps its job: half of it may be done. */
void rb_small_maker_set_ahead(GPtrArray *spans, int64_t budget)
{
    g_autoptr(GPtrArray) kept = g_ptr_array_new_with_free_func(leave_job);
    next_budget = budget;
    for (guint i = 0; spans != NULL && i < spans->len; i++) {
        const RbFilmSpan *span = spans->pdata[i];
        g_ptr_array_add(kept, take_over(span->path, span->first, span->last));
    }
    stop_ahead();
    for (guint i = 0; i < kept->len; i++) {
        const RbFilmSpan *span = spans->pdata[i];
        if (kept->pdata[i] == NULL) {
            kept->pdata[i] = submit(span->path, span->first, span->last, budget, true);
        }
    }
    g_clear_pointer(&next_spans, g_ptr_array_unref);
    next_spans = spans;
    next_jobs = g_steal_pointer(&kept);
}

void rb_small_maker_end(void)
{
    stop_ahead();
    g_clear_pointer(&next_spans, g_ptr_array_unref);
    g_clear_pointer(&jobs, rb_jobs_free);
}
