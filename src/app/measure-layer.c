/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>

#include "help.h"
#include "measure-keys.h"
#include "measure-layer-private.h"
#include "measure-paint.h"

/* Pixels of one press of an arrow key; with Shift. */
enum { STEP = 1, LONG_STEP = 10 };
enum { ANY_FRAME = -1 };

G_DEFINE_FINAL_TYPE(RbMeasureLayer, rb_measure_layer, RB_TYPE_FILM_LAYER)

enum { CHANGED, LIST, N_SIGNALS };
static guint signals[N_SIGNALS];

static int64_t frame_shown(RbMeasureLayer *layer)
{
    return rb_film_layer_get_frame(RB_FILM_LAYER(layer));
}

static RbDeck *deck_of(RbMeasureLayer *layer)
{
    return rb_film_layer_get_deck(RB_FILM_LAYER(layer));
}

static RbSession *session_of(RbMeasureLayer *layer)
{
    return rb_film_layer_get_session(RB_FILM_LAYER(layer));
}

static RbReel *reel_of(RbMeasureLayer *layer)
{
    RbProjector *projector = rb_film_layer_get_projector(RB_FILM_LAYER(layer));
    return projector != NULL ? rb_projector_get_reel(projector) : NULL;
}

static RbMeasureGround ground_of(RbMeasureLayer *layer)
{
    RbFilmView *view = rb_film_layer_get_view(RB_FILM_LAYER(layer));
    return (RbMeasureGround){ rb_film_view_get_area(view), layer->width, layer->height };
}

static void enable(RbMeasureLayer *layer, const char *name, bool on)
{
    GAction *action = g_action_map_lookup_action(G_ACTION_MAP(layer->actions), name);
    g_simple_action_set_enabled(G_SIMPLE_ACTION(action), on);
}

static const char *keys_text(RbMeasureLayer *layer)
{
    switch (rb_fieldwork_get_phase(layer->work)) {
    case RB_FIELDWORK_MARKING:
        return rb_fieldwork_get_view(layer->work) == NULL
                   ? _("Click it, or arrows and Enter. Another mark: the keys at the "
                       "right. Backspace takes back, Escape ends.")
                   : _("A measure: the keys at the right. Arrows nudge the last mark, "
                       "Backspace takes it back. Tab: what was measured. Escape ends.");
    case RB_FIELDWORK_MEASURING:
    case RB_FIELDWORK_MEASURED:
        break;
    }
    return _(
        "Arrows nudge the last place, with Shift by ten. Backspace takes back. Escape "
        "ends.");
}

void rb_measure_layer_show(RbMeasureLayer *layer)
{
    gtk_widget_queue_draw(GTK_WIDGET(layer));
    const bool on = layer->work != NULL;
    const bool busy = on && rb_measure_sight_is_waiting(layer->sight);
    enable(layer, "take", on && !busy && rb_fieldwork_get_view(layer->work) != NULL);
    enable(layer, "keep",
           on && rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MEASURED);
    enable(layer, "mark", on);
    enable(layer, "anew", on);
    enable(layer, "back", on);
    if (on) {
        g_autofree char *sentence = rb_measure_sight_get_sentence(layer->sight);
        gtk_label_set_text(layer->sentence, sentence);
        gtk_label_set_text(layer->keys, keys_text(layer));
        gtk_accessible_update_property(GTK_ACCESSIBLE(layer),
                                       GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, sentence, -1);
    } else {
        gtk_accessible_update_property(GTK_ACCESSIBLE(layer),
                                       GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, "", -1);
    }
    g_signal_emit(layer, signals[CHANGED], 0);
}

/* ---- the frame that is looked at */

/* Where in time it lies, from the film itself. */
static void take_moment(RbMeasureLayer *layer)
{
    RbReel *reel = reel_of(layer);
    const RbMark mark = { .frame = layer->at };
    RbTime frame;
    if (reel == NULL || !rb_deck_get_moment(deck_of(layer), layer->at, false, &frame) ||
        !rb_deck_get_moment(deck_of(layer), layer->at, true, &layer->moment)) {
        return;
    }
    const int64_t us =
        rb_reel_get_frame_us(reel, layer->at) + rb_time_diff_us(layer->moment, frame);
    rb_fieldwork_set_frame(layer->work, layer->at, (double)us / 1e6,
                           rb_reel_moment_length(&mark, reel));
}

