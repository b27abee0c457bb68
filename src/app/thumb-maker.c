/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "thumb-maker.h"

#include "rb/base/jobs.h"
#include "rb/film/thumbs.h"

/* So many of one film are made with the film open: enough that opening it costs little, and few
 * enough that what comes into view next does not wait long. */
#define BATCH 8
/* So many are at hand: some screens of rows, at most 7 MiB. */
#define AT_HAND 96

typedef struct {
    guint number;
    char *film; /* owned */
    int64_t frame;
    RbThumbTold told;
    void *data;
} Ask;

typedef struct {
    char *film; /* owned */
    int64_t frame;
    GdkTexture *texture; /* owned */
} Made;

/* What a worker does: plain values of its own. */
typedef struct {
    guint batch;
    int n;
    RbThumbAsk asks[BATCH];
} Work;

/* What a worker tells the main thread. */
typedef struct {
    guint batch;
    int i;
    RbThumb *thumb; /* owned, nullable */
} News;

static RbJobs *jobs;        /* made when first needed: one thread */
static GPtrArray *waiting;  /* owned, nullable, of Ask: the newest last */
static RbJob *job;          /* owned, nullable: of the batch that runs */
static guint batch;         /* its number */
static Ask *running[BATCH]; /* owned, NULL: answered, or left */
static GQueue at_hand;      /* of Made: the one used last is first */
static guint last_number;

static void ask_free(void *data)
{
    Ask *ask = data;
    if (ask != NULL) {
        g_free(ask->film);
        g_free(ask);
    }
}

static void made_free(void *data)
{
    Made *made = data;
    g_free(made->film);
    g_object_unref(made->texture);
    g_free(made);
}

static void work_free(void *data)
{
    Work *work = data;
    for (int i = 0; i < work->n; i++) {
        g_free((char *)work->asks[i].film);
    }
    g_free(work);
}

/* ---- at hand */

GdkTexture *rb_thumb_maker_get(const char *film, int64_t frame)
{
    for (GList *link = at_hand.head; link != NULL; link = link->next) {
        Made *made = link->data;
        if (made->frame == frame && g_str_equal(made->film, film)) {
            g_queue_unlink(&at_hand, link);
            g_queue_push_head_link(&at_hand, link);
            return g_object_ref(made->texture);
        }
    }
    return NULL;
}

static void keep(const Ask *ask, GdkTexture *texture)
{
    Made *made = g_new(Made, 1);
    *made = (Made){ g_strdup(ask->film), ask->frame, g_object_ref(texture) };
    g_queue_push_head(&at_hand, made);
    while (at_hand.length > AT_HAND) {
        made_free(g_queue_pop_tail(&at_hand));
    }
}

/* ---- a batch */

static void start(void);

static gboolean on_made(void *data)
{
    const News *news = data;
    Ask *ask =
        job != NULL && news->batch == batch ? g_steal_pointer(&running[news->i]) : NULL;
    if (ask == NULL) {
        return G_SOURCE_REMOVE;
    }
    g_autoptr(GdkTexture) texture = NULL;
    if (news->thumb != NULL) {
        const RbThumb *thumb = news->thumb;
        texture = gdk_memory_texture_new(thumb->width, thumb->height,
                                         GDK_MEMORY_B8G8R8A8_PREMULTIPLIED, thumb->bgra,
                                         (gsize)thumb->width * 4);
        keep(ask, texture);
    }
    ask->told(texture, ask->data);
    ask_free(ask);
    return G_SOURCE_REMOVE;
}

static void news_free(void *data)
{
    News *news = data;
    rb_thumb_free(news->thumb);
    g_free(news);
}

/* On the worker. */
static void tell(void *data, int i, RbThumb *thumb)
{
    const Work *work = data;
    News *news = g_new(News, 1);
    *news = (News){ work->batch, i, thumb };
    g_idle_add_full(G_PRIORITY_DEFAULT_IDLE, on_made, news, news_free);
}

