/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/jobs.h"

#include <stdatomic.h>
#include <sys/resource.h>

#include "rb/base/error.h"
#include "rb/base/thread.h"

/* What nobody waits for gives way to everything else, as `nice` does: by so much that it gets a third
 * of the time of another thread, and does not stand still on a busy machine. */
#define BEHIND 5

struct RbProgress {
    /* one of the three: a job's own, a part of another, or a plain callback */
    RbJob *job;        /* borrowed */
    RbProgress *whole; /* borrowed */
    double from;
    double to;
    void (*changed)(double fraction, const char *what, void *data);
    void *data;
};

struct RbJob {
    /* immutable */
    RbJobSpec spec;
    RbCancel *cancel; /* owned */
    RbProgress progress_sink;
    atomic_int refs;

    RbJob *next; /* owned: in the pool's list of waiting jobs, under the pool's mutex */

    /* protected by `mutex` */
    RbMutex mutex;
    RbCond done_cond;
    bool done;
    double fraction;
    char *what;    /* owned */
    void *result;  /* owned until taken */
    GError *error; /* owned until taken */
};

struct RbJobs {
    /* immutable */
    RbThread *threads; /* owned */
    int n_threads;
    bool behind;

    /* protected by `mutex` */
    RbMutex mutex;
    RbCond work_cond;
    RbJob *first;       /* owned: waiting, linked by `next`. Not a GQueue: its nodes come
                         * from GLib's slice allocator, whose locks TSan cannot see. */
    RbJob *last;        /* borrowed */
    GPtrArray *running; /* of borrowed RbJob */
    bool closing;
};

static void wake(const RbJob *job)
{
    if (job->spec.wake != NULL) {
        job->spec.wake(job->spec.wake_data);
    }
}

static void job_set_progress(RbJob *job, double fraction, const char *what)
{
    rb_mutex_lock(&job->mutex);
    job->fraction = fraction;
    if (what != NULL && g_strcmp0(what, job->what) != 0) {
        g_free(job->what);
        job->what = g_strdup(what);
    }
    rb_mutex_unlock(&job->mutex);
    wake(job);
}

void rb_progress_set(RbProgress *progress, double fraction, const char *what)
{
    for (; progress != NULL && progress->whole != NULL; progress = progress->whole) {
        if (fraction >= 0.0) {
            fraction = progress->from + fraction * (progress->to - progress->from);
        }
    }
    if (progress == NULL) {
        return;
    }
    if (progress->job != NULL) {
        job_set_progress(progress->job, fraction, what);
    } else if (progress->changed != NULL) {
        progress->changed(fraction, what, progress->data);
    }
}

RbProgress *rb_progress_new(void (*changed)(double fraction, const char *what,
                                            void *data),
                            void *data)
{
    RbProgress *progress = g_new0(RbProgress, 1);
    progress->changed = changed;
    progress->data = data;
    return progress;
}

RbProgress *rb_progress_part(RbProgress *whole, double from, double to)
{
    RbProgress *progress = g_new0(RbProgress, 1);
    progress->whole = whole;
    progress->from = from;
    progress->to = to;
    return progress;
}

void rb_progress_free(RbProgress *progress)
{
    g_free(progress);
}

static RbJob *job_new(const RbJobSpec *spec)
{
    RbJob *job = g_new0(RbJob, 1);
    job->spec = *spec;
    job->cancel = rb_cancel_new(spec->parent_cancel);
    job->progress_sink.job = job;
    job->fraction = -1.0;
    atomic_init(&job->refs, 1);
    rb_mutex_init(&job->mutex);
    rb_cond_init(&job->done_cond);
    return job;
}

RbJob *rb_job_ref(RbJob *job)
{
    atomic_fetch_add_explicit(&job->refs, 1, memory_order_relaxed);
    return job;
}

void rb_job_unref(RbJob *job)
{
    if (job == NULL ||
        atomic_fetch_sub_explicit(&job->refs, 1, memory_order_acq_rel) != 1) {
        return;
    }
    if (job->result != NULL && job->spec.free_result != NULL) {
        job->spec.free_result(job->result);
    }
    if (job->spec.free_data != NULL) {
        job->spec.free_data(job->spec.data);
    }
    g_clear_error(&job->error);
    g_free(job->what);
    rb_cancel_unref(job->cancel);
    rb_cond_clear(&job->done_cond);
    rb_mutex_clear(&job->mutex);
    g_free(job);
}

static void job_finish(RbJob *job, void *result, GError *error)
{
    rb_mutex_lock(&job->mutex);
    job->result = result;
    job->error = error;
    job->done = true;
    rb_cond_broadcast(&job->done_cond);
    rb_mutex_unlock(&job->mutex);
    wake(job);
}

