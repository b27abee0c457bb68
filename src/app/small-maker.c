/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "small-maker.h"

#include "rb/film/small-pictures.h"

typedef struct {
    char *film; /* owned */
    int64_t first;
    int64_t last;
    int64_t budget;
} Ask;

static RbJobs *jobs; /* made when first needed: one thread */

static void ask_free(void *data)
{
    Ask *ask = data;
    g_free(ask->film);
    g_free(ask);
}

static void *run(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    const Ask *ask = data;
    return rb_small_make(ask->film, ask->first, ask->last, ask->budget, cancel, progress,
                         error);
}

RbJob *rb_small_maker_start(const char *film, int64_t first, int64_t last, int64_t budget)
{
    if (jobs == NULL) {
        jobs = rb_jobs_new(1);
    }
    Ask *ask = g_new(Ask, 1);
    *ask =
        (Ask){ .film = g_strdup(film), .first = first, .last = last, .budget = budget };
    const RbJobSpec spec = {
        .run = run, .data = ask, .free_data = ask_free, .free_result = g_free
    };
    return rb_jobs_submit(jobs, &spec);
}

void rb_small_maker_end(void)
{
    g_clear_pointer(&jobs, rb_jobs_free);
}
