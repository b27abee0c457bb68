/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "drawn-layer.h"

#include "rb/report/card.h"
#include "rb/report/film-drawing.h"

/* A title card is a picture of this size, as in an exported film. */
enum { CARD_WIDTH = 1280, CARD_HEIGHT = 720 };

struct _RbDrawnLayer {
    GtkWidget parent_instance;
    RbFilmView *view;    /* borrowed: its parent */
    RbDeck *deck;        /* owned reference */
    GPtrArray *drawings; /* owned reference, nullable */
    GPtrArray *beside;   /* owned reference, nullable */
    GdkTexture *card;    /* owned, nullable: shown now */
};

G_DEFINE_FINAL_TYPE(RbDrawnLayer, rb_drawn_layer, GTK_TYPE_WIDGET)

void rb_drawn_layer_paint(cairo_t *cr, const graphene_rect_t *area,
                          const GPtrArray *drawings, int64_t frame)
{
    cairo_save(cr);
    cairo_translate(cr, area->origin.x, area->origin.y);
    for (guint i = 0; drawings != NULL && i < drawings->len; i++) {
        const RbFilmDrawing *drawing = drawings->pdata[i];
        if (rb_film_drawing_is_seen(drawing, frame)) {
            rb_film_drawing_paint(cr, drawing, area->size.width, area->size.height);
        }
    }
    cairo_restore(cr);
}

static void paint_drawings(RbDrawnLayer *layer, cairo_t *cr)
{
    RbProjector *first = rb_deck_get_projector(layer->deck);
    RbProjector *second = rb_deck_get_second(layer->deck);
    if (first != NULL) {
        const graphene_rect_t area = rb_film_view_get_area(layer->view);
        rb_drawn_layer_paint(cr, &area, layer->drawings, rb_projector_get_frame(first));
    }
    if (second != NULL) {
        const graphene_rect_t area = rb_film_view_get_second_area(layer->view);
        rb_drawn_layer_paint(cr, &area, layer->beside, rb_projector_get_frame(second));
    }
}

/* As large as there is room, like the film. */
static void show_card(RbDrawnLayer *layer, GtkSnapshot *snapshot, int width, int height)
{
    const float wide = MIN((float)width, (float)height * CARD_WIDTH / CARD_HEIGHT);
    const float high = wide * CARD_HEIGHT / CARD_WIDTH;
    const GdkRGBA black = { 0, 0, 0, 1 };
    const graphene_rect_t whole = GRAPHENE_RECT_INIT(0, 0, (float)width, (float)height);
    const graphene_rect_t card = GRAPHENE_RECT_INIT(
        ((float)width - wide) / 2, ((float)height - high) / 2, wide, high);
    gtk_snapshot_append_color(snapshot, &black, &whole);
    gtk_snapshot_append_texture(snapshot, layer->card, &card);
}

static void rb_drawn_layer_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbDrawnLayer *layer = RB_DRAWN_LAYER(widget);
    const int width = gtk_widget_get_width(widget);
    const int height = gtk_widget_get_height(widget);
    if (layer->card != NULL) {
        show_card(layer, snapshot, width, height);
    } else if ((layer->drawings != NULL && layer->drawings->len > 0) ||
               (layer->beside != NULL && layer->beside->len > 0)) {
        const graphene_rect_t whole =
            GRAPHENE_RECT_INIT(0, 0, (float)width, (float)height);
        cairo_t *cr = gtk_snapshot_append_cairo(snapshot, &whole);
        paint_drawings(layer, cr);
        cairo_destroy(cr);
    }
}

static void take(GPtrArray **place, GPtrArray *drawings)
{
    g_clear_pointer(place, g_ptr_array_unref);
    *place = drawings != NULL ? g_ptr_array_ref(drawings) : NULL;
}

void rb_drawn_layer_set(RbDrawnLayer *layer, GPtrArray *drawings, GPtrArray *beside)
{
    g_return_if_fail(RB_IS_DRAWN_LAYER(layer));
    take(&layer->drawings, drawings);
    take(&layer->beside, beside);
    gtk_widget_queue_draw(GTK_WIDGET(layer));
}

static GdkTexture *card_texture(const GPtrArray *lines)
{
    g_autoptr(GPtrArray) ended = g_ptr_array_new();
    for (guint i = 0; i < lines->len; i++) {
        g_ptr_array_add(ended, lines->pdata[i]);
    }
    g_ptr_array_add(ended, NULL);
    g_autofree uint8_t *gray = rb_title_card_draw(
        (const char *const *)(const void *)ended->pdata, CARD_WIDTH, CARD_HEIGHT);
    const gsize n = (gsize)CARD_WIDTH * CARD_HEIGHT;
    uint8_t *rgb = g_malloc(n * 3);
    for (gsize i = 0; i < n * 3; i++) {
        rgb[i] = gray[i / 3];
    }
    g_autoptr(GBytes) bytes = g_bytes_new_take(rgb, n * 3);
    return gdk_memory_texture_new(CARD_WIDTH, CARD_HEIGHT, GDK_MEMORY_R8G8B8, bytes,
                                  CARD_WIDTH * 3);
}

void rb_drawn_layer_set_card(RbDrawnLayer *layer, const GPtrArray *lines)
{
    g_return_if_fail(RB_IS_DRAWN_LAYER(layer));
    g_clear_object(&layer->card);
    g_autoptr(GString) said = g_string_new(NULL);
    for (guint i = 0; lines != NULL && i < lines->len; i++) {
        g_string_append_printf(said, "%s%s", i > 0 ? ". " : "", (char *)lines->pdata[i]);
    }
    if (said->len > 0) {
        layer->card = card_texture(lines);
    }
    /* What a screen reader hears of it. */
    gtk_accessible_update_property(GTK_ACCESSIBLE(layer), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   said->str, -1);
    gtk_widget_queue_draw(GTK_WIDGET(layer));
}

RbDrawnLayer *rb_drawn_layer_add(RbFilmView *view, RbDeck *deck)
{
    RbDrawnLayer *layer = g_object_new(RB_TYPE_DRAWN_LAYER, NULL);
    layer->view = view;
    layer->deck = g_object_ref(deck);
    gtk_widget_set_can_target(GTK_WIDGET(layer), FALSE);
    rb_film_view_add_layer(view, GTK_WIDGET(layer));
    g_signal_connect_object(deck, "changed", G_CALLBACK(gtk_widget_queue_draw), layer,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(deck, "frame", G_CALLBACK(gtk_widget_queue_draw), layer,
                            G_CONNECT_SWAPPED);
    return layer;
}

static void rb_drawn_layer_dispose(GObject *object)
{
    RbDrawnLayer *layer = RB_DRAWN_LAYER(object);
    g_clear_pointer(&layer->drawings, g_ptr_array_unref);
    g_clear_pointer(&layer->beside, g_ptr_array_unref);
    g_clear_object(&layer->card);
    g_clear_object(&layer->deck);
    G_OBJECT_CLASS(rb_drawn_layer_parent_class)->dispose(object);
}

static void rb_drawn_layer_class_init(RbDrawnLayerClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_drawn_layer_dispose;
    GTK_WIDGET_CLASS(klass)->snapshot = rb_drawn_layer_snapshot;
    gtk_widget_class_set_accessible_role(GTK_WIDGET_CLASS(klass),
                                         GTK_ACCESSIBLE_ROLE_IMG);
}

static void rb_drawn_layer_init(RbDrawnLayer *layer)
{
    (void)layer;
}
