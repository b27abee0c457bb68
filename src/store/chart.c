/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/ids.h"
#include "rb/store/snaps.h"

#include "children.h"
#include "counting.h"
#include "tables.h"

static const RbColumn chart_columns[] = {
    RB_ID(RbChart, snap, "snap"),
    RB_ID(RbChart, author, "author"),
    RB_WORD(RbChart, call.kind, "call_kind", rb_call_words),
    RB_ID(RbChart, call.first, "call_first"),
    RB_ID(RbChart, call.second, "call_second"),
    RB_WORD(RbChart, call.first_side, "call_first_side", rb_side_words),
    RB_WORD(RbChart, side_worked, "side_worked", rb_side_words),
    RB_WORD(RbChart, shown.shell, "shell", rb_shell_words),
    RB_WORD(RbChart, shown.rotation, "rotation_shown", rb_rotation_words),
    RB_WORD(RbChart, shown.left.technique, "technique_shown_left", rb_technique_words),
    RB_WORD(RbChart, shown.right.technique, "technique_shown_right", rb_technique_words),
    RB_INT(RbChart, shown.left.cushion_tenths, "cushion_left", -1),
    RB_INT(RbChart, shown.right.cushion_tenths, "cushion_right", -1),
    RB_INT(RbChart, shown.left.cushion_pm_tenths, "cushion_left_pm", 0),
    RB_INT(RbChart, shown.right.cushion_pm_tenths, "cushion_right_pm", 0),
    RB_INT(RbChart, shown.left.split_tenths, "split_left", -1),
    RB_INT(RbChart, shown.right.split_tenths, "split_right", -1),
    RB_INT(RbChart, shown.left.split_pm_tenths, "split_left_pm", 0),
    RB_INT(RbChart, shown.right.split_pm_tenths, "split_right_pm", 0),
    RB_WORD(RbChart, shown.left.leverage, "leverage_left", rb_leverage_words),
    RB_WORD(RbChart, shown.right.leverage, "leverage_right", rb_leverage_words),
    RB_ID(RbChart, played.coverage, "coverage"),
    RB_WORD(RbChart, played.rotation, "rotation_played", rb_rotation_words),
    RB_WORD(RbChart, played.left, "technique_played_left", rb_technique_words),
    RB_WORD(RbChart, played.right, "technique_played_right", rb_technique_words),
    RB_WORD(RbChart, played.safety_left, "safety_left", rb_yes_no_words),
    RB_WORD(RbChart, played.safety_right, "safety_right", rb_yes_no_words),
    RB_INT(RbChart, played.rushers, "rushers", -1),
    RB_WORD(RbChart, played.unblocked, "unblocked", rb_yes_no_words),
    RB_WORD(RbChart, played.unblocked_side, "unblocked_side", rb_side_words),
    RB_WORD(RbChart, adjusted, "adjusted", rb_yes_no_words),
    RB_ID(RbChart, adjustment, "adjustment"),
    RB_WORD(RbChart, ball, "ball", rb_ball_words),
    RB_INT(RbChart, ball_read, "ball_read", 0),
    RB_INT(RbChart, release_ms, "release_ms", -1),
    RB_INT(RbChart, release_pm_ms, "release_pm_ms", 0),
    RB_WORD(RbChart, pressure, "pressure", rb_pressure_words),
    RB_INT(RbChart, pressure_ms, "pressure_ms", -1),
    RB_WORD(RbChart, movement, "movement", rb_movement_words),
    RB_WORD(RbChart, contact, "contact", rb_contact_words),
    RB_WORD(RbChart, throw_, "throw", rb_throw_words),
    RB_WORD(RbChart, catch_, "catch", rb_catch_words),
    RB_WORD(RbChart, fault, "fault", rb_fault_words),
    RB_INT(RbChart, fault_read, "fault_read", 0),
    RB_TEXT(RbChart, note, "note"),
};

static void *make_chart(void)
{
    return rb_chart_new((RbSnapId){ 0 }, (RbPersonId){ 0 });
}

const RbTable rb_chart_table = {
    "chart",       "chart",
    chart_columns, G_N_ELEMENTS(chart_columns),
    make_chart,    (GDestroyNotify)rb_chart_free,
};

/* The state of one read, on its way to its row. */
typedef struct {
    int64_t id;
    RbChartId chart;
    int slot;
    RbLook state;
} Look;

static const RbColumn look_columns[] = {
    RB_ID(Look, chart, "chart"),
    RB_INT(Look, slot, "slot", RB_ALWAYS_KNOWN),
    RB_WORD(Look, state, "state", rb_look_words),
};

const RbTable rb_look_table = {
    "look", "look", look_columns, G_N_ELEMENTS(look_columns), NULL, NULL,
};

static bool take_look(RbStatement *row, void *data, GError **error)
{
    Look look = { 0 };
    if (!rb_row_read(row, &rb_look_table, &look, error)) {
        return false;
    }
    RbChart *chart = rb_children_find(data, look.chart.value);
    if (chart != NULL && look.slot >= 0 && look.slot < RB_READS_MAX) {
        chart->looks[look.slot] = look.state;
    }
    return true;
}

static bool take_change(RbStatement *row, void *data, GError **error)
{
    (void)error;
    RbChart *chart = rb_children_find(data, rb_statement_get_int(row, "chart"));
    if (chart != NULL) {
        chart->stamp_us = rb_statement_get_int(row, "stamp");
    }
    return true;
}

