/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "folder-watch.h"

#include "rb/base/jobs.h"
#include "rb/work/intake.h"

#include "bridge.h"

#define LOOK_MS 1500

struct RbFolderWatch {
    char *folder; /* owned */
    void (*changed)(void *data);
    void *data;
    RbJobs *jobs;   /* owned */
    RbJob *job;     /* owned, nullable: a look */
    RbWaker *waker; /* owned */
    guint next_id;  /* waits for the next look */
    bool begun;
    uint64_t told; /* what was there when that was told last */
    uint64_t seen; /* at the last look */
};

/* RbJobRun, on a worker. */
static void *look(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    (void)error;
    uint64_t *mark = g_new(uint64_t, 1);
    *mark = rb_intake_look(data);
    return mark;
}

static gboolean look_again(void *data)
{
    RbFolderWatch *watch = data;
    watch->next_id = 0;
    const RbJobSpec spec = { .run = look,
                             .data = g_strdup(watch->folder),
                             .free_data = g_free,
                             .free_result = g_free,
                             .wake = rb_waker_wake,
                             .wake_data = watch->waker };
    watch->job = rb_jobs_submit(watch->jobs, &spec);
    return G_SOURCE_REMOVE;
}

static void on_looked(void *data)
{
    RbFolderWatch *watch = data;
    if (watch->job == NULL || !rb_job_is_done(watch->job)) {
        return;
    }
    g_autofree uint64_t *mark = rb_job_take_result(watch->job, NULL);
    g_clear_pointer(&watch->job, rb_job_unref);
    const uint64_t before = watch->seen;
    watch->seen = *mark;
    watch->next_id = g_timeout_add(LOOK_MS, look_again, watch);
    if (!watch->begun) {
        watch->begun = true;
        watch->told = *mark;
    } else if (*mark == before && *mark != watch->told) {
        watch->told = *mark;
        watch->changed(watch->data); /* may free the watch */
    }
}

RbFolderWatch *rb_folder_watch_new(const char *folder, void (*changed)(void *data),
                                   void *data)
{
    RbFolderWatch *watch = g_new0(RbFolderWatch, 1);
    watch->folder = g_strdup(folder);
    watch->changed = changed;
    watch->data = data;
    watch->jobs = rb_jobs_new_behind(1);
    watch->waker = rb_waker_new(on_looked, watch);
    look_again(watch);
    return watch;
}

void rb_folder_watch_free(RbFolderWatch *watch)
{
    if (watch == NULL) {
        return;
    }
    g_clear_handle_id(&watch->next_id, g_source_remove);
    if (watch->job != NULL) {
        rb_job_cancel(watch->job);
        rb_job_unref(watch->job);
    }
    rb_jobs_free(watch->jobs);
    rb_waker_free(watch->waker);
    g_free(watch->folder);
    g_free(watch);
}
