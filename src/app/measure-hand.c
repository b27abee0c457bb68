/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "measure-keys.h"
#include "measure-layer-private.h"
#include "settings.h"

static RbDeck *deck_of(RbMeasureLayer *layer)
{
    return rb_film_layer_get_deck(RB_FILM_LAYER(layer));
}

static RbSession *session_of(RbMeasureLayer *layer)
{
    return rb_film_layer_get_session(RB_FILM_LAYER(layer));
}

int rb_measure_hand_line(RbMeasureLayer *layer)
{
    const RbSheet *sheet = rb_session_get_sheet(session_of(layer));
    const int to_goal = sheet != NULL ? sheet->snap->situation.yards_to_goal : 0;
    return to_goal > 0 ? 100 - to_goal : 50;
}

bool rb_measure_layer_wants_mark(RbMeasureLayer *layer)
{
    return layer->work != NULL && (rb_fieldwork_get_view(layer->work) == NULL ||
                                   rb_fieldwork_get_target(layer->work) != NULL);
}

RbLengthUnit rb_measure_layer_get_unit(RbMeasureLayer *layer)
{
    int unit = RB_UNIT_YARDS;
    g_autofree char *token = g_settings_get_string(layer->settings, "lengths");
    rb_words_parse(&rb_length_unit_words, token, &unit);
    return (RbLengthUnit)unit;
}

/* ---- clicks */

void rb_measure_hand_click(RbMeasureLayer *layer, RbPoint2 pixel)
{
    const bool marking = rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MARKING;
    if (rb_measure_sight_is_waiting(layer->sight) ||
        rb_measure_sight_is_elsewhere(layer->sight)) {
        return; /* marks all stand on one frame; the sentence says so */
    }
    layer->cursor = pixel;
    rb_fieldwork_click(layer->work, pixel);
    if (marking) {
        rb_measure_sight_marked(layer->sight, layer->at);
    }
    rb_measure_layer_show(layer);
}

static void keep(RbMeasureLayer *layer)
{
    RbTime time = { 0, { 1, 1 } };
    const int64_t marked = rb_measure_sight_get_marked(layer->sight);
    if (rb_fieldwork_get_phase(layer->work) != RB_FIELDWORK_MEASURED ||
        !rb_deck_get_moment(deck_of(layer), marked, false, &time)) {
        return;
    }
    RbFilmMeasure *measure = rb_film_measure_copy(rb_fieldwork_get_measure(layer->work));
    measure->snap = layer->snap;
    measure->clip = layer->clip;
    rb_session_save_measure(
        session_of(layer), rb_fieldwork_make_view(layer->work, layer->film, marked, time),
        measure);
    rb_fieldwork_measure(layer->work, measure->kind, measure->side);
    rb_fieldwork_take_back(layer->work);
    rb_fieldwork_set_kept(layer->work);
    rb_measure_layer_show(layer);
}

void rb_measure_hand_nudge(RbMeasureLayer *layer, int across, int down)
{
    RbPoint2 last;
    if (rb_measure_sight_is_elsewhere(layer->sight) ||
        !rb_fieldwork_get_last(layer->work, &last)) {
        layer->cursor.x = CLAMP(layer->cursor.x + across, 0.0, (double)layer->width);
        layer->cursor.y = CLAMP(layer->cursor.y + down, 0.0, (double)layer->height);
        rb_measure_layer_show(layer);
        return;
    }
    rb_fieldwork_nudge(layer->work, across, down);
    layer->cursor = (RbPoint2){ last.x + across, last.y + down };
    if (rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MARKING) {
        rb_measure_sight_marked(layer->sight, layer->at);
    }
    rb_measure_layer_show(layer);
}

void rb_measure_hand_enter(RbMeasureLayer *layer)
{
    if (rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MEASURED) {
        keep(layer);
    } else {
        rb_measure_hand_click(layer, layer->cursor);
    }
}

void rb_measure_hand_take_back(RbMeasureLayer *layer)
{
    const bool marking = rb_fieldwork_get_phase(layer->work) == RB_FIELDWORK_MARKING;
    if (rb_measure_sight_is_waiting(layer->sight) ||
        rb_measure_sight_is_elsewhere(layer->sight)) {
        return;
    }
    if (rb_fieldwork_take_back(layer->work) && marking) {
        rb_measure_sight_marked(layer->sight, layer->at);
    }
    rb_measure_layer_show(layer);
}

void rb_measure_hand_begin_anew(RbMeasureLayer *layer)
{
    rb_fieldwork_begin_anew(layer->work, rb_measure_hand_line(layer));
    rb_measure_sight_begin_anew(layer->sight);
    rb_measure_layer_show(layer);
}

/* ---- buttons elsewhere */

static void on_take(GSimpleAction *action, GVariant *token, gpointer data)
{
    RbMeasureLayer *layer = data;
    (void)action;
    rb_measure_take(layer->work, g_variant_get_string(token, NULL));
    rb_measure_layer_show(layer);
}

static void on_mark(GSimpleAction *action, GVariant *token, gpointer data)
{
    RbMeasureLayer *layer = data;
    (void)action;
    rb_measure_mark(layer->work, g_variant_get_string(token, NULL));
    rb_measure_layer_show(layer);
}

static void on_plain(GSimpleAction *action, GVariant *nothing, gpointer data)
{
    static const struct {
        const char *name;
        void (*run)(RbMeasureLayer *layer);
    } plain[] = { { "anew", rb_measure_hand_begin_anew },
                  { "keep", keep },
                  { "back", rb_measure_hand_take_back } };
    (void)nothing;
    for (size_t i = 0; i < G_N_ELEMENTS(plain); i++) {
        if (g_str_equal(plain[i].name, g_action_get_name(G_ACTION(action)))) {
            plain[i].run(data);
        }
    }
}

static void on_lengths(RbMeasureLayer *layer)
{
    if (layer->work != NULL) {
        rb_fieldwork_set_unit(layer->work, rb_measure_layer_get_unit(layer));
    }
    rb_measure_layer_show(layer);
}

void rb_measure_hand_add_actions(RbMeasureLayer *layer)
{
    static const GActionEntry entries[] = {
        { .name = "take", .activate = on_take, .parameter_type = "s" },
        { .name = "mark", .activate = on_mark, .parameter_type = "s" },
        { .name = "anew", .activate = on_plain },
        { .name = "keep", .activate = on_plain },
        { .name = "back", .activate = on_plain },
    };
    layer->actions = g_simple_action_group_new();
    g_action_map_add_action_entries(G_ACTION_MAP(layer->actions), entries,
                                    G_N_ELEMENTS(entries), layer);
    layer->settings = rb_settings_get();
    g_autoptr(GAction) lengths = g_settings_create_action(layer->settings, "lengths");
    g_action_map_add_action(G_ACTION_MAP(layer->actions), lengths);
    g_signal_connect_object(layer->settings, "changed::lengths", G_CALLBACK(on_lengths),
                            layer, G_CONNECT_SWAPPED);
}

GActionGroup *rb_measure_layer_get_actions(RbMeasureLayer *layer)
{
    return G_ACTION_GROUP(layer->actions);
}