/* Charts t by `tail`, then their looks and times by `of_charts`, a condition on c and its
 * snap s that holds for at least those. */
static GPtrArray *list(RbStore *store, const char *tail, const char *of_charts,
                       const int64_t *ids, int n_ids, GError **error)
{
    g_autoptr(GPtrArray) found =
        rb_row_list(store, &rb_chart_table, tail, ids, n_ids, error);
    if (found == NULL) {
        return NULL;
    }
    g_autoptr(GHashTable) index = rb_children_index(found);
    g_autofree char *of_looks = g_strconcat(
        "SELECT l.* FROM chart c LEFT JOIN snap s ON s.id = c.snap JOIN look l"
        " ON l.chart = c.id WHERE l.removed = 0",
        of_charts, NULL);
    g_autofree char *of_changes = g_strconcat(
        "SELECT h.* FROM chart c LEFT JOIN snap s ON s.id = c.snap JOIN chart_change h"
        " ON h.chart = c.id WHERE c.removed = 0",
        of_charts, NULL);
    const bool ok =
        rb_children_read(store, of_looks, ids, n_ids, take_look, index, error) &&
        rb_children_read(store, of_changes, ids, n_ids, take_change, index, error);
    return ok ? g_steal_pointer(&found) : NULL;
}

static RbChart *load(RbStore *store, RbChartId id, GError **error)
{
    g_autoptr(GPtrArray) found = list(store, "WHERE t.id = ? AND t.removed = 0",
                                      " AND c.id = ?", &id.value, 1, error);
    return found != NULL ? rb_row_first(store, &rb_chart_table, found, error) : NULL;
}

RbChart *rb_store_load_chart(RbStore *store, RbChartId id, GError **error)
{
    return load(store, id, error);
}

RbChart *rb_store_find_chart(RbStore *store, RbSnapId snap, RbPersonId author,
                             GError **error)
{
    return load(store, rb_chart_id(snap, author), error);
}

#define VISIBLE                                                                          \
    "JOIN snap s ON s.id = t.snap JOIN game g ON g.id = s.game"                          \
    " WHERE t.removed = 0 AND s.removed = 0 AND g.removed = 0"
#define IN_ORDER " ORDER BY g.played_on, g.id, s.number, s.id, t.author, t.id"

GPtrArray *rb_store_list_charts(RbStore *store, RbGameId game, RbPersonId author,
                                GError **error)
{
    const int64_t ids[] = { game.value, author.value };
    if (game.value != 0 && author.value != 0) {
        return list(store, VISIBLE " AND s.game = ? AND t.author = ?" IN_ORDER,
                    " AND s.game = ? AND c.author = ?", ids, 2, error);
    }
    if (game.value != 0) {
        return list(store, VISIBLE " AND s.game = ?" IN_ORDER, " AND s.game = ?", ids, 1,
                    error);
    }
    if (author.value != 0) {
        return list(store, VISIBLE " AND t.author = ?" IN_ORDER, " AND c.author = ?",
                    ids + 1, 1, error);
    }
    return list(store, VISIBLE IN_ORDER, "", NULL, 0, error);
}

GPtrArray *rb_store_list_counting_charts(RbStore *store, RbGameId game, GError **error)
{
    if (game.value == 0) {
        return list(store, VISIBLE " AND t.id = " RB_COUNTING_CHART IN_ORDER, "", NULL, 0,
                    error);
    }
    return list(store, VISIBLE " AND s.game = ? AND t.id = " RB_COUNTING_CHART IN_ORDER,
                " AND s.game = ?", &game.value, 1, error);
}

/* A look that was never set has no row; one that is set back keeps its row, as not known. */
static bool save_look(RbStore *store, const RbChart *chart, int slot, const int *stored,
                      GError **error)
{
    if (stored[slot] == (int)chart->looks[slot]) {
        return true;
    }
    const Look look = {
        .id = rb_id_from_pair("look", chart->id.value, slot),
        .chart = chart->id,
        .slot = slot,
        .state = chart->looks[slot],
    };
    return rb_row_save(store, &rb_look_table, &look, error);
}

bool rb_store_save_chart(RbStore *store, const RbChart *chart, GError **error)
{
    if (!rb_row_save(store, &rb_chart_table, chart, error)) {
        return false;
    }
    g_autoptr(RbStatement) query = rb_statement_new(
        store, "SELECT slot, state FROM look WHERE chart = ? AND removed = 0", error);
    if (query == NULL) {
        return false;
    }
    rb_statement_bind_int(query, chart->id.value);
    int stored[RB_READS_MAX] = { 0 };
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        const int64_t slot = rb_statement_get_int(query, "slot");
        int state = 0;
        if (!rb_statement_get_word(query, "state", &rb_look_words, &state, error)) {
            return false;
        }
        if (slot >= 0 && slot < RB_READS_MAX) {
            stored[slot] = state;
        }
    }
    bool ok = step == RB_STEP_DONE;
    for (int slot = 0; ok && slot < RB_READS_MAX; slot++) {
        ok = save_look(store, chart, slot, stored, error);
    }
    return ok;
}

bool rb_store_remove_chart(RbStore *store, RbChartId id, GError **error)
{
    return rb_row_remove(store, &rb_chart_table, id.value, error);
}
