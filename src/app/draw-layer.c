/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "draw-layer.h"

#include <glib/gi18n.h>

#include "rb/report/film-drawing.h"

#include "drawn-layer.h"

/* One press of an arrow key; with Shift. Ten-thousandths of the picture. */
enum { STEP = 250, SMALL_STEP = 50 };

/* Half the width of the ring where the next drawing begins, in pixels. */
#define SPOT 7

struct _RbDrawLayer {
    RbFilmLayer parent_instance;
    GtkLabel *hint; /* says what the keys do */
    GtkEditable *words;
    RbClipId clip;        /* whose drawings were asked for */
    RbFilmDrawing *draft; /* owned, nullable: being drawn */
    bool placed;          /* its first point is set */
};

G_DEFINE_FINAL_TYPE(RbDrawLayer, rb_draw_layer, RB_TYPE_FILM_LAYER)

static RbDeck *deck_of(RbDrawLayer *layer)
{
    return rb_film_layer_get_deck(RB_FILM_LAYER(layer));
}

static RbSession *session_of(RbDrawLayer *layer)
{
    return rb_film_layer_get_session(RB_FILM_LAYER(layer));
}

static void show_hint(RbDrawLayer *layer)
{
    if (layer->draft == NULL) {
        return;
    }
    const bool text = layer->draft->kind == RB_DRAW_TEXT;
    g_autofree char *kind =
        g_utf8_strdown(rb_words_label(&rb_draw_kind_words, (int)layer->draft->kind), -1);
    g_autofree char *hint =
        layer->placed && !text
            ? g_strdup_printf(_("Drawing: %s. Arrow keys move its end, Enter keeps it, "
                                "Escape starts over."),
                              kind)
            : g_strdup_printf(
                  _("Drawing: %s. L line, A arrow, C circle, T text. Drag, or arrow keys "
                    "and Enter. Delete takes the last one off. Escape ends."),
                  kind);
    gtk_label_set_text(layer->hint, hint);
    gtk_widget_set_visible(GTK_WIDGET(layer->words), text && layer->placed);
    gtk_widget_queue_draw(GTK_WIDGET(layer));
}

static void new_draft(RbDrawLayer *layer, RbDrawKind kind, int x, int y)
{
    rb_film_drawing_free(layer->draft);
    layer->draft = rb_film_drawing_new((RbFilmDrawingId){ 0 }, layer->clip);
    layer->draft->kind = kind;
    layer->draft->x1 = layer->draft->x2 = x;
    layer->draft->y1 = layer->draft->y2 = y;
    layer->placed = false;
    gtk_editable_set_text(layer->words, "");
    show_hint(layer);
}

/* ---- keeping */

static void keep(RbDrawLayer *layer)
{
    RbFilmDrawing *draft = layer->draft;
    int64_t first = 0;
    int64_t last = 0;
    if (!rb_deck_get_span(deck_of(layer), &first, &last)) {
        first = last = rb_deck_get_frame_at_hand(deck_of(layer));
    }
    draft->clip = layer->clip;
    draft->first = first;
    draft->last = last;
    rb_session_save_drawing(session_of(layer), rb_film_drawing_copy(draft));
    new_draft(layer, draft->kind, draft->x2, draft->y2);
    gtk_widget_grab_focus(GTK_WIDGET(layer));
}

static void on_words(RbDrawLayer *layer)
{
    if (layer->draft != NULL) {
        g_free(layer->draft->words);
        layer->draft->words = g_strdup(gtk_editable_get_text(layer->words));
        keep(layer);
    }
}

/* Sets the first point, then the second. */
static void set_point(RbDrawLayer *layer)
{
    if (layer->placed) {
        keep(layer);
        return;
    }
    layer->placed = true;
    show_hint(layer);
    if (layer->draft->kind == RB_DRAW_TEXT) {
        gtk_widget_grab_focus(GTK_WIDGET(layer->words));
    }
}

static void take_last_off(RbDrawLayer *layer)
{
    const GPtrArray *drawings = rb_session_get_drawings(session_of(layer));
    const int64_t frame = rb_film_layer_get_frame(RB_FILM_LAYER(layer));
    for (guint i = drawings != NULL ? drawings->len : 0; i > 0; i--) {
        const RbFilmDrawing *drawing = drawings->pdata[i - 1];
        if (rb_film_drawing_is_seen(drawing, frame)) {
            rb_session_remove_drawing(session_of(layer), drawing->id);
            return;
        }
    }
}

static void end(RbDrawLayer *layer)
{
    g_clear_pointer(&layer->draft, rb_film_drawing_free);
    rb_film_layer_end(RB_FILM_LAYER(layer));
}

void rb_draw_layer_toggle(RbDrawLayer *layer)
{
    g_return_if_fail(RB_IS_DRAW_LAYER(layer));
    const RbClip *clip = rb_deck_get_clip(deck_of(layer));
    if (layer->draft != NULL) {
        end(layer);
    } else if (clip != NULL && rb_film_layer_get_frame(RB_FILM_LAYER(layer)) >= 0) {
        new_draft(layer, RB_DRAW_ARROW, RB_DRAW_WHOLE / 2, RB_DRAW_WHOLE / 2);
        rb_film_layer_begin(RB_FILM_LAYER(layer));
    }
}

