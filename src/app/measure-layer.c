/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "measure-layer.h"

#include <glib/gi18n.h>
#include <math.h>

#include "measure-keys.h"
#include "measure-paint.h"
#include "view-carrier.h"

/* Pixels of one press of an arrow key; with Shift. */
enum { STEP = 1, LONG_STEP = 10 };

struct _RbMeasureLayer {
    GtkWidget parent_instance;
    GtkWidget *bar; /* owned child: says what to do */
    GtkLabel *sentence;
    GtkLabel *keys;

    RbFilmView *view;       /* borrowed: its parent */
    RbDeck *deck;           /* owned reference */
    RbSession *session;     /* owned reference */
    RbFieldwork *work;      /* owned, nullable: not measuring */
    RbViewCarrier *carrier; /* owned */
    RbClipId clip;
    RbRules rules;
    int width; /* of the film's upright picture, pixels */
    int height;
    int64_t marked;       /* the frame of the marks; -1 none yet */
    int64_t at;           /* the frame that the view is of now */
    bool is_waiting;      /* for the view of the frame shown */
    bool is_loose;        /* that view */
    RbCalibration fitted; /* of the marks, before it was carried */
    RbPoint2 cursor; /* of the arrow keys where nothing was clicked, and of the pointer */
};

G_DEFINE_FINAL_TYPE(RbMeasureLayer, rb_measure_layer, GTK_TYPE_WIDGET)

static int64_t frame_shown(const RbMeasureLayer *layer)
{
    RbProjector *projector = rb_deck_get_projector(layer->deck);
    return projector != NULL ? rb_projector_get_frame(projector) : -1;
}

static RbMeasureGround ground_of(const RbMeasureLayer *layer)
{
    return (RbMeasureGround){ rb_film_view_get_area(layer->view), layer->width,
                              layer->height };
}

static bool marks_are_elsewhere(const RbMeasureLayer *layer)
{
    const RbFieldMark *marks = NULL;
    return rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MARKING &&
           rb_fieldwork_get_marks(layer->work, &marks) > 0 &&
           layer->marked != frame_shown(layer);
}

/* Returns: (transfer full). */
static char *sentence_of(const RbMeasureLayer *layer)
{
    if (layer->is_waiting) {
        return g_strdup(_("Following the field to this frame…"));
    }
    if (!marks_are_elsewhere(layer) || layer->is_loose) {
        return rb_fieldwork_get_sentence(layer->work);
    }
    return rb_fieldwork_get_view(layer->work) != NULL
               ? g_strdup_printf(
                     _("The view was carried here. Choose a measure; more marks "
                       "are clicked on frame %" G_GINT64_FORMAT "."),
                     layer->marked)
               : g_strdup_printf(_("The marks stand on frame %" G_GINT64_FORMAT
                                   ": go back there, or take them back."),
                                 layer->marked);
}

static void show(RbMeasureLayer *layer)
{
    gtk_widget_set_visible(layer->bar, layer->work != NULL);
    gtk_widget_queue_draw(GTK_WIDGET(layer));
    if (layer->work == NULL) {
        return;
    }
    g_autofree char *sentence = sentence_of(layer);
    gtk_label_set_text(layer->sentence, sentence);
    gtk_accessible_update_property(GTK_ACCESSIBLE(layer),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, sentence, -1);
    const bool marking = rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MARKING;
    const bool stands = rb_fieldwork_get_view(layer->work) != NULL;
    gtk_label_set_text(
        layer->keys,
        marking && !stands
            ? _("Another mark: Page Up and Down the yard line, O the other half, X the other "
                "end, H hash, S sideline, T and B top and bottom of the numbers, L a line. "
                "Arrows nudge, Backspace takes back.")
            : _("1 left cushion, 2 right cushion, 3 split, 4 from the numbers, 5 to the "
                "sideline, 6 depth, 7 width of a break, 8 throw, 9 separation, 0 length, V speed. "
                "Arrows nudge, Backspace takes back, Escape ends."));
}

/* ---- the view of the frame shown */

/* Where in time the frame lies, from the film itself. */
static void take_moment(RbMeasureLayer *layer)
{
    RbProjector *projector = rb_deck_get_projector(layer->deck);
    RbReel *reel = projector != NULL ? rb_projector_get_reel(projector) : NULL;
    const RbMark moment = { .frame = frame_shown(layer) };
    if (reel != NULL) {
        rb_fieldwork_set_frame(layer->work, moment.frame,
                               (double)rb_reel_get_frame_us(reel, moment.frame) / 1e6,
                               rb_reel_moment_length(&moment, reel));
    }
}

