/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-view.h"

#include <glib/gi18n.h>

#include "film-paintable.h"
#include "notice.h"

struct _RbFilmView {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *overlay;
    GtkPicture *picture;
    RbNotice *notice;
    GtkLabel *remark;

    RbFilmPaintable *paintable; /* owned */
    RbDeck *deck;               /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbFilmView, rb_film_view, GTK_TYPE_WIDGET)

static void show_picture(RbFilmView *view)
{
    RbProjector *projector = rb_deck_get_projector(view->deck);
    GdkTexture *texture = projector != NULL ? rb_projector_get_texture(projector) : NULL;
    const RbRational square = { 1, 1 };
    rb_film_paintable_set(view->paintable, texture,
                          projector != NULL ? rb_projector_get_pixel_shape(projector)
                                            : square);
    if (texture == NULL) {
        return;
    }
    /* The frame that is really shown, not the one asked for. */
    g_autofree char *frame =
        g_strdup_printf(_("frame %" G_GINT64_FORMAT), rb_projector_get_frame(projector));
    gtk_accessible_update_property(GTK_ACCESSIBLE(view->picture),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, frame, -1);
}

static void show_notice(RbFilmView *view)
{
    RbProjector *projector = rb_deck_get_projector(view->deck);
    const bool failed =
        projector != NULL && rb_projector_get_state(projector) == RB_PROJECTOR_FAILED;
    const bool waiting =
        projector != NULL && !failed && rb_projector_get_texture(projector) == NULL;
    gtk_widget_set_visible(GTK_WIDGET(view->notice),
                           projector == NULL || failed || waiting);
    if (failed) {
        rb_notice_set(view->notice, _("This film cannot be shown"),
                      rb_projector_get_sentence(projector), _("Look for the film…"),
                      "win.find-film");
    } else if (rb_deck_is_film_missing(view->deck)) {
        rb_notice_set(view->notice, _("The film is not where it was"),
                      _("Connect the drive that holds it, or say which folder it is in. "
                        "Tags and verdicts do not need it."),
                      _("Look for the film…"), "win.find-film");
    } else if (projector == NULL) {
        rb_notice_set(
            view->notice, _("No film of this snap"),
            _("Its facts, tags and verdict are on the right. Film is added with "
              "“readbreak-cli film add”."),
            NULL, NULL);
    } else if (waiting) {
        rb_notice_set(view->notice, _("Reading the film"), NULL, NULL, NULL);
        rb_notice_set_progress(view->notice, rb_projector_get_progress(projector), NULL);
    }
}

static void show_remark(RbFilmView *view)
{
    RbProjector *projector = rb_deck_get_projector(view->deck);
    const char *sentence =
        projector != NULL && rb_projector_get_state(projector) == RB_PROJECTOR_READY
            ? rb_projector_get_sentence(projector)
            : NULL;
    gtk_widget_set_visible(GTK_WIDGET(view->remark), sentence != NULL);
    gtk_label_set_text(view->remark, sentence != NULL ? sentence : "");
}

static void on_changed(RbFilmView *view)
{
    show_picture(view);
    show_notice(view);
    show_remark(view);
}

void rb_film_view_set_deck(RbFilmView *view, RbDeck *deck)
{
    g_return_if_fail(RB_IS_FILM_VIEW(view));
    g_return_if_fail(view->deck == NULL);
    view->deck = g_object_ref(deck);
    g_signal_connect_object(deck, "changed", G_CALLBACK(on_changed), view,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(deck, "frame", G_CALLBACK(on_changed), view,
                            G_CONNECT_SWAPPED);
    on_changed(view);
}

static void rb_film_view_dispose(GObject *object)
{
    RbFilmView *view = RB_FILM_VIEW(object);
    gtk_widget_dispose_template(GTK_WIDGET(view), RB_TYPE_FILM_VIEW);
    g_clear_object(&view->paintable);
    g_clear_object(&view->deck);
    G_OBJECT_CLASS(rb_film_view_parent_class)->dispose(object);
}

static void rb_film_view_class_init(RbFilmViewClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_film_view_dispose;
    g_type_ensure(RB_TYPE_NOTICE);
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/film-view.ui");
    gtk_widget_class_bind_template_child(widget_class, RbFilmView, overlay);
    gtk_widget_class_bind_template_child(widget_class, RbFilmView, picture);
    gtk_widget_class_bind_template_child(widget_class, RbFilmView, notice);
    gtk_widget_class_bind_template_child(widget_class, RbFilmView, remark);
}

static void rb_film_view_init(RbFilmView *view)
{
    gtk_widget_init_template(GTK_WIDGET(view));
    view->paintable = g_object_new(RB_TYPE_FILM_PAINTABLE, NULL);
    gtk_picture_set_paintable(view->picture, GDK_PAINTABLE(view->paintable));
}