/* ---- keys */

static void move(RbDrawLayer *layer, int dx, int dy)
{
    RbFilmDrawing *draft = layer->draft;
    draft->x2 = CLAMP(draft->x2 + dx, 0, RB_DRAW_WHOLE);
    draft->y2 = CLAMP(draft->y2 + dy, 0, RB_DRAW_WHOLE);
    if (!layer->placed) {
        draft->x1 = draft->x2;
        draft->y1 = draft->y2;
    }
    gtk_widget_queue_draw(GTK_WIDGET(layer));
}

static bool choose_kind(RbDrawLayer *layer, guint keyval)
{
    static const struct {
        guint keyval;
        RbDrawKind kind;
    } kinds[] = { { GDK_KEY_l, RB_DRAW_LINE },
                  { GDK_KEY_a, RB_DRAW_ARROW },
                  { GDK_KEY_c, RB_DRAW_CIRCLE },
                  { GDK_KEY_t, RB_DRAW_TEXT } };
    for (size_t i = 0; i < G_N_ELEMENTS(kinds); i++) {
        if (kinds[i].keyval == keyval) {
            layer->draft->kind = kinds[i].kind;
            show_hint(layer);
            return true;
        }
    }
    return false;
}

static void step_out(RbDrawLayer *layer)
{
    if (layer->placed) {
        new_draft(layer, layer->draft->kind, layer->draft->x1, layer->draft->y1);
        gtk_widget_grab_focus(GTK_WIDGET(layer));
    } else {
        end(layer);
    }
}

static gboolean rb_draw_layer_key(RbFilmLayer *base, guint keyval, GdkModifierType state)
{
    RbDrawLayer *layer = RB_DRAW_LAYER(base);
    if (keyval == GDK_KEY_Escape) {
        step_out(layer);
        return GDK_EVENT_STOP;
    }
    if (!gtk_widget_has_focus(GTK_WIDGET(layer))) {
        return GDK_EVENT_PROPAGATE; /* words are being typed */
    }
    const int step = (state & GDK_SHIFT_MASK) != 0 ? SMALL_STEP : STEP;
    switch (keyval) {
    case GDK_KEY_Left:
        move(layer, -step, 0);
        return GDK_EVENT_STOP;
    case GDK_KEY_Right:
        move(layer, step, 0);
        return GDK_EVENT_STOP;
    case GDK_KEY_Up:
        move(layer, 0, -step);
        return GDK_EVENT_STOP;
    case GDK_KEY_Down:
        move(layer, 0, step);
        return GDK_EVENT_STOP;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
        set_point(layer);
        return GDK_EVENT_STOP;
    case GDK_KEY_Delete:
    case GDK_KEY_BackSpace:
        take_last_off(layer);
        return GDK_EVENT_STOP;
    default:
        return choose_kind(layer, keyval) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
    }
}

/* ---- mouse */

static void point_at(RbDrawLayer *layer, double x, double y, int *out_x, int *out_y)
{
    const graphene_rect_t area =
        rb_film_view_get_area(rb_film_layer_get_view(RB_FILM_LAYER(layer)));
    *out_x = CLAMP((int)((x - area.origin.x) / area.size.width * RB_DRAW_WHOLE), 0,
                   RB_DRAW_WHOLE);
    *out_y = CLAMP((int)((y - area.origin.y) / area.size.height * RB_DRAW_WHOLE), 0,
                   RB_DRAW_WHOLE);
}

static void on_drag_begin(GtkGestureDrag *drag, double x, double y, RbDrawLayer *layer)
{
    int at_x = 0;
    int at_y = 0;
    if (layer->draft == NULL) {
        return;
    }
    gtk_gesture_set_state(GTK_GESTURE(drag), GTK_EVENT_SEQUENCE_CLAIMED);
    point_at(layer, x, y, &at_x, &at_y);
    new_draft(layer, layer->draft->kind, at_x, at_y);
    set_point(layer);
}

static void on_drag_update(GtkGestureDrag *drag, double dx, double dy, RbDrawLayer *layer)
{
    double x = 0;
    double y = 0;
    if (layer->draft != NULL && gtk_gesture_drag_get_start_point(drag, &x, &y)) {
        point_at(layer, x + dx, y + dy, &layer->draft->x2, &layer->draft->y2);
        gtk_widget_queue_draw(GTK_WIDGET(layer));
    }
}

static void on_drag_end(GtkGestureDrag *drag, double dx, double dy, RbDrawLayer *layer)
{
    on_drag_update(drag, dx, dy, layer);
    if (layer->draft != NULL && layer->draft->kind != RB_DRAW_TEXT &&
        rb_film_drawing_check(layer->draft, NULL)) {
        keep(layer);
    }
}

/* ---- showing */

