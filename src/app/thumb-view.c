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

bool rb_thumb_view_has_picture(RbThumbView *view)
{
    g_return_val_if_fail(RB_IS_THUMB_VIEW(view), false);
    return gtk_picture_get_paintable(GTK_PICTURE(view->picture)) != NULL;
}

GtkWidget *rb_thumb_view_new(const char *film, int64_t frame)
{
    RbThumbView *view = g_object_new(RB_TYPE_THUMB_VIEW, "accessible-role",
                                     GTK_ACCESSIBLE_ROLE_PRESENTATION, NULL);
    view->film = g_strdup(film);
    view->frame = frame;
    if (film == NULL) {
        gtk_widget_add_css_class(GTK_WIDGET(view), "none");
    }
    return GTK_WIDGET(view);
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
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
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
