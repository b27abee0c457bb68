/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-view.h"

#include <glib/gi18n.h>
#include <inttypes.h>

#include "film-paintable.h"
#include "notice.h"

struct _RbFilmView {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *overlay;
    GtkPicture *picture;
    GtkPicture *second;
    RbNotice *notice;
    GtkLabel *remark;
    GtkLabel *mark;
    GtkLabel *counts;

    RbFilmPaintable *paintable; /* owned */
    RbFilmPaintable *beside;    /* owned */
    RbDeck *deck;               /* owned, nullable */
    char *lack;                 /* owned, nullable: see rb_film_view_set_lack() */
    RbFilmWindow drag_from;     /* while a pointer moves the picture */
};

G_DEFINE_FINAL_TYPE(RbFilmView, rb_film_view, GTK_TYPE_WIDGET)

/* One step of the zoom. */
#define CLOSER 1.25

static void show_second(RbFilmView *view)
{
    RbProjector *second = rb_deck_get_second(view->deck);
    gtk_widget_set_visible(GTK_WIDGET(view->second), second != NULL);
    if (second == NULL) {
        return;
    }
    rb_film_paintable_set(view->beside, rb_projector_get_texture(second),
                          rb_projector_get_pixel_shape(second));
    g_autofree char *frame =
        g_strdup_printf(_("frame %" PRId64), rb_projector_get_frame(second));
    gtk_accessible_update_property(GTK_ACCESSIBLE(view->second),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, frame, -1);
}

/* A picture that only stands in for the wanted one says so. */
static void show_mark(RbFilmView *view)
{
    RbProjector *projector = rb_deck_get_projector(view->deck);
    const bool stands_in = projector != NULL &&
                           rb_projector_get_texture(projector) != NULL &&
                           !rb_projector_is_exact(projector);
    gtk_widget_set_visible(GTK_WIDGET(view->mark), stands_in);
    if (stands_in) {
        g_autofree char *words = g_strdup_printf(_("≈ frame %" PRId64 " for %" PRId64),
                                                 rb_projector_get_frame(projector),
                                                 rb_projector_get_wanted(projector));
        gtk_label_set_text(view->mark, words);
    }
}

static void show_counts(RbFilmView *view)
{
    RbProjector *projector = rb_deck_get_projector(view->deck);
    if (projector == NULL || !gtk_widget_get_visible(GTK_WIDGET(view->counts))) {
        return;
    }
    RbFilmPlayerCounts counts;
    rb_projector_get_counts(projector, &counts);
    g_autofree char *words =
        g_strdup_printf(_("%" PRId64 " shown, %" PRId64 " left out, %" PRId64 " late"),
                        counts.shown, counts.dropped, counts.late);
    gtk_label_set_text(view->counts, words);
}

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
    const double zoom = rb_film_view_get_zoom(view);
    g_autofree char *frame =
        g_strdup_printf(_("frame %" PRId64), rb_projector_get_frame(projector));
    g_autofree char *close = g_strdup_printf(_("frame %" PRId64 " enlarged %.1f times"),
                                             rb_projector_get_frame(projector), zoom);
    gtk_accessible_update_property(GTK_ACCESSIBLE(view->picture),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                   zoom > 1 ? close : frame, -1);
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
            view->lack != NULL
                ? view->lack
                : _("Its facts, tags and verdict are on the right. “Load film” in the "
                    "menu brings film in."),
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
        projector != NULL && rb_projector_get_texture(projector) != NULL &&
                rb_projector_get_state(projector) != RB_PROJECTOR_FAILED
            ? rb_projector_get_sentence(projector)
            : NULL;
    gtk_widget_set_visible(GTK_WIDGET(view->remark), sentence != NULL);
    gtk_label_set_text(view->remark, sentence != NULL ? sentence : "");
}

static void on_changed(RbFilmView *view)
{
    show_picture(view);
    show_second(view);
    show_mark(view);
    show_counts(view);
    show_notice(view);
    show_remark(view);
}