static void paint(RbDrawLayer *layer, cairo_t *cr, const graphene_rect_t *area)
{
    const GPtrArray *drawings = rb_session_get_drawings(session_of(layer));
    const bool own =
        drawings != NULL && drawings->len > 0 &&
        ((RbFilmDrawing *)drawings->pdata[0])->clip.value == layer->clip.value;
    rb_drawn_layer_paint(cr, area, own ? drawings : NULL,
                         rb_film_layer_get_frame(RB_FILM_LAYER(layer)));
    cairo_translate(cr, area->origin.x, area->origin.y);
    if (layer->draft == NULL) {
        return;
    }
    if (layer->placed && layer->draft->kind != RB_DRAW_TEXT) {
        rb_film_drawing_paint(cr, layer->draft, area->size.width, area->size.height);
        return;
    }
    RbFilmDrawing spot = *layer->draft; /* where the next one begins */
    spot.kind = RB_DRAW_CIRCLE;
    const int across = (int)(SPOT / area->size.width * RB_DRAW_WHOLE);
    const int down = (int)(SPOT / area->size.height * RB_DRAW_WHOLE);
    spot.x1 -= across;
    spot.x2 += across;
    spot.y1 -= down;
    spot.y2 += down;
    rb_film_drawing_paint(cr, &spot, area->size.width, area->size.height);
}

static void rb_draw_layer_paint(RbFilmLayer *base, GtkSnapshot *snapshot)
{
    RbDrawLayer *layer = RB_DRAW_LAYER(base);
    const GPtrArray *drawings = rb_session_get_drawings(session_of(layer));
    if (layer->draft != NULL || (drawings != NULL && drawings->len > 0)) {
        const graphene_rect_t area = rb_film_view_get_area(rb_film_layer_get_view(base));
        const graphene_rect_t whole =
            GRAPHENE_RECT_INIT(0, 0, (float)gtk_widget_get_width(GTK_WIDGET(layer)),
                               (float)gtk_widget_get_height(GTK_WIDGET(layer)));
        cairo_t *cr = gtk_snapshot_append_cairo(snapshot, &whole);
        paint(layer, cr, &area);
        cairo_destroy(cr);
    }
}

static void rb_draw_layer_follow(RbFilmLayer *base)
{
    RbDrawLayer *layer = RB_DRAW_LAYER(base);
    const RbClip *clip = rb_deck_get_clip(deck_of(layer));
    const RbClipId id = clip != NULL ? clip->id : (RbClipId){ 0 };
    if (id.value != layer->clip.value) {
        layer->clip = id;
        if (layer->draft != NULL) {
            end(layer);
        }
        rb_session_want_drawings(session_of(layer), id);
    }
    gtk_widget_queue_draw(GTK_WIDGET(layer));
}

RbDrawLayer *rb_draw_layer_add(RbFilmView *view, RbDeck *deck, RbSession *session)
{
    RbDrawLayer *layer = g_object_new(RB_TYPE_DRAW_LAYER, NULL);
    rb_film_layer_stand(RB_FILM_LAYER(layer), view, deck, session);
    g_signal_connect_object(session, "drawings", G_CALLBACK(gtk_widget_queue_draw), layer,
                            G_CONNECT_SWAPPED);
    return layer;
}

static void rb_draw_layer_dispose(GObject *object)
{
    RbDrawLayer *layer = RB_DRAW_LAYER(object);
    g_clear_pointer(&layer->draft, rb_film_drawing_free);
    G_OBJECT_CLASS(rb_draw_layer_parent_class)->dispose(object);
}

static void rb_draw_layer_class_init(RbDrawLayerClass *klass)
{
    RbFilmLayerClass *layer_class = RB_FILM_LAYER_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_draw_layer_dispose;
    layer_class->key = rb_draw_layer_key;
    layer_class->follow = rb_draw_layer_follow;
    layer_class->paint = rb_draw_layer_paint;
}

static void rb_draw_layer_init(RbDrawLayer *layer)
{
    GtkWidget *words = gtk_entry_new();
    layer->words = GTK_EDITABLE(words);
    gtk_accessible_update_property(GTK_ACCESSIBLE(words), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Words over the film"), -1);
    g_signal_connect_swapped(words, "activate", G_CALLBACK(on_words), layer);
    gtk_box_append(rb_film_layer_get_bar(RB_FILM_LAYER(layer)), words);
    layer->hint = rb_film_layer_add_line(RB_FILM_LAYER(layer));
    gtk_accessible_update_property(GTK_ACCESSIBLE(layer), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Drawing over the film"), -1);
    GtkGesture *drag = gtk_gesture_drag_new();
    g_signal_connect(drag, "drag-begin", G_CALLBACK(on_drag_begin), layer);
    g_signal_connect(drag, "drag-update", G_CALLBACK(on_drag_update), layer);
    g_signal_connect(drag, "drag-end", G_CALLBACK(on_drag_end), layer);
    gtk_widget_add_controller(GTK_WIDGET(layer), GTK_EVENT_CONTROLLER(drag));
}
