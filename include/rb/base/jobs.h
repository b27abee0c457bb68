/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/base/cancel.h"

/* A bounded pool of worker threads for long work that must not block the caller: indexing,
 * thumbnails, export, making the demo. */
typedef struct RbJobs RbJobs;
typedef struct RbJob RbJob;

/* Progress of one job, any thread. `fraction` is 0 to 1, or negative when it is not known;
 * `what` is a short phrase for a person, copied. */
typedef struct RbProgress RbProgress;
void rb_progress_set(RbProgress *progress, double fraction,
                     const char *what); /* NULL ok */

/* Runs on a worker. Returns what rb_job_take_result() gives, or NULL with `error` set. */
typedef void *(*RbJobRun)(void *data, RbCancel *cancel, RbProgress *progress,
                          GError **error);

/* Called on a worker whenever the job has news (progress or end). It must only wake
 * somebody: no lock may be held across it and it may not call back into the pool. */
typedef void (*RbJobWake)(void *wake_data);

typedef struct {
    RbJobRun run;
    void *data;                 /* transfer full */
    GDestroyNotify free_data;   /* nullable */
    GDestroyNotify free_result; /* nullable: used when nobody takes the result */
    RbJobWake wake;             /* nullable */
    void *wake_data;            /* borrowed: outlives the job */
    RbCancel *parent_cancel;    /* nullable: ref taken */
} RbJobSpec;

/* threads: 1 or more. Returns: (transfer full). */
RbJobs *rb_jobs_new(int threads);
/* For work that nobody waits for: at a low priority, which the threads and programs that it starts
 * have too. */
RbJobs *rb_jobs_new_behind(int threads);

/* Cancels every job, waits for the workers, frees the pool. Jobs that callers still hold
 * stay valid. NULL is allowed. */
void rb_jobs_free(RbJobs *jobs);

/* Queues a job. Returns: (transfer full): free with rb_job_unref(). */
RbJob *rb_jobs_submit(RbJobs *jobs, const RbJobSpec *spec);

RbJob *rb_job_ref(RbJob *job);
void rb_job_unref(RbJob *job);
void rb_job_cancel(RbJob *job);
bool rb_job_is_done(RbJob *job);
/* The newest progress. what: (out) (transfer full) (nullable). */
double rb_job_get_progress(RbJob *job, char **what);
/* Waits for the end. Not for the main thread of the window. */
void rb_job_wait(RbJob *job);
/* After the end, once: Returns: (transfer full) (nullable): NULL with `error` set on failure. */
void *rb_job_take_result(RbJob *job, GError **error);

/* A progress that is not tied to a job: `changed` runs on the calling thread. For the CLI and
 * for tests. Returns: (transfer full). */
RbProgress *rb_progress_new(void (*changed)(double fraction, const char *what,
                                            void *data),
                            void *data);
void rb_progress_free(RbProgress *progress);
/* Part `from`..`to` of `whole`, for a step of longer work. whole: (nullable), borrowed, must
 * outlive the part. Returns: (transfer full). */
RbProgress *rb_progress_part(RbProgress *whole, double from, double to);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbJobs, rb_jobs_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbJob, rb_job_unref)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbProgress, rb_progress_free)