static const char *path_of(const RbMeasureLayer *layer)
{
    RbProjector *projector = rb_deck_get_projector(layer->deck);
    return projector != NULL ? g_object_get_data(G_OBJECT(projector), "path") : NULL;
}

static void on_carried(int64_t frame, const RbCarriedView *carried, void *data)
{
    RbMeasureLayer *layer = data;
    layer->is_waiting = false;
    if (layer->work != NULL && frame == frame_shown(layer)) {
        const bool here = carried != NULL && carried->state != RB_CARRY_LOST;
        layer->is_loose = !here || carried->state == RB_CARRY_LOOSE;
        rb_fieldwork_set_view(layer->work, here ? &carried->calibration : &layer->fitted,
                              layer->is_loose);
        layer->at = frame;
    }
    show(layer);
}

/* The marks' view, drawn onto the lines and carried to the frame shown. */
static void want_view(RbMeasureLayer *layer)
{
    const char *path = path_of(layer);
    if (path != NULL && layer->marked >= 0) {
        rb_view_carrier_want(layer->carrier, path, layer->rules, &layer->fitted,
                             layer->marked, frame_shown(layer));
    }
}

static void after_marks(RbMeasureLayer *layer)
{
    const RbCalibration *view = rb_fieldwork_get_view(layer->work);
    if (view != NULL) {
        layer->fitted = *view;
        layer->at = layer->marked;
        want_view(layer);
    } else {
        rb_view_carrier_stop(layer->carrier);
    }
    show(layer);
}

/* ---- begin and end */

static int line_of(RbSession *session)
{
    const RbSheet *sheet = rb_session_get_sheet(session);
    const int to_goal = sheet != NULL ? sheet->snap->situation.yards_to_goal : 0;
    return to_goal > 0 ? 100 - to_goal : 50;
}

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
    RbProjector *projector = rb_deck_get_projector(layer->deck);
    RbReel *reel = projector != NULL ? rb_projector_get_reel(projector) : NULL;
    g_autoptr(RbFilmFacts) facts = reel != NULL ? rb_reel_dup_facts(reel) : NULL;
    if (facts == NULL) {
        return false;
    }
    const bool turned = facts->rotation % 180 != 0;
    layer->width = turned ? facts->height : facts->width;
    layer->height = turned ? facts->width : facts->height;
    return layer->width > 0 && layer->height > 0;
}

static void end(RbMeasureLayer *layer)
{
    rb_view_carrier_stop(layer->carrier);
    g_clear_pointer(&layer->work, rb_fieldwork_free);
    gtk_widget_set_can_target(GTK_WIDGET(layer), FALSE);
    gtk_widget_set_focusable(GTK_WIDGET(layer), FALSE);
    show(layer);
    gtk_widget_activate_action(GTK_WIDGET(layer), "win.rail", NULL);
}

void rb_measure_layer_toggle(RbMeasureLayer *layer)
{
    g_return_if_fail(RB_IS_MEASURE_LAYER(layer));
    const RbClip *clip = rb_deck_get_clip(layer->deck);
    if (layer->work != NULL) {
        end(layer);
    } else if (clip != NULL && frame_shown(layer) >= 0 && take_size(layer)) {
        rb_deck_play(layer->deck, 0);
        layer->clip = clip->id;
        layer->rules = rules_of(layer->session);
        layer->work = rb_fieldwork_new(layer->rules, layer->width, layer->height,
                                       line_of(layer->session));
        layer->marked = -1;
        layer->is_waiting = layer->is_loose = false;
        layer->at = frame_shown(layer);
        take_moment(layer);
        layer->cursor = (RbPoint2){ layer->width / 2.0, layer->height / 2.0 };
        gtk_widget_set_can_target(GTK_WIDGET(layer), TRUE);
        gtk_widget_set_focusable(GTK_WIDGET(layer), TRUE);
        gtk_widget_grab_focus(GTK_WIDGET(layer));
        show(layer);
    }
}

/* ---- clicks */

static void click(RbMeasureLayer *layer, RbPoint2 pixel)
{
    const bool marking = rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MARKING;
    if (layer->is_waiting || marks_are_elsewhere(layer)) {
        return; /* marks all stand on one frame; the sentence says so */
    }
    layer->cursor = pixel;
    rb_fieldwork_click(layer->work, pixel);
    if (marking) {
        layer->marked = frame_shown(layer);
        after_marks(layer);
    } else {
        show(layer);
    }
}