static void look(RbMeasureLayer *layer)
{
    const RbMeasuresAnswer *kept = rb_session_get_measures(session_of(layer));
    layer->at = frame_shown(layer);
    take_moment(layer);
    rb_measure_sight_look(
        layer->sight, layer->at, layer->film,
        kept != NULL && kept->snap.value == layer->snap.value ? kept->views : NULL);
    rb_measure_layer_show(layer);
}

static void on_sight(void *data)
{
    rb_measure_layer_show(data);
}

static void on_measures(RbMeasureLayer *layer)
{
    if (layer->work != NULL) {
        look(layer);
    }
}

/* ---- begin and end */

static RbRules rules_of(RbSession *session)
{
    const RbSheet *sheet = rb_session_get_sheet(session);
    const RbGame *game =
        sheet != NULL ? rb_names_find_game(sheet->names, sheet->snap->game) : NULL;
    return game != NULL ? game->rules : RB_RULES_COLLEGE;
}

/* The size of the upright picture, as a measure of the library knows it. */
static bool take_size(RbMeasureLayer *layer)
{
    RbReel *reel = reel_of(layer);
    g_autoptr(RbFilmFacts) facts = reel != NULL ? rb_reel_dup_facts(reel) : NULL;
    if (facts == NULL) {
        return false;
    }
    const bool turned = facts->rotation % 180 != 0;
    layer->width = turned ? facts->height : facts->width;
    layer->height = turned ? facts->width : facts->height;
    return layer->width > 0 && layer->height > 0;
}

static void forget(RbMeasureLayer *layer)
{
    rb_measure_sight_end(layer->sight);
    g_clear_pointer(&layer->work, rb_fieldwork_free);
}

static void end(RbMeasureLayer *layer)
{
    forget(layer);
    rb_film_layer_end(RB_FILM_LAYER(layer));
    rb_session_want_measures(session_of(layer), (RbSnapId){ 0 });
    rb_measure_layer_show(layer);
}

static void begin(RbMeasureLayer *layer, const RbClip *clip)
{
    RbProjector *projector = rb_film_layer_get_projector(RB_FILM_LAYER(layer));
    forget(layer);
    layer->clip = clip->id;
    layer->snap = clip->snap;
    layer->film = clip->film;
    layer->at = frame_shown(layer);
    layer->work = rb_fieldwork_new(rules_of(session_of(layer)), layer->width,
                                   layer->height, rb_measure_hand_line(layer));
    rb_fieldwork_set_unit(layer->work, rb_measure_layer_get_unit(layer));
    layer->cursor = (RbPoint2){ layer->width / 2.0, layer->height / 2.0 };
    rb_measure_sight_begin(layer->sight, layer->work,
                           g_object_get_data(G_OBJECT(projector), "path"), layer->at);
    rb_film_layer_begin(RB_FILM_LAYER(layer));
    rb_session_want_measures(session_of(layer), clip->snap);
    look(layer);
}

void rb_measure_layer_toggle(RbMeasureLayer *layer)
{
    g_return_if_fail(RB_IS_MEASURE_LAYER(layer));
    const RbClip *clip = rb_deck_get_clip(deck_of(layer));
    layer->wanted = (RbClipId){ 0 };
    if (layer->work != NULL) {
        end(layer);
    } else if (clip != NULL && frame_shown(layer) >= 0 && take_size(layer)) {
        begin(layer, clip);
    } else if (clip != NULL) { /* as soon as its film is seen */
        layer->wanted = clip->id;
        layer->wanted_frame = ANY_FRAME;
    }
}

void rb_measure_layer_go(RbMeasureLayer *layer, const RbFilmMeasure *measure)
{
    const RbClip *clip = rb_deck_get_clip(deck_of(layer));
    if (clip != NULL && clip->id.value == measure->clip.value) {
        rb_deck_show(deck_of(layer), measure->frame_1);
    } else {
        layer->wanted = measure->clip;
        layer->wanted_frame = measure->frame_1;
        rb_deck_switch_angle(deck_of(layer));
    }
}

