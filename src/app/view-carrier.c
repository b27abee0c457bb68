/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "view-carrier.h"

#include <glib.h>

#include "rb/base/jobs.h"
#include "rb/film/frames.h"

typedef struct {
    char *path; /* owned */
    RbRules rules;
    RbCalibration calibration;
    int64_t from;
    int64_t to;
} Ask;

struct RbViewCarrier {
    RbViewCarried carried;
    void *data;
    RbJob *job; /* owned, nullable */
    int64_t to;
    guint poll; /* source, 0 none */
};

static RbJobs *jobs; /* made when first needed: one thread */

/* How often a running job is looked at. */
enum { LOOK_MS = 30 };

static void ask_free(void *data)
{
    Ask *ask = data;
    g_free(ask->path);
    g_free(ask);
}

static void *run(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    const Ask *ask = data;
    (void)progress;
    g_autoptr(RbReel) reel = rb_reel_open_wait(ask->path, cancel, 0, NULL, error);
    if (reel == NULL) {
        return NULL;
    }
    RbCarriedView *carried = g_new0(RbCarriedView, 1);
    if (!rb_film_carry(reel, ask->rules, &ask->calibration, ask->from, ask->to, true,
                       carried, cancel, error)) {
        g_free(carried);
        return NULL;
    }
    return carried;
}

RbViewCarrier *rb_view_carrier_new(RbViewCarried carried, void *data)
{
    RbViewCarrier *carrier = g_new0(RbViewCarrier, 1);
    carrier->carried = carried;
    carrier->data = data;
    return carrier;
}

void rb_view_carrier_stop(RbViewCarrier *carrier)
{
    g_clear_handle_id(&carrier->poll, g_source_remove);
    if (carrier->job != NULL) {
        rb_job_cancel(carrier->job);
        g_clear_pointer(&carrier->job, rb_job_unref);
    }
}

void rb_view_carrier_free(RbViewCarrier *carrier)
{
    if (carrier != NULL) {
        rb_view_carrier_stop(carrier);
        g_free(carrier);
    }
}

static gboolean on_look(gpointer data)
{
    RbViewCarrier *carrier = data;
    if (!rb_job_is_done(carrier->job)) {
        return G_SOURCE_CONTINUE;
    }
    carrier->poll = 0;
    g_autoptr(RbJob) job = g_steal_pointer(&carrier->job);
    g_autofree RbCarriedView *carried = rb_job_take_result(job, NULL);
    carrier->carried(carrier->to, carried, carrier->data);
    return G_SOURCE_REMOVE;
}

void rb_view_carrier_want(RbViewCarrier *carrier, const char *path, RbRules rules,
                          const RbCalibration *calibration, int64_t from, int64_t to)
{
    rb_view_carrier_stop(carrier);
    if (jobs == NULL) {
        jobs = rb_jobs_new(1);
    }
    Ask *ask = g_new0(Ask, 1);
    ask->path = g_strdup(path);
    ask->rules = rules;
    ask->calibration = *calibration;
    ask->from = from;
    ask->to = to;
    const RbJobSpec spec = {
        .run = run, .data = ask, .free_data = ask_free, .free_result = g_free
    };
    carrier->job = rb_jobs_submit(jobs, &spec);
    carrier->to = to;
    carrier->poll = g_timeout_add(LOOK_MS, on_look, carrier);
}

void rb_view_carrier_end(void)
{
    g_clear_pointer(&jobs, rb_jobs_free);
}