static void job_run(RbJob *job)
{
    GError *error = NULL;
    void *result = NULL;
    if (rb_cancel_check(job->cancel, &error)) {
        result = job->spec.run(job->spec.data, job->cancel, &job->progress_sink, &error);
    }
    job_finish(job, result, error);
}

static void push_waiting(RbJobs *jobs, RbJob *job)
{
    if (jobs->first == NULL) {
        jobs->first = job;
    } else {
        jobs->last->next = job;
    }
    jobs->last = job;
}

/* Returns: (transfer full) (nullable). */
static RbJob *pop_waiting(RbJobs *jobs)
{
    RbJob *job = jobs->first;
    if (job != NULL) {
        jobs->first = g_steal_pointer(&job->next);
    }
    return job;
}

static void *worker(void *data)
{
    RbJobs *jobs = data;
    if (jobs->behind) {
        setpriority(PRIO_PROCESS, 0, BEHIND); /* on Linux: of this thread */
    }
    rb_mutex_lock(&jobs->mutex);
    for (;;) {
        RbJob *job = pop_waiting(jobs);
        if (job != NULL) {
            g_ptr_array_add(jobs->running, job);
            rb_mutex_unlock(&jobs->mutex);
            job_run(job);
            rb_mutex_lock(&jobs->mutex);
            g_ptr_array_remove_fast(jobs->running, job);
            rb_job_unref(job);
        } else if (jobs->closing) {
            break;
        } else {
            rb_cond_wait(&jobs->work_cond, &jobs->mutex);
        }
    }
    rb_mutex_unlock(&jobs->mutex);
    return NULL;
}

static RbJobs *jobs_new(int threads, bool behind)
{
    g_assert(threads >= 1);
    RbJobs *jobs = g_new0(RbJobs, 1);
    jobs->behind = behind;
    rb_mutex_init(&jobs->mutex);
    rb_cond_init(&jobs->work_cond);
    jobs->running = g_ptr_array_new();
    jobs->threads = g_new0(RbThread, (gsize)threads);
    jobs->n_threads = threads;
    for (int i = 0; i < threads; i++) {
        jobs->threads[i] = rb_thread_start("rb-job", worker, jobs);
    }
    return jobs;
}

RbJobs *rb_jobs_new(int threads)
{
    return jobs_new(threads, false);
}

RbJobs *rb_jobs_new_behind(int threads)
{
    return jobs_new(threads, true);
}

void rb_jobs_free(RbJobs *jobs)
{
    if (jobs == NULL) {
        return;
    }
    rb_mutex_lock(&jobs->mutex);
    jobs->closing = true;
    for (RbJob *job = jobs->first; job != NULL; job = job->next) {
        rb_job_cancel(job);
    }
    for (guint i = 0; i < jobs->running->len; i++) {
        rb_job_cancel(g_ptr_array_index(jobs->running, i));
    }
    rb_cond_broadcast(&jobs->work_cond);
    rb_mutex_unlock(&jobs->mutex);
    for (int i = 0; i < jobs->n_threads; i++) {
        rb_thread_join(jobs->threads[i]);
    }
    g_ptr_array_unref(jobs->running);
    g_free(jobs->threads);
    rb_cond_clear(&jobs->work_cond);
    rb_mutex_clear(&jobs->mutex);
    g_free(jobs);
}

RbJob *rb_jobs_submit(RbJobs *jobs, const RbJobSpec *spec)
{
    RbJob *job = job_new(spec);
    rb_mutex_lock(&jobs->mutex);
    g_assert(!jobs->closing);
    push_waiting(jobs, rb_job_ref(job));
    rb_cond_signal(&jobs->work_cond);
    rb_mutex_unlock(&jobs->mutex);
    return job;
}

void rb_job_cancel(RbJob *job)
{
    rb_cancel_cancel(job->cancel);
}

bool rb_job_is_done(RbJob *job)
{
    rb_mutex_lock(&job->mutex);
    const bool done = job->done;
    rb_mutex_unlock(&job->mutex);
    return done;
}

double rb_job_get_progress(RbJob *job, char **what)
{
    rb_mutex_lock(&job->mutex);
    const double fraction = job->fraction;
    if (what != NULL) {
        *what = g_strdup(job->what);
    }
    rb_mutex_unlock(&job->mutex);
    return fraction;
}

void rb_job_wait(RbJob *job)
{
    rb_mutex_lock(&job->mutex);
    while (!job->done) {
        rb_cond_wait(&job->done_cond, &job->mutex);
    }
    rb_mutex_unlock(&job->mutex);
}

void *rb_job_take_result(RbJob *job, GError **error)
{
    rb_mutex_lock(&job->mutex);
    g_assert(job->done);
    void *result = g_steal_pointer(&job->result);
    if (job->error != NULL) {
        g_propagate_error(error, g_steal_pointer(&job->error));
    }
    rb_mutex_unlock(&job->mutex);
    return result;
}
