/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "view-carrier.h"

#include <glib.h>
#include <string.h>

#include "rb/base/jobs.h"
#include "rb/film/frames.h"

/* A view and where it has been carried so far: kept for the next frame. The jobs' one thread goes
 * along it; the last who holds it closes the film. */
typedef struct {
    char *path; /* owned */
    RbRules rules;
    RbCalibration calibration;
    int64_t from;
    RbReel *reel;   /* owned, nullable: not opened yet */
    RbTrail *trail; /* owned, nullable */
} Way;

typedef struct {
    Way *way; /* owned reference */
    int64_t to;
} Ask;

struct RbViewCarrier {
    RbViewCarried carried;
    void (*news)(void *data);
    void *data;
    Way *way;   /* owned reference, nullable */
    RbJob *job; /* owned, nullable */
    int64_t to;
    double told; /* progress */
    guint poll;  /* source, 0 none */
};

static RbJobs *jobs; /* made when first needed: one thread */

/* How often a running job is looked at. */
enum { LOOK_MS = 30 };

static void way_clear(void *data)
{
    Way *way = data;
    rb_trail_free(way->trail);
    rb_reel_close(way->reel);
    g_free(way->path);
}

static void way_unref(Way *way)
{
    g_atomic_rc_box_release_full(way, way_clear);
}

static Way *way_new(const char *path, RbRules rules, const RbCalibration *calibration,
                    int64_t from)
{
    Way *way = g_atomic_rc_box_new0(Way);
    way->path = g_strdup(path);
    way->rules = rules;
    way->calibration = *calibration;
    way->from = from;
    return way;
}

static bool is_way(const Way *way, const char *path, RbRules rules,
                   const RbCalibration *calibration, int64_t from)
{
    return way != NULL && way->from == from && way->rules == rules &&
           g_str_equal(way->path, path) &&
           memcmp(&way->calibration, calibration, sizeof *calibration) == 0;
}

static void ask_free(void *data)
{
    Ask *ask = data;
    way_unref(ask->way);
    g_free(ask);
}

static void *run(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    const Ask *ask = data;
    Way *way = ask->way;
    if (way->reel == NULL) {
        way->reel = rb_reel_open_wait(way->path, cancel, 0, NULL, error);
    }
    if (way->reel == NULL) {
        return NULL;
    }
    if (way->trail == NULL) {
        way->trail =
            rb_trail_new(way->reel, way->rules, &way->calibration, way->from, true);
    }
    RbCarriedView *carried = g_new0(RbCarriedView, 1);
    if (!rb_trail_go(way->trail, ask->to, carried, progress, cancel, error)) {
        g_clear_pointer(&carried, g_free);
    }
    return carried;
}

RbViewCarrier *rb_view_carrier_new(RbViewCarried carried, void (*news)(void *data),
                                   void *data)
{
    RbViewCarrier *carrier = g_new0(RbViewCarrier, 1);
    carrier->carried = carried;
    carrier->news = news;
    carrier->data = data;
    return carrier;
}

double rb_view_carrier_get_progress(const RbViewCarrier *carrier)
{
    return carrier->job != NULL ? rb_job_get_progress(carrier->job, NULL) : -1.0;
}

void rb_view_carrier_stop(RbViewCarrier *carrier)
{
    g_clear_handle_id(&carrier->poll, g_source_remove);
    if (carrier->job != NULL) {
        rb_job_cancel(carrier->job);
        g_clear_pointer(&carrier->job, rb_job_unref);
    }
}

void rb_view_carrier_forget(RbViewCarrier *carrier)
{
    rb_view_carrier_stop(carrier);
    g_clear_pointer(&carrier->way, way_unref);
}

void rb_view_carrier_free(RbViewCarrier *carrier)
{
    if (carrier != NULL) {
        rb_view_carrier_forget(carrier);
        g_free(carrier);
    }
}

static gboolean on_look(gpointer data)
{
    RbViewCarrier *carrier = data;
    if (!rb_job_is_done(carrier->job)) {
        const double done = rb_view_carrier_get_progress(carrier);
        if (done >= carrier->told + 0.02) {
            carrier->told = done;
            carrier->news(carrier->data);
        }
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
    if (!is_way(carrier->way, path, rules, calibration, from)) {
        g_clear_pointer(&carrier->way, way_unref);
        carrier->way = way_new(path, rules, calibration, from);
    }
    Ask *ask = g_new0(Ask, 1);
    ask->way = g_atomic_rc_box_acquire(carrier->way);
    ask->to = to;
    const RbJobSpec spec = {
        .run = run, .data = ask, .free_data = ask_free, .free_result = g_free
    };
    carrier->job = rb_jobs_submit(jobs, &spec);
    carrier->to = to;
    carrier->told = 0.0;
    carrier->poll = g_timeout_add(LOOK_MS, on_look, carrier);
}

void rb_view_carrier_end(void)
{
    g_clear_pointer(&jobs, rb_jobs_free);
}
