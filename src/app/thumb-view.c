/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "thumb-view.h"

#include "thumb-maker.h"

/* Two lines of a row high. */
#define WIDTH 80
#define HEIGHT 45

struct _RbThumbView {
    GtkWidget parent_instance;
    GtkWidget *picture; /* owned child */
    char *film;         /* owned, nullable */
    int64_t frame;
    guint asked; /* 0: nothing is under way */
    bool wanted;
};

G_DEFINE_FINAL_TYPE(RbThumbView, rb_thumb_view, GTK_TYPE_WIDGET)

static void show(RbThumbView *view, GdkTexture *texture)
{
    gtk_picture_set_paintable(GTK_PICTURE(view->picture), GDK_PAINTABLE(texture));
}

static void on_told(GdkTexture *texture, void *data)
{
    RbThumbView *view = data;
    view->asked = 0;
    show(view, texture);
}

static void leave(RbThumbView *view)
{
    if (view->asked != 0) {
        rb_thumb_maker_leave(view->asked);
        view->asked = 0;
    }
}

void rb_thumb_view_set_wanted(RbThumbView *view, bool wanted)
{
    g_return_if_fail(RB_IS_THUMB_VIEW(view));
    if (view->wanted == wanted) {
        return;
    }
    view->wanted = wanted;
    leave(view);
    g_autoptr(GdkTexture) texture =
        wanted && view->film != NULL ? rb_thumb_maker_get(view->film, view->frame) : NULL;
    show(view, texture);
    if (wanted && view->film != NULL && texture == NULL) {
        view->asked = rb_thumb_maker_ask(view->film, view->frame, on_told, view);
    }
}

void rb_thumb_view_set(RbThumbView *view, const char *film, int64_t frame)
{
    g_return_if_fail(RB_IS_THUMB_VIEW(view));
    rb_thumb_view_set_wanted(view, false);
    g_free(view->film);
    view->film = g_strdup(film);
    view->frame = frame;
    if (film == NULL) {
        gtk_widget_add_css_class(GTK_WIDGET(view), "none");
    } else {
        gtk_widget_remove_css_class(GTK_WIDGET(view), "none");
    }
}

void rb_thumb_views_share_out(const GPtrArray *thumbs, GtkWidget *window, bool shown)
{
    graphene_rect_t place;
    const float height = (float)gtk_widget_get_height(window);
    const bool can = shown && gtk_widget_get_mapped(window);
    for (guint i = thumbs->len; i-- > 0;) {
        GtkWidget *thumb = thumbs->pdata[i];
        const bool placed = can && gtk_widget_get_mapped(thumb) &&
                            gtk_widget_compute_bounds(thumb, window, &place);
        rb_thumb_view_set_wanted(RB_THUMB_VIEW(thumb),
                                 placed && place.origin.y < height &&
                                     place.origin.y + place.size.height > 0);
    }
}

bool rb_thumb_view_has_picture(RbThumbView *view)
{
    g_return_val_if_fail(RB_IS_THUMB_VIEW(view), false);
    return gtk_picture_get_paintable(GTK_PICTURE(view->picture)) != NULL;
}

GtkWidget *rb_thumb_view_new(const char *film, int64_t frame)
{
    RbThumbView *view = g_object_new(RB_TYPE_THUMB_VIEW, "accessible-role",
                                     GTK_ACCESSIBLE_ROLE_PRESENTATION, NULL);
    rb_thumb_view_set(view, film, frame);
    return GTK_WIDGET(view);
}

/* As large as it was asked to be, whatever the picture is. */
static void rb_thumb_view_measure(GtkWidget *widget, GtkOrientation orientation,
                                  int for_size, int *minimum, int *natural,
                                  int *minimum_baseline, int *natural_baseline)
{
    (void)widget;
    (void)orientation;
    (void)for_size;
    *minimum = *natural = 0;
    *minimum_baseline = *natural_baseline = -1;
}

static void rb_thumb_view_size_allocate(GtkWidget *widget, int width, int height,
                                        int baseline)
{
    gtk_widget_allocate(RB_THUMB_VIEW(widget)->picture, width, height, baseline, NULL);
}

static void rb_thumb_view_dispose(GObject *object)
{
    RbThumbView *view = RB_THUMB_VIEW(object);
    leave(view);
    g_clear_pointer(&view->picture, gtk_widget_unparent);
    G_OBJECT_CLASS(rb_thumb_view_parent_class)->dispose(object);
}

static void rb_thumb_view_finalize(GObject *object)
{
    g_free(RB_THUMB_VIEW(object)->film);
    G_OBJECT_CLASS(rb_thumb_view_parent_class)->finalize(object);
}

static void rb_thumb_view_class_init(RbThumbViewClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_thumb_view_dispose;
    G_OBJECT_CLASS(klass)->finalize = rb_thumb_view_finalize;
    widget_class->measure = rb_thumb_view_measure;
    widget_class->size_allocate = rb_thumb_view_size_allocate;
    gtk_widget_class_set_css_name(widget_class, "thumb");
}

static void rb_thumb_view_init(RbThumbView *view)
{
    view->picture = g_object_new(GTK_TYPE_PICTURE, "accessible-role",
                                 GTK_ACCESSIBLE_ROLE_PRESENTATION, NULL);
    /* Its own size is that of the thumbnail; here it has that of the row. */
    gtk_picture_set_can_shrink(GTK_PICTURE(view->picture), TRUE);
    gtk_widget_set_parent(view->picture, GTK_WIDGET(view));
    gtk_widget_set_size_request(GTK_WIDGET(view), WIDTH, HEIGHT);
    gtk_widget_set_halign(GTK_WIDGET(view), GTK_ALIGN_START);
    gtk_widget_set_valign(GTK_WIDGET(view), GTK_ALIGN_CENTER);
    gtk_widget_set_can_target(GTK_WIDGET(view), FALSE);
}
