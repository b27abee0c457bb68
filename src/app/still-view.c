/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "still-view.h"

#include "rb/work/films.h"

#include "bridge.h"
#include "film-paintable.h"

#define WIDTH 320
#define HEIGHT 180

struct _RbStillView {
    GtkBox parent_instance;
    GtkPicture *picture;
    GtkLabel *label;
    RbJobs *jobs;   /* owned */
    RbJob *job;     /* owned, nullable: a frame is being fetched */
    RbWaker *waker; /* owned */
    char *film;     /* owned, nullable: what is shown or fetched … */
    int64_t frame;
};

G_DEFINE_FINAL_TYPE(RbStillView, rb_still_view, GTK_TYPE_BOX)

typedef struct {
    char *film; /* owned */
    int64_t frame;
} Ask;

static void ask_free(void *data)
{
    Ask *ask = data;
    g_free(ask->film);
    g_free(ask);
}

static void free_picture(void *picture)
{
    rb_picture_unref(picture);
}

/* RbJobRun, on a worker. */
static void *fetch(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    (void)progress;
    const Ask *ask = data;
    return rb_film_still(ask->film, ask->frame, RB_PIXELS_BGRA, cancel, error);
}

static void on_news(void *data)
{
    RbStillView *view = data;
    if (view->job == NULL || !rb_job_is_done(view->job)) {
        return;
    }
    RbPicture *picture = rb_job_take_result(view->job, NULL);
    g_clear_pointer(&view->job, rb_job_unref);
    g_autoptr(GdkTexture) texture = picture != NULL ? rb_film_texture_new(picture) : NULL;
    gtk_picture_set_paintable(view->picture, GDK_PAINTABLE(texture));
}

static void drop_job(RbStillView *view)
{
    if (view->job != NULL) {
        rb_job_cancel(view->job);
        g_clear_pointer(&view->job, rb_job_unref);
    }
}

void rb_still_view_show(RbStillView *view, const char *film, int64_t frame,
                        const char *words)
{
    g_return_if_fail(RB_IS_STILL_VIEW(view));
    gtk_label_set_text(view->label, words != NULL ? words : "");
    gtk_accessible_update_property(GTK_ACCESSIBLE(view->picture),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   words != NULL ? words : "", -1);
    if (g_strcmp0(view->film, film) == 0 && view->frame == frame) {
        return;
    }
    drop_job(view);
    g_free(view->film);
    view->film = g_strdup(film);
    view->frame = frame;
    if (film == NULL || frame < 0) {
        gtk_picture_set_paintable(view->picture, NULL);
        return;
    }
    Ask *ask = g_new(Ask, 1);
    *ask = (Ask){ g_strdup(film), frame };
    const RbJobSpec spec = { .run = fetch,
                             .data = ask,
                             .free_data = ask_free,
                             .free_result = free_picture,
                             .wake = rb_waker_wake,
                             .wake_data = view->waker };
    view->job = rb_jobs_submit(view->jobs, &spec);
}

static void rb_still_view_dispose(GObject *object)
{
    RbStillView *view = RB_STILL_VIEW(object);
    drop_job(view);
    g_clear_pointer(&view->jobs, rb_jobs_free);
    g_clear_pointer(&view->waker, rb_waker_free);
    g_clear_pointer(&view->film, g_free);
    G_OBJECT_CLASS(rb_still_view_parent_class)->dispose(object);
}

static void rb_still_view_class_init(RbStillViewClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_still_view_dispose;
}

static void rb_still_view_init(RbStillView *view)
{
    GtkWidget *picture = gtk_picture_new();
    GtkWidget *label = gtk_label_new("");
    view->picture = GTK_PICTURE(picture);
    view->label = GTK_LABEL(label);
    view->jobs = rb_jobs_new(1);
    view->waker = rb_waker_new(on_news, view);
    view->frame = -1;
    gtk_orientable_set_orientation(GTK_ORIENTABLE(view), GTK_ORIENTATION_VERTICAL);
    gtk_box_set_spacing(GTK_BOX(view), 4);
    gtk_picture_set_can_shrink(view->picture, true);
    gtk_widget_set_size_request(picture, WIDTH, HEIGHT);
    gtk_label_set_wrap(view->label, true);
    gtk_label_set_xalign(view->label, 0.0F);
    gtk_label_set_max_width_chars(view->label, 40);
    gtk_widget_add_css_class(label, "muted");
    gtk_box_append(GTK_BOX(view), picture);
    gtk_box_append(GTK_BOX(view), label);
}

GtkWidget *rb_still_view_new(void)
{
    return g_object_new(RB_TYPE_STILL_VIEW, NULL);
}
