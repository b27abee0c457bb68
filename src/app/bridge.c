/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bridge.h"

struct RbWaker {
    GSource source;
    void (*wake)(void *data);
    void *data;
};

/* A call on its way. Lives until its answer was handed over. */
typedef struct {
    RbBridge *bridge;
    RbBridgeCall call; /* data: moved into the job */
    RbJob *job;        /* owned */
    guint64 generation;
    double fraction; /* last told */
} Flight;

/* What the job needs on the store thread. */
typedef struct {
    RbBridgeRun run;
    void *data;
    GDestroyNotify free_data;
    RbStoreSide *side;
} Errand;

struct RbBridge {
    RbJobs *jobs; /* owned: one thread */
    RbWaker *waker;
    RbStoreSide side; /* store thread only */
    GQueue flights;   /* of Flight, oldest first */
    guint64 generations[RB_CHANNELS];
    void *owner; /* borrowed */
};

static gboolean waker_dispatch(GSource *source, GSourceFunc callback, gpointer data)
{
    (void)callback;
    (void)data;
    RbWaker *waker = (RbWaker *)source;
    g_source_set_ready_time(source, -1);
    waker->wake(waker->data);
    return G_SOURCE_CONTINUE;
}

static GSourceFuncs waker_functions = { .dispatch = waker_dispatch };

RbWaker *rb_waker_new(void (*wake)(void *data), void *data)
{
    RbWaker *waker = (RbWaker *)g_source_new(&waker_functions, sizeof(RbWaker));
    waker->wake = wake;
    waker->data = data;
    g_source_set_static_name(&waker->source, "readbreak waker");
    g_source_set_ready_time(&waker->source, -1);
    g_source_attach(&waker->source, NULL);
    return waker;
}

void rb_waker_free(RbWaker *waker)
{
    if (waker != NULL) {
        g_source_destroy(&waker->source);
        g_source_unref(&waker->source);
    }
}

void rb_waker_wake(void *waker)
{
    g_source_set_ready_time(&((RbWaker *)waker)->source, 0);
}

static void *run_errand(void *data, RbCancel *cancel, RbProgress *progress,
                        GError **error)
{
    Errand *errand = data;
    return errand->run(errand->side, errand->data, cancel, progress, error);
}

static void errand_free(void *data)
{
    Errand *errand = data;
    if (errand->free_data != NULL) {
        errand->free_data(errand->data);
    }
    g_free(errand);
}

static void tell_news(Flight *flight)
{
    if (flight->call.news == NULL) {
        return;
    }
    g_autofree char *what = NULL;
    const double fraction = rb_job_get_progress(flight->job, &what);
    flight->call.news(fraction, what, flight->bridge->owner);
}

static void land(RbBridge *bridge, Flight *flight)
{
    g_autoptr(GError) error = NULL;
    void *result = rb_job_take_result(flight->job, &error);
    const bool stale = flight->call.channel != RB_CHANNEL_CHANGE &&
                       flight->generation != bridge->generations[flight->call.channel];
    const RbBridgeCall call = flight->call;
    g_queue_remove(&bridge->flights, flight);
    rb_job_unref(flight->job);
    g_free(flight);
    if (!stale) {
        call.done(result, error, bridge->owner);
    } else if (result != NULL && call.free_result != NULL) {
        call.free_result(result);
    }
}

/* Main thread: hands over what has ended. Restarts after each, for a callback may call. */
static void on_wake(void *data)
{
    RbBridge *bridge = data;
    for (GList *link = bridge->flights.head; link != NULL;) {
        Flight *flight = link->data;
        if (rb_job_is_done(flight->job)) {
            land(bridge, flight);
            link = bridge->flights.head;
        } else {
            tell_news(flight);
            link = link->next;
        }
    }
}

RbBridge *rb_bridge_new(void *owner)
{
    RbBridge *bridge = g_new0(RbBridge, 1);
    bridge->owner = owner;
    g_queue_init(&bridge->flights);
    bridge->waker = rb_waker_new(on_wake, bridge);
    bridge->jobs = rb_jobs_new(1);
    return bridge;
}

void rb_bridge_call(RbBridge *bridge, const RbBridgeCall *call)
{
    if (call->channel != RB_CHANNEL_CHANGE) {
        rb_bridge_cancel(bridge, call->channel); /* the older answer would be dropped */
    }
    Errand *errand = g_new0(Errand, 1);
    *errand = (Errand){ call->run, call->data, call->free_data, &bridge->side };
    Flight *flight = g_new0(Flight, 1);
    flight->bridge = bridge;
    flight->call = *call;
    flight->call.data = NULL;
    flight->generation = ++bridge->generations[call->channel];
    const RbJobSpec spec = { .run = run_errand,
                             .data = errand,
                             .free_data = errand_free,
                             .free_result = call->free_result,
                             .wake = rb_waker_wake,
                             .wake_data = bridge->waker };
    g_queue_push_tail(&bridge->flights, flight);
    flight->job = rb_jobs_submit(bridge->jobs, &spec);
}

void rb_bridge_cancel(RbBridge *bridge, RbChannel channel)
{
    for (GList *link = bridge->flights.head; link != NULL; link = link->next) {
        Flight *flight = link->data;
        if (flight->call.channel == channel) {
            rb_job_cancel(flight->job);
        }
    }
}

bool rb_bridge_is_busy(const RbBridge *bridge, RbChannel channel)
{
    for (const GList *link = bridge->flights.head; link != NULL; link = link->next) {
        const Flight *flight = link->data;
        if (flight->call.channel == channel) {
            return true;
        }
    }
    return false;
}

static void *close_library(void *data, RbCancel *cancel, RbProgress *progress,
                           GError **error)
{
    (void)cancel;
    (void)progress;
    (void)error;
    RbStoreSide *side = data;
    g_clear_pointer(&side->library, rb_library_close);
    return side;
}

void rb_bridge_free(RbBridge *bridge)
{
    if (bridge == NULL) {
        return;
    }
    /* Changes that were accepted are let through; reads are not waited for. */
    for (GList *link = bridge->flights.head; link != NULL; link = link->next) {
        Flight *flight = link->data;
        if (flight->call.channel != RB_CHANNEL_CHANGE) {
            rb_job_cancel(flight->job);
        }
    }
    const RbJobSpec spec = { .run = close_library, .data = &bridge->side };
    RbJob *last = rb_jobs_submit(bridge->jobs, &spec);
    rb_job_wait(last);
    rb_job_unref(last);
    rb_jobs_free(bridge->jobs);
    Flight *flight = NULL;
    while ((flight = g_queue_pop_head(&bridge->flights)) != NULL) {
        rb_job_unref(flight->job);
        g_free(flight);
    }
    rb_waker_free(bridge->waker);
    g_free(bridge);
}