static void *run(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    Work *work = data;
    return rb_thumbs_make(work->asks, work->n, rb_thumbs_default_budget(), tell, work,
                          cancel, progress, error)
               ? g_strdup("")
               : NULL;
}

/* Those that got no answer have lost it by a cancel that came too early for them. */
static gboolean on_end(void *data)
{
    if (job == NULL || GPOINTER_TO_UINT(data) != batch) {
        return G_SOURCE_REMOVE;
    }
    g_clear_pointer(&job, rb_job_unref);
    for (int i = 0; i < BATCH; i++) {
        g_clear_pointer(&running[i], ask_free);
    }
    start();
    return G_SOURCE_REMOVE;
}

/* Progress wakes too. Once the job is done all its news is on the way: the end goes behind it. */
static gboolean on_woken(void *data)
{
    if (job != NULL && GPOINTER_TO_UINT(data) == batch && rb_job_is_done(job)) {
        g_idle_add(on_end, data);
    }
    return G_SOURCE_REMOVE;
}

static void on_wake(void *data)
{
    g_idle_add(on_woken, data);
}

/* The newest ask, and those of its film among the others. */
static Work *take_batch(void)
{
    Work *work = g_new0(Work, 1);
    work->batch = ++batch;
    const char *film = ((const Ask *)waiting->pdata[waiting->len - 1])->film;
    for (guint i = waiting->len; i-- > 0 && work->n < BATCH;) {
        Ask *ask = waiting->pdata[i];
        if (g_str_equal(ask->film, film)) {
            work->asks[work->n] = (RbThumbAsk){ g_strdup(ask->film), ask->frame };
            running[work->n++] = ask;
            g_ptr_array_steal_index(waiting, i);
        }
    }
    return work;
}

static void start(void)
{
    if (job != NULL || waiting == NULL || waiting->len == 0) {
        return;
    }
    if (jobs == NULL) {
        jobs = rb_jobs_new_behind(1);
    }
    Work *work = take_batch();
    const RbJobSpec spec = { .run = run,
                             .data = work,
                             .free_data = work_free,
                             .free_result = g_free,
                             .wake = on_wake,
                             .wake_data = GUINT_TO_POINTER(batch) };
    job = rb_jobs_submit(jobs, &spec);
}

/* When the rows that ask have all asked: the last of them is to be the first. */
static gboolean on_start(void *data)
{
    (void)data;
    start();
    return G_SOURCE_REMOVE;
}

/* ---- asking */

guint rb_thumb_maker_ask(const char *film, int64_t frame, RbThumbTold told, void *data)
{
    if (waiting == NULL) {
        waiting = g_ptr_array_new_with_free_func(ask_free);
    }
    last_number += last_number == G_MAXUINT ? 2 : 1;
    Ask *ask = g_new(Ask, 1);
    *ask = (Ask){ last_number, g_strdup(film), frame, told, data };
    g_ptr_array_add(waiting, ask);
    g_idle_add(on_start, NULL);
    return ask->number;
}

void rb_thumb_maker_leave(guint number)
{
    for (guint i = 0; waiting != NULL && i < waiting->len; i++) {
        if (((const Ask *)waiting->pdata[i])->number == number) {
            g_ptr_array_remove_index(waiting, i);
            return;
        }
    }
    bool wanted = false;
    for (int i = 0; i < BATCH; i++) {
        if (running[i] != NULL && running[i]->number == number) {
            g_clear_pointer(&running[i], ask_free);
        }
        wanted = wanted || running[i] != NULL;
    }
    if (job != NULL && !wanted) {
        rb_job_cancel(job);
    }
}

void rb_thumb_maker_end(void)
{
    g_clear_pointer(&waiting, g_ptr_array_unref);
    g_clear_pointer(&job, rb_job_unref);
    g_clear_pointer(&jobs, rb_jobs_free);
    for (int i = 0; i < BATCH; i++) {
        g_clear_pointer(&running[i], ask_free);
    }
    g_queue_clear_full(&at_hand, made_free);
}