static void set_window(RbFilmView *view, RbFilmWindow window)
{
    const bool was_close = rb_film_view_get_zoom(view) > 1;
    rb_film_paintable_set_window(view->paintable, window);
    rb_film_paintable_set_window(view->beside, window);
    const bool is_close = rb_film_view_get_zoom(view) > 1;
    if (is_close != was_close && view->deck != NULL) {
        rb_deck_set_close(view->deck, is_close); /* sharp: as large as the film has it */
    }
    if (view->deck != NULL) {
        show_picture(view);
    }
}

double rb_film_view_get_zoom(RbFilmView *view)
{
    return rb_film_paintable_get_window(view->paintable).zoom;
}

void rb_film_view_zoom(RbFilmView *view, int direction)
{
    g_return_if_fail(RB_IS_FILM_VIEW(view));
    RbFilmWindow window = rb_film_paintable_get_window(view->paintable);
    window.zoom = direction > 0   ? window.zoom * CLOSER
                  : direction < 0 ? window.zoom / CLOSER
                                  : 1;
    set_window(view, window);
}

void rb_film_view_pan(RbFilmView *view, double across, double down)
{
    g_return_if_fail(RB_IS_FILM_VIEW(view));
    RbFilmWindow window = rb_film_paintable_get_window(view->paintable);
    window.x += across / window.zoom;
    window.y += down / window.zoom;
    set_window(view, window);
}

void rb_film_view_toggle_counts(RbFilmView *view)
{
    g_return_if_fail(RB_IS_FILM_VIEW(view));
    GtkWidget *counts = GTK_WIDGET(view->counts);
    gtk_widget_set_visible(counts, !gtk_widget_get_visible(counts));
    show_counts(view);
}

/* The part of its widget that a picture fills. */
static graphene_rect_t filled(GtkPicture *picture, RbFilmPaintable *paintable)
{
    GdkPaintable *shown = GDK_PAINTABLE(paintable);
    const double width = gtk_widget_get_width(GTK_WIDGET(picture));
    const double height = gtk_widget_get_height(GTK_WIDGET(picture));
    const double shape = gdk_paintable_get_intrinsic_aspect_ratio(shown) > 0
                             ? gdk_paintable_get_intrinsic_aspect_ratio(shown)
                             : 16.0 / 9;
    const double wide = MIN(width, height * shape);
    const double high = wide / shape;
    return GRAPHENE_RECT_INIT((float)((width - wide) / 2), (float)((height - high) / 2),
                              (float)MAX(wide, 1), (float)MAX(high, 1));
}

/* The part of the view that the first picture fills. */
static graphene_rect_t picture_area(RbFilmView *view)
{
    return filled(view->picture, view->paintable);
}

/* Where the whole picture lies when only a window of it fills `seen`. */
static graphene_rect_t whole_of(graphene_rect_t seen, RbFilmWindow window)
{
    const double zoom = MAX(window.zoom, 1);
    const double width = seen.size.width * zoom;
    const double height = seen.size.height * zoom;
    const double x = zoom > 1 ? window.x : 0.5;
    const double y = zoom > 1 ? window.y : 0.5;
    return GRAPHENE_RECT_INIT((float)(seen.origin.x + seen.size.width / 2 - x * width),
                              (float)(seen.origin.y + seen.size.height / 2 - y * height),
                              (float)width, (float)height);
}

graphene_rect_t rb_film_view_get_area(RbFilmView *view)
{
    return whole_of(picture_area(view), rb_film_paintable_get_window(view->paintable));
}

graphene_rect_t rb_film_view_get_second_area(RbFilmView *view)
{
    graphene_rect_t seen = filled(view->second, view->beside);
    double x = 0;
    double y = 0;
    gtk_widget_translate_coordinates(GTK_WIDGET(view->second), GTK_WIDGET(view), 0, 0, &x,
                                     &y);
    graphene_rect_offset(&seen, (float)x, (float)y);
    return whole_of(seen, rb_film_paintable_get_window(view->beside));
}

void rb_film_view_add_layer(RbFilmView *view, GtkWidget *layer)
{
    gtk_overlay_add_overlay(GTK_OVERLAY(view->overlay), layer);
}

