/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-layer.h"

typedef struct {
    GtkWidget *bar;     /* owned child */
    RbFilmView *view;   /* borrowed: its parent */
    RbDeck *deck;       /* owned reference */
    RbSession *session; /* owned reference */
    bool on;
} RbFilmLayerPrivate;

G_DEFINE_ABSTRACT_TYPE_WITH_PRIVATE(RbFilmLayer, rb_film_layer, GTK_TYPE_WIDGET)

static RbFilmLayerPrivate *own(RbFilmLayer *layer)
{
    return rb_film_layer_get_instance_private(layer);
}

RbFilmView *rb_film_layer_get_view(RbFilmLayer *layer)
{
    return own(layer)->view;
}

RbDeck *rb_film_layer_get_deck(RbFilmLayer *layer)
{
    return own(layer)->deck;
}

RbSession *rb_film_layer_get_session(RbFilmLayer *layer)
{
    return own(layer)->session;
}

RbProjector *rb_film_layer_get_projector(RbFilmLayer *layer)
{
    return own(layer)->deck != NULL ? rb_deck_get_projector(own(layer)->deck) : NULL;
}

int64_t rb_film_layer_get_frame(RbFilmLayer *layer)
{
    RbProjector *projector = rb_film_layer_get_projector(layer);
    return projector != NULL ? rb_projector_get_frame(projector) : -1;
}

bool rb_film_layer_is_on(RbFilmLayer *layer)
{
    return own(layer)->on;
}

GtkBox *rb_film_layer_get_bar(RbFilmLayer *layer)
{
    return GTK_BOX(own(layer)->bar);
}

GtkLabel *rb_film_layer_add_line(RbFilmLayer *layer)
{
    GtkWidget *label = gtk_label_new("");
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_widget_set_can_target(label, FALSE);
    gtk_widget_set_halign(label, GTK_ALIGN_START);
    gtk_widget_add_css_class(label, "film-remark");
    gtk_box_append(GTK_BOX(own(layer)->bar), label);
    return GTK_LABEL(label);
}

/* ---- on and off */

static void set_on(RbFilmLayer *layer, bool on)
{
    own(layer)->on = on;
    gtk_widget_set_can_target(GTK_WIDGET(layer), on);
    gtk_widget_set_focusable(GTK_WIDGET(layer), on);
    gtk_widget_set_visible(own(layer)->bar, on);
    gtk_widget_queue_draw(GTK_WIDGET(layer));
}

void rb_film_layer_begin(RbFilmLayer *layer)
{
    rb_deck_play(own(layer)->deck, 0);
    set_on(layer, true);
    gtk_widget_grab_focus(GTK_WIDGET(layer));
}

void rb_film_layer_end(RbFilmLayer *layer)
{
    set_on(layer, false);
    gtk_widget_activate_action(GTK_WIDGET(layer), "win.rail", NULL);
}

/* ---- what it hears */

static gboolean on_key(GtkEventControllerKey *keys, guint keyval, guint code,
                       GdkModifierType state, RbFilmLayer *layer)
{
    const RbFilmLayerClass *klass = RB_FILM_LAYER_GET_CLASS(layer);
    (void)keys;
    (void)code;
    return own(layer)->on && klass->key != NULL &&
                   (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) == 0
               ? klass->key(layer, keyval, state)
               : GDK_EVENT_PROPAGATE;
}

static void follow_deck(RbFilmLayer *layer)
{
    const RbFilmLayerClass *klass = RB_FILM_LAYER_GET_CLASS(layer);
    if (klass->follow != NULL) {
        klass->follow(layer);
    }
}

void rb_film_layer_stand(RbFilmLayer *layer, RbFilmView *view, RbDeck *deck,
                         RbSession *session)
{
    own(layer)->view = view;
    own(layer)->deck = g_object_ref(deck);
    own(layer)->session = g_object_ref(session);
    rb_film_view_add_layer(view, GTK_WIDGET(layer));
    g_signal_connect_object(deck, "changed", G_CALLBACK(follow_deck), layer,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(deck, "frame", G_CALLBACK(follow_deck), layer,
                            G_CONNECT_SWAPPED);
}

/* ---- the widget */

static void rb_film_layer_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbFilmLayer *layer = RB_FILM_LAYER(widget);
    const RbFilmLayerClass *klass = RB_FILM_LAYER_GET_CLASS(layer);
    if (klass->paint != NULL && own(layer)->view != NULL) {
        klass->paint(layer, snapshot);
    }
    gtk_widget_snapshot_child(widget, own(layer)->bar, snapshot);
}

static void rb_film_layer_dispose(GObject *object)
{
    RbFilmLayerPrivate *layer = own(RB_FILM_LAYER(object));
    g_clear_pointer(&layer->bar, gtk_widget_unparent);
    g_clear_object(&layer->deck);
    g_clear_object(&layer->session);
    G_OBJECT_CLASS(rb_film_layer_parent_class)->dispose(object);
}

static void rb_film_layer_class_init(RbFilmLayerClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_film_layer_dispose;
    GTK_WIDGET_CLASS(klass)->snapshot = rb_film_layer_snapshot;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
}

static void rb_film_layer_init(RbFilmLayer *layer)
{
    GtkWidget *bar = gtk_box_new(GTK_ORIENTATION_VERTICAL, 4);
    gtk_widget_set_halign(bar, GTK_ALIGN_START);
    gtk_widget_set_valign(bar, GTK_ALIGN_END);
    gtk_widget_set_margin_start(bar, 10);
    gtk_widget_set_margin_end(bar, 10);
    gtk_widget_set_margin_bottom(bar, 8);
    gtk_widget_set_parent(bar, GTK_WIDGET(layer));
    own(layer)->bar = bar;
    set_on(layer, false);
    GtkEventController *keys = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(keys, GTK_PHASE_CAPTURE);
    g_signal_connect(keys, "key-pressed", G_CALLBACK(on_key), layer);
    gtk_widget_add_controller(GTK_WIDGET(layer), keys);
}