/* The clip that was asked for, once it is seen. */
static bool follow_to(RbMeasureLayer *layer, const RbClip *clip)
{
    if (clip == NULL || layer->wanted.value == 0) {
        return false;
    }
    if (clip->id.value != layer->wanted.value) {
        if (layer->wanted_frame == ANY_FRAME) { /* it was left before it was seen */
            layer->wanted = (RbClipId){ 0 };
        }
        return false;
    }
    if (frame_shown(layer) < 0 || !take_size(layer)) {
        return false;
    }
    layer->wanted = (RbClipId){ 0 };
    begin(layer, clip);
    if (layer->wanted_frame != ANY_FRAME) {
        rb_deck_show(deck_of(layer), layer->wanted_frame);
    }
    return true;
}

static void rb_measure_layer_follow(RbFilmLayer *base)
{
    RbMeasureLayer *layer = RB_MEASURE_LAYER(base);
    const RbClip *clip = rb_deck_get_clip(deck_of(layer));
    if (follow_to(layer, clip) || layer->work == NULL) {
        return;
    }
    if (clip == NULL || clip->id.value != layer->clip.value) {
        end(layer);
        return;
    }
    RbTime moment;
    const bool other = layer->at != frame_shown(layer) ||
                       (rb_deck_get_moment(deck_of(layer), layer->at, true, &moment) &&
                        rb_time_compare(moment, layer->moment) != 0);
    if (other && rb_deck_get_speed(deck_of(layer)) == 0.0) {
        look(layer);
    }
}

/* ---- keys */

static bool move(RbMeasureLayer *layer, guint keyval, int step)
{
    switch (keyval) {
    case GDK_KEY_Left:
        rb_measure_hand_nudge(layer, -step, 0);
        return true;
    case GDK_KEY_Right:
        rb_measure_hand_nudge(layer, step, 0);
        return true;
    case GDK_KEY_Up:
        rb_measure_hand_nudge(layer, 0, -step);
        return true;
    case GDK_KEY_Down:
        rb_measure_hand_nudge(layer, 0, step);
        return true;
    default:
        return false;
    }
}

static bool command(RbMeasureLayer *layer, guint keyval)
{
    switch (gdk_keyval_to_lower(keyval)) {
    case GDK_KEY_Escape:
        if (rb_measure_sight_stop(layer->sight)) {
            rb_measure_layer_show(layer);
        } else {
            end(layer);
        }
        return true;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
        rb_measure_hand_enter(layer);
        return true;
    case GDK_KEY_BackSpace:
    case GDK_KEY_Delete:
        rb_measure_hand_take_back(layer);
        return true;
    case GDK_KEY_Tab:
        g_signal_emit(layer, signals[LIST], 0);
        return true;
    case GDK_KEY_n:
        rb_measure_hand_begin_anew(layer);
        return true;
    default:
        return false;
    }
}

static gboolean rb_measure_layer_key(RbFilmLayer *base, guint keyval,
                                     GdkModifierType state)
{
    RbMeasureLayer *layer = RB_MEASURE_LAYER(base);
    const int step = (state & GDK_SHIFT_MASK) != 0 ? LONG_STEP : STEP;
    if (command(layer, keyval) || move(layer, keyval, step)) {
        return GDK_EVENT_STOP;
    }
    if (!rb_measure_key(layer->work, keyval)) {
        return GDK_EVENT_PROPAGATE;
    }
    rb_measure_layer_show(layer);
    return GDK_EVENT_STOP;
}

/* ---- mouse */

static void on_pressed(GtkGestureClick *gesture, int n, double x, double y,
                       RbMeasureLayer *layer)
{
    (void)n;
    if (layer->work != NULL) {
        const RbMeasureGround ground = ground_of(layer);
        gtk_gesture_set_state(GTK_GESTURE(gesture), GTK_EVENT_SEQUENCE_CLAIMED);
        gtk_widget_grab_focus(GTK_WIDGET(layer));
        rb_measure_hand_click(layer, rb_measure_ground_pixel(&ground, x, y));
    }
}

static void on_motion(GtkEventControllerMotion *motion, double x, double y,
                      RbMeasureLayer *layer)
{
    (void)motion;
    if (layer->work != NULL) {
        const RbMeasureGround ground = ground_of(layer);
        layer->cursor = rb_measure_ground_pixel(&ground, x, y);
        gtk_widget_queue_draw(GTK_WIDGET(layer));
    }
}