static void keep(RbMeasureLayer *layer)
{
    const RbClip *clip = rb_deck_get_clip(layer->deck);
    RbProjector *projector = rb_deck_get_projector(layer->deck);
    RbReel *reel = projector != NULL ? rb_projector_get_reel(projector) : NULL;
    RbTime time = { 0, { 1, 1 } };
    if (clip == NULL || reel == NULL ||
        rb_fieldwork_get_phase(layer->work) != RB_FIELDWORK_MEASURED) {
        return;
    }
    rb_reel_get_frame_time(reel, layer->marked, &time);
    RbFilmMeasure *measure = rb_film_measure_copy(rb_fieldwork_get_measure(layer->work));
    measure->snap = clip->snap;
    measure->clip = clip->id;
    rb_session_save_measure(
        layer->session,
        rb_fieldwork_make_view(layer->work, clip->film, layer->marked, time), measure);
    rb_fieldwork_measure(layer->work, measure->kind, measure->side);
    rb_fieldwork_take_back(layer->work);
    show(layer);
}

static void nudge(RbMeasureLayer *layer, int across, int down)
{
    RbPoint2 last;
    if (!rb_fieldwork_get_last(layer->work, &last)) {
        layer->cursor.x = CLAMP(layer->cursor.x + across, 0.0, (double)layer->width);
        layer->cursor.y = CLAMP(layer->cursor.y + down, 0.0, (double)layer->height);
        show(layer);
        return;
    }
    rb_fieldwork_nudge(layer->work, across, down);
    layer->cursor = (RbPoint2){ last.x + across, last.y + down };
    if (rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MARKING) {
        after_marks(layer);
    } else {
        show(layer);
    }
}

/* Enter: keeps what is measured; else clicks where the cursor is. */
static void enter(RbMeasureLayer *layer)
{
    if (rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MEASURED) {
        keep(layer);
    } else {
        click(layer, layer->cursor);
    }
}

static void take_back(RbMeasureLayer *layer)
{
    rb_fieldwork_take_back(layer->work);
    const RbFieldMark *marks = NULL;
    if (rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MARKING &&
        rb_fieldwork_get_marks(layer->work, &marks) > 0) {
        after_marks(layer);
    }
    show(layer);
}

/* ---- keys */

static bool move(RbMeasureLayer *layer, guint keyval, int step)
{
    switch (keyval) {
    case GDK_KEY_Left:
        nudge(layer, -step, 0);
        return true;
    case GDK_KEY_Right:
        nudge(layer, step, 0);
        return true;
    case GDK_KEY_Up:
        nudge(layer, 0, -step);
        return true;
    case GDK_KEY_Down:
        nudge(layer, 0, step);
        return true;
    default:
        return false;
    }
}

static gboolean on_key(GtkEventControllerKey *keys, guint keyval, guint code,
                       GdkModifierType state, RbMeasureLayer *layer)
{
    (void)keys;
    (void)code;
    if (layer->work == NULL || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0) {
        return GDK_EVENT_PROPAGATE;
    }
    if (keyval == GDK_KEY_Escape) {
        end(layer);
    } else if (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter) {
        enter(layer);
    } else if (keyval == GDK_KEY_BackSpace || keyval == GDK_KEY_Delete) {
        take_back(layer);
    } else if (!move(layer, keyval, (state & GDK_SHIFT_MASK) != 0 ? LONG_STEP : STEP)) {
        if (!rb_measure_key(layer->work, keyval)) {
            return GDK_EVENT_PROPAGATE;
        }
        show(layer);
    }
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
        click(layer, rb_measure_ground_pixel(&ground, x, y));
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

/* ---- showing */

static void rb_measure_layer_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbMeasureLayer *layer = RB_MEASURE_LAYER(widget);
    if (layer->work != NULL) {
        const RbMeasureGround ground = ground_of(layer);
        const int width = gtk_widget_get_width(widget);
        const graphene_rect_t whole =
            GRAPHENE_RECT_INIT(0, 0, (float)width, (float)gtk_widget_get_height(widget));
        RbProjector *projector = rb_deck_get_projector(layer->deck);
        GdkTexture *texture =
            projector != NULL ? rb_projector_get_texture(projector) : NULL;
        gtk_snapshot_push_clip(snapshot, &whole);
        cairo_t *cr = gtk_snapshot_append_cairo(snapshot, &whole);
        if (!layer->is_waiting) {
            rb_measure_paint(cr, &ground, layer->rules, layer->work,
                             layer->marked != frame_shown(layer));
        }
        cairo_destroy(cr);
        if (texture != NULL) {
            rb_measure_paint_loupe(snapshot, &ground, texture, layer->cursor, width);
        }
        gtk_snapshot_pop(snapshot);
    }
    gtk_widget_snapshot_child(widget, layer->bar, snapshot);
}