/* The wheel brings the spot under the pointer closer and keeps it there. */
static gboolean on_scroll(GtkEventControllerScroll *scroll, double dx, double dy,
                          gpointer data)
{
    (void)dx;
    RbFilmView *view = data;
    RbFilmWindow window = rb_film_paintable_get_window(view->paintable);
    const graphene_rect_t area = picture_area(view);
    double x = area.origin.x + area.size.width / 2;
    double y = area.origin.y + area.size.height / 2;
    GdkEvent *event =
        gtk_event_controller_get_current_event(GTK_EVENT_CONTROLLER(scroll));
    double event_x = 0;
    double event_y = 0;
    GtkWidget *root = GTK_WIDGET(gtk_widget_get_root(GTK_WIDGET(view)));
    if (event != NULL && gdk_event_get_position(event, &event_x, &event_y)) {
        gtk_widget_translate_coordinates(root, GTK_WIDGET(view->picture), event_x,
                                         event_y, &x, &y);
    }
    const double right = (x - area.origin.x) / area.size.width - 0.5;
    const double down = (y - area.origin.y) / area.size.height - 0.5;
    const double spot_x = window.x + right / window.zoom;
    const double spot_y = window.y + down / window.zoom;
    window.zoom = CLAMP(dy < 0 ? window.zoom * CLOSER : window.zoom / CLOSER, 1, 8);
    window.x = spot_x - right / window.zoom;
    window.y = spot_y - down / window.zoom;
    set_window(view, window);
    return GDK_EVENT_STOP;
}

static void on_drag_begin(GtkGestureDrag *drag, double x, double y, gpointer data)
{
    (void)drag;
    (void)x;
    (void)y;
    RbFilmView *view = data;
    view->drag_from = rb_film_paintable_get_window(view->paintable);
}

static void on_drag_update(GtkGestureDrag *drag, double dx, double dy, gpointer data)
{
    (void)drag;
    RbFilmView *view = data;
    const graphene_rect_t area = picture_area(view);
    RbFilmWindow window = view->drag_from;
    window.x -= dx / area.size.width / window.zoom;
    window.y -= dy / area.size.height / window.zoom;
    set_window(view, window);
}

static void add_pointer(RbFilmView *view)
{
    GtkEventController *scroll =
        gtk_event_controller_scroll_new(GTK_EVENT_CONTROLLER_SCROLL_VERTICAL);
    g_signal_connect(scroll, "scroll", G_CALLBACK(on_scroll), view);
    gtk_widget_add_controller(GTK_WIDGET(view), scroll);
    GtkGesture *drag = gtk_gesture_drag_new();
    g_signal_connect(drag, "drag-begin", G_CALLBACK(on_drag_begin), view);
    g_signal_connect(drag, "drag-update", G_CALLBACK(on_drag_update), view);
    gtk_widget_add_controller(GTK_WIDGET(view), GTK_EVENT_CONTROLLER(drag));
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

void rb_film_view_set_lack(RbFilmView *view, const char *sentence)
{
    g_return_if_fail(RB_IS_FILM_VIEW(view));
    g_free(view->lack);
    view->lack = g_strdup(sentence);
}

static void rb_film_view_dispose(GObject *object)
{
    RbFilmView *view = RB_FILM_VIEW(object);
    g_clear_pointer(&view->lack, g_free);
    gtk_widget_dispose_template(GTK_WIDGET(view), RB_TYPE_FILM_VIEW);
    g_clear_object(&view->paintable);
    g_clear_object(&view->beside);
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
    gtk_widget_class_bind_template_child(widget_class, RbFilmView, second);
    gtk_widget_class_bind_template_child(widget_class, RbFilmView, mark);
    gtk_widget_class_bind_template_child(widget_class, RbFilmView, counts);
}

static void rb_film_view_init(RbFilmView *view)
{
    gtk_widget_init_template(GTK_WIDGET(view));
    view->paintable = g_object_new(RB_TYPE_FILM_PAINTABLE, NULL);
    gtk_picture_set_paintable(view->picture, GDK_PAINTABLE(view->paintable));
    view->beside = g_object_new(RB_TYPE_FILM_PAINTABLE, NULL);
    gtk_picture_set_paintable(view->second, GDK_PAINTABLE(view->beside));
    add_pointer(view);
}