/* ---- the widget */

static void rb_measure_layer_paint(RbFilmLayer *base, GtkSnapshot *snapshot)
{
    RbMeasureLayer *layer = RB_MEASURE_LAYER(base);
    if (layer->work == NULL) {
        return;
    }
    const RbMeasureGround ground = ground_of(layer);
    const int width = gtk_widget_get_width(GTK_WIDGET(layer));
    const int height = gtk_widget_get_height(GTK_WIDGET(layer));
    const graphene_rect_t whole = GRAPHENE_RECT_INIT(0, 0, (float)width, (float)height);
    RbProjector *projector = rb_film_layer_get_projector(base);
    GdkTexture *texture = projector != NULL ? rb_projector_get_texture(projector) : NULL;
    gtk_snapshot_push_clip(snapshot, &whole);
    cairo_t *cr = gtk_snapshot_append_cairo(snapshot, &whole);
    /* Lines end where the film does. */
    cairo_rectangle(cr, (double)ground.area.origin.x, (double)ground.area.origin.y,
                    (double)ground.area.size.width, (double)ground.area.size.height);
    cairo_clip(cr);
    if (!rb_measure_sight_is_waiting(layer->sight)) {
        rb_measure_paint(cr, &ground, rb_fieldwork_get_rules(layer->work), layer->work,
                         rb_measure_sight_get_marked(layer->sight) != frame_shown(layer));
    }
    cairo_destroy(cr);
    if (texture != NULL) {
        rb_measure_paint_loupe(snapshot, &ground, texture, layer->cursor, width);
    }
    gtk_snapshot_pop(snapshot);
}

RbMeasureLayer *rb_measure_layer_add(RbFilmView *view, RbDeck *deck, RbSession *session)
{
    RbMeasureLayer *layer = g_object_new(RB_TYPE_MEASURE_LAYER, NULL);
    rb_film_layer_stand(RB_FILM_LAYER(layer), view, deck, session);
    g_signal_connect_object(session, "measures", G_CALLBACK(on_measures), layer,
                            G_CONNECT_SWAPPED);
    return layer;
}

static void rb_measure_layer_dispose(GObject *object)
{
    RbMeasureLayer *layer = RB_MEASURE_LAYER(object);
    g_clear_pointer(&layer->sight, rb_measure_sight_free);
    g_clear_pointer(&layer->work, rb_fieldwork_free);
    g_clear_object(&layer->actions);
    G_OBJECT_CLASS(rb_measure_layer_parent_class)->dispose(object);
}

static void rb_measure_layer_class_init(RbMeasureLayerClass *klass)
{
    RbFilmLayerClass *layer_class = RB_FILM_LAYER_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_measure_layer_dispose;
    layer_class->key = rb_measure_layer_key;
    layer_class->follow = rb_measure_layer_follow;
    layer_class->paint = rb_measure_layer_paint;
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_MEASURE_LAYER, G_SIGNAL_RUN_LAST,
                                    0, NULL, NULL, NULL, G_TYPE_NONE, 0);
    signals[LIST] = g_signal_new("list", RB_TYPE_MEASURE_LAYER, G_SIGNAL_RUN_LAST, 0,
                                 NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_measure_layer_init(RbMeasureLayer *layer)
{
    rb_help_mark(GTK_WIDGET(layer), "measuring.html");
    layer->sight = rb_measure_sight_new(on_sight, layer);
    layer->sentence = rb_film_layer_add_line(RB_FILM_LAYER(layer));
    layer->keys = rb_film_layer_add_line(RB_FILM_LAYER(layer));
    gtk_accessible_update_property(GTK_ACCESSIBLE(layer), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Measuring over the film"), -1);
    rb_measure_hand_add_actions(layer);
    GtkGesture *press = gtk_gesture_click_new();
    g_signal_connect(press, "pressed", G_CALLBACK(on_pressed), layer);
    gtk_widget_add_controller(GTK_WIDGET(layer), GTK_EVENT_CONTROLLER(press));
    GtkEventController *motion = gtk_event_controller_motion_new();
    g_signal_connect(motion, "motion", G_CALLBACK(on_motion), layer);
    gtk_widget_add_controller(GTK_WIDGET(layer), motion);
}