static void follow_deck(RbMeasureLayer *layer)
{
    const RbClip *clip = rb_deck_get_clip(layer->deck);
    if (layer->work == NULL) {
        return;
    }
    if (clip == NULL || clip->id.value != layer->clip.value) {
        end(layer);
    } else if (layer->at != frame_shown(layer) && rb_deck_get_speed(layer->deck) == 0.0) {
        layer->at = frame_shown(layer);
        take_moment(layer);
        layer->is_waiting = rb_fieldwork_get_view(layer->work) != NULL;
        if (layer->is_waiting) {
            want_view(layer);
        }
        show(layer);
    }
}

RbMeasureLayer *rb_measure_layer_add(RbFilmView *view, RbDeck *deck, RbSession *session)
{
    RbMeasureLayer *layer = g_object_new(RB_TYPE_MEASURE_LAYER, NULL);
    layer->view = view;
    layer->deck = g_object_ref(deck);
    layer->session = g_object_ref(session);
    rb_film_view_add_layer(view, GTK_WIDGET(layer));
    g_signal_connect_object(deck, "changed", G_CALLBACK(follow_deck), layer,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(deck, "frame", G_CALLBACK(follow_deck), layer,
                            G_CONNECT_SWAPPED);
    return layer;
}

static void rb_measure_layer_dispose(GObject *object)
{
    RbMeasureLayer *layer = RB_MEASURE_LAYER(object);
    g_clear_pointer(&layer->carrier, rb_view_carrier_free);
    g_clear_pointer(&layer->bar, gtk_widget_unparent);
    g_clear_pointer(&layer->work, rb_fieldwork_free);
    g_clear_object(&layer->deck);
    g_clear_object(&layer->session);
    G_OBJECT_CLASS(rb_measure_layer_parent_class)->dispose(object);
}

static void rb_measure_layer_class_init(RbMeasureLayerClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_measure_layer_dispose;
    GTK_WIDGET_CLASS(klass)->snapshot = rb_measure_layer_snapshot;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
}

static void add_pointer(RbMeasureLayer *layer)
{
    GtkEventController *keys = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(keys, GTK_PHASE_CAPTURE);
    g_signal_connect(keys, "key-pressed", G_CALLBACK(on_key), layer);
    gtk_widget_add_controller(GTK_WIDGET(layer), keys);
    GtkGesture *press = gtk_gesture_click_new();
    g_signal_connect(press, "pressed", G_CALLBACK(on_pressed), layer);
    gtk_widget_add_controller(GTK_WIDGET(layer), GTK_EVENT_CONTROLLER(press));
    GtkEventController *motion = gtk_event_controller_motion_new();
    g_signal_connect(motion, "motion", G_CALLBACK(on_motion), layer);
    gtk_widget_add_controller(GTK_WIDGET(layer), motion);
}

static GtkLabel *add_label(RbMeasureLayer *layer)
{
    GtkWidget *label = gtk_label_new("");
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_widget_add_css_class(label, "film-remark");
    gtk_box_append(GTK_BOX(layer->bar), label);
    return GTK_LABEL(label);
}

static void rb_measure_layer_init(RbMeasureLayer *layer)
{
    layer->carrier = rb_view_carrier_new(on_carried, layer);
    layer->bar = gtk_box_new(GTK_ORIENTATION_VERTICAL, 4);
    layer->sentence = add_label(layer);
    layer->keys = add_label(layer);
    gtk_widget_set_halign(layer->bar, GTK_ALIGN_START);
    gtk_widget_set_valign(layer->bar, GTK_ALIGN_END);
    gtk_widget_set_margin_start(layer->bar, 10);
    gtk_widget_set_margin_bottom(layer->bar, 8);
    gtk_widget_set_parent(layer->bar, GTK_WIDGET(layer));
    gtk_widget_set_visible(layer->bar, FALSE);
    gtk_widget_set_can_target(GTK_WIDGET(layer), FALSE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(layer), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Measuring over the film"), -1);
    add_pointer(layer);
}
