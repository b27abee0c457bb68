/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/stats/intervals.h"
#include "rb/work/filter-text.h"

#include "quarterback-private.h"

#define LEVEL 0.8

const RbField rb_quarterback_fields[RB_QUARTERBACK_FIELDS] = {
    RB_FIELD_CONCEPT, RB_FIELD_COVERAGE, RB_FIELD_SHELL,       RB_FIELD_READ,
    RB_FIELD_DOWN,    RB_FIELD_PRESSURE, RB_FIELD_SIDE_WORKED, RB_FIELD_HASH,
};

bool rb_verdict_is_judged(RbVerdict verdict)
{
    return verdict != RB_VERDICT_UNGRADED && verdict != RB_VERDICT_SPOILED;
}

bool rb_verdict_is_right(RbVerdict verdict)
{
    return verdict == RB_VERDICT_ON_READ || verdict == RB_VERDICT_SOUND;
}

bool rb_verdict_is_error(RbVerdict verdict)
{
    return rb_verdict_is_judged(verdict) && !rb_verdict_is_right(verdict) &&
           verdict != RB_VERDICT_NO_TIME;
}

static void rate_add(RbRate *rate, RbVerdict verdict)
{
    if (rb_verdict_is_judged(verdict)) {
        rate->judged++;
        rate->right += rb_verdict_is_right(verdict) ? 1 : 0;
    }
}

static void rate_finish(RbRate *rate)
{
    rate->low = 0.0;
    rate->high = 1.0;
    if (rate->judged > 0) {
        rb_interval_wilson(rate->right, rate->judged, LEVEL, &rate->low, &rate->high);
    }
}

GArray *rb_quarterback_counted(const RbSelection *selection)
{
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    GArray *counted = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    for (int i = 0; i < n; i++) {
        if (rows[i].in_ladder) {
            g_array_append_val(counted, rows[i]);
        }
    }
    return counted;
}

static RbDecision decision_of(const RbDropback *row)
{
    if (rb_verdict_is_right(row->verdict)) {
        return row->success ? RB_DECISION_RIGHT_GOOD : RB_DECISION_RIGHT_BAD;
    }
    return row->success ? RB_DECISION_WRONG_GOOD : RB_DECISION_WRONG_BAD;
}

/* The rung of the order in force that the ball went to; NULL when it went to none. */
static const RbRung *ball_rung(const RbJudgment *judgment)
{
    for (int i = 0; i < judgment->order.n; i++) {
        if (judgment->ball_slot > 0 &&
            judgment->order.rungs[i].slot == judgment->ball_slot) {
            return &judgment->order.rungs[i];
        }
    }
    return NULL;
}

static void add_throw(RbQuarterback *quarterback, const RbSnapshot *snapshot,
                      const RbDropback *row)
{
    const RbRung *rung = ball_rung(rb_snapshot_find_judgment(snapshot, row->snap));
    if (rung == NULL || rung->clock_ms < 0 || row->release_ms < 0 ||
        row->verdict == RB_VERDICT_UNGRADED) {
        return;
    }
    RbThrowTime *time = g_new(RbThrowTime, 1);
    *time = (RbThrowTime){
        .snap = row->snap,
        .read = rung->slot,
        .route = rung->route,
        .release_ms = row->release_ms,
        .due_ms = rung->clock_ms,
        .tolerance_ms = rung->tolerance_ms,
        .late = row->release_ms > rung->clock_ms + rung->tolerance_ms,
    };
    g_ptr_array_add(quarterback->throws, time);
}

static int by_read(gconstpointer left, gconstpointer right)
{
    const RbThrowTime *a = *(RbThrowTime *const *)left;
    const RbThrowTime *b = *(RbThrowTime *const *)right;
    return a->read != b->read ? a->read - b->read : a->release_ms - b->release_ms;
}

static RbGameRate *game_of(RbQuarterback *quarterback, const RbNames *names, RbGameId id)
{
    for (guint i = 0; i < quarterback->games->len; i++) {
        RbGameRate *rate = g_ptr_array_index(quarterback->games, i);
        if (rate->game.value == id.value) {
            return rate;
        }
    }
    const RbGame *game = rb_names_find_game(names, id);
    RbGameRate *rate = g_new0(RbGameRate, 1);
    rate->game = id;
    rate->title = rb_names_game(names, id);
    rate->date = game != NULL ? game->played_on : NULL;
    g_ptr_array_add(quarterback->games, rate);
    return rate;
}

static int by_date(gconstpointer left, gconstpointer right)
{
    const RbGameRate *a = *(RbGameRate *const *)left;
    const RbGameRate *b = *(RbGameRate *const *)right;
    return g_strcmp0(a->date, b->date);
}

/* An official attempt: a forward pass from scrimmage that was not wiped out. Sacks and scrambles
 * are runs; a ball thrown away is an incompletion. Spikes are no dropbacks and not here.
 * common practice of the two rating formulas' sources; see rb/stats/passer.h */
static void add_pass(RbPassing *passing, const RbSnapshot *snapshot,
                     const RbDropback *row)
{
    const RbSnap *snap = rb_snapshot_find_snap(snapshot, row->snap);
    const bool complete = row->result == RB_RESULT_COMPLETE;
    const bool intercepted = row->result == RB_RESULT_INTERCEPTED;
    if (rb_snap_is_wiped_out(snap) || snap->situation.phase != RB_PHASE_SCRIMMAGE ||
        !(complete || intercepted || row->result == RB_RESULT_INCOMPLETE ||
          row->result == RB_RESULT_THROWN_AWAY)) {
        return;
    }
    passing->attempts++;
    passing->completions += complete ? 1 : 0;
    passing->interceptions += intercepted ? 1 : 0;
    passing->yards += complete ? row->gain : 0;
    passing->touchdowns += complete && row->ending == RB_ENDING_TOUCHDOWN ? 1 : 0;
}

static void add_row(RbQuarterback *quarterback, const RbSnapshot *snapshot,
                    const RbDropback *row)
{
    add_pass(&quarterback->passing, snapshot, row);
    if (!row->in_ladder) {
        return;
    }
    quarterback->dropbacks++;
    quarterback->verdicts[row->verdict]++;
    rate_add(&quarterback->rate, row->verdict);
    rate_add(&game_of(quarterback, rb_snapshot_get_names(snapshot), row->game)->rate,
             row->verdict);
    if (rb_verdict_is_judged(row->verdict) && row->verdict != RB_VERDICT_NO_TIME) {
        g_array_append_val(quarterback->decisions[decision_of(row)], row->snap);
    }
    add_throw(quarterback, snapshot, row);
}

RbQuarterback *rb_quarterback_new(const RbSelection *selection)
{
    RbQuarterback *quarterback = g_new0(RbQuarterback, 1);
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    for (int i = 0; i < RB_DECISIONS; i++) {
        quarterback->decisions[i] = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    }
    quarterback->throws = g_ptr_array_new_with_free_func(g_free);
    quarterback->games = g_ptr_array_new_with_free_func(g_free);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    for (int i = 0; i < n; i++) {
        add_row(quarterback, snapshot, &rows[i]);
    }
    rate_finish(&quarterback->rate);
    for (guint i = 0; i < quarterback->games->len; i++) {
        RbGameRate *game = g_ptr_array_index(quarterback->games, i);
        rate_finish(&game->rate);
    }
    g_ptr_array_sort(quarterback->throws, by_read);
    g_ptr_array_sort(quarterback->games, by_date);
    quarterback->habits = rb_quarterback_habits(selection);
    return quarterback;
}

void rb_quarterback_free(RbQuarterback *quarterback)
{
    if (quarterback == NULL) {
        return;
    }
    for (int i = 0; i < RB_DECISIONS; i++) {
        g_array_unref(quarterback->decisions[i]);
    }
    g_ptr_array_unref(quarterback->throws);
    g_ptr_array_unref(quarterback->games);
    g_ptr_array_unref(quarterback->habits);
    g_free(quarterback);
}

static void group_free(void *data)
{
    RbDecisionGroup *group = data;
    g_free(group->label);
    g_array_unref(group->snaps);
    g_free(group);
}

static char *label_of(const RbNames *names, RbField field, int64_t value)
{
    static const char *const downs[] = { N_("1st down"), N_("2nd down"), N_("3rd down"),
                                         N_("4th down") };
    if (field == RB_FIELD_DOWN && value >= 1 && value <= 4) {
        return g_strdup(_(downs[value - 1]));
    }
    if (field == RB_FIELD_READ) {
        return value > 0 ? g_strdup_printf(_("Read %d"), (int)value)
                         : g_strdup(_("None was open"));
    }
    return rb_filter_value_text(names, field, value);
}

static bool value_of(const RbSnapshot *snapshot, const RbDropback *row, RbField field,
                     int64_t *value)
{
    if (field == RB_FIELD_READ) { /* the read that was right, not where it ended */
        *value = row->right_read;
        return true;
    }
    return rb_snapshot_value(snapshot, row->snap, field, value);
}

static RbDecisionGroup *group_of(GPtrArray *groups, const RbNames *names, RbField field,
                                 int64_t value)
{
    for (guint i = 0; i < groups->len; i++) {
        RbDecisionGroup *group = g_ptr_array_index(groups, i);
        if (group->value == value) {
            return group;
        }
    }
    RbDecisionGroup *group = g_new0(RbDecisionGroup, 1);
    group->value = value;
    group->label = label_of(names, field, value);
    group->snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    g_ptr_array_add(groups, group);
    return group;
}

static int by_value(gconstpointer left, gconstpointer right)
{
    const RbDecisionGroup *a = *(RbDecisionGroup *const *)left;
    const RbDecisionGroup *b = *(RbDecisionGroup *const *)right;
    return (a->value > b->value) - (a->value < b->value);
}

static int by_judged(gconstpointer left, gconstpointer right)
{
    const RbDecisionGroup *a = *(RbDecisionGroup *const *)left;
    const RbDecisionGroup *b = *(RbDecisionGroup *const *)right;
    return a->rate.judged != b->rate.judged ? b->rate.judged - a->rate.judged
                                            : g_utf8_collate(a->label, b->label);
}

GPtrArray *rb_quarterback_groups(const RbSelection *selection, RbField field)
{
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    const RbNames *names = rb_snapshot_get_names(snapshot);
    GPtrArray *groups = g_ptr_array_new_with_free_func(group_free);
    g_autoptr(GArray) rows = rb_quarterback_counted(selection);
    for (guint i = 0; i < rows->len; i++) {
        const RbDropback *row = &g_array_index(rows, RbDropback, i);
        int64_t value = 0;
        if (rb_verdict_is_judged(row->verdict) &&
            value_of(snapshot, row, field, &value)) {
            RbDecisionGroup *group = group_of(groups, names, field, value);
            rate_add(&group->rate, row->verdict);
            g_array_append_val(group->snaps, row->snap);
        }
    }
    for (guint i = 0; i < groups->len; i++) {
        RbDecisionGroup *group = g_ptr_array_index(groups, i);
        rate_finish(&group->rate);
    }
    const bool ordered = field == RB_FIELD_READ || field == RB_FIELD_DOWN ||
                         field == RB_FIELD_HASH || field == RB_FIELD_SIDE_WORKED;
    g_ptr_array_sort(groups, ordered ? by_value : by_judged);
    return groups;
}

typedef struct {
    RbPlayerId player;
    int n;
} Count;

static int by_count(gconstpointer left, gconstpointer right)
{
    const Count *a = left;
    const Count *b = right;
    return a->n != b->n ? b->n - a->n
                        : (a->player.value > b->player.value) -
                              (a->player.value < b->player.value);
}

GArray *rb_quarterbacks_of(const RbSnapshot *snapshot)
{
    g_autoptr(GArray) counts = g_array_new(FALSE, FALSE, sizeof(Count));
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    for (int i = 0; i < n; i++) {
        guint at = 0;
        while (at < counts->len && g_array_index(counts, Count, at).player.value !=
                                       rows[i].quarterback.value) {
            at++;
        }
        if (!rows[i].in_ladder || rows[i].quarterback.value == 0) {
            continue;
        }
        if (at == counts->len) {
            const Count count = { .player = rows[i].quarterback };
            g_array_append_val(counts, count);
        }
        g_array_index(counts, Count, at).n++;
    }
    g_array_sort(counts, by_count);
    GArray *players = g_array_new(FALSE, FALSE, sizeof(RbPlayerId));
    for (guint i = 0; i < counts->len; i++) {
        g_array_append_val(players, g_array_index(counts, Count, i).player);
    }
    return players;
}

static int by_number(gconstpointer left, gconstpointer right)
{
    const int a = *(const int *)left;
    const int b = *(const int *)right;
    return (a > b) - (a < b);
}

int rb_median_ms(GArray *values)
{
    g_array_sort(values, by_number);
    return g_array_index(values, int, (values->len - 1) / 2);
}

GArray *rb_quarterback_snaps(const RbSelection *selection, RbVerdict verdict)
{
    g_autoptr(GArray) rows = rb_quarterback_counted(selection);
    GArray *snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    for (guint i = 0; i < rows->len; i++) {
        const RbDropback *row = &g_array_index(rows, RbDropback, i);
        if (row->verdict == verdict) {
            g_array_append_val(snaps, row->snap);
        }
    }
    return snaps;
}

GArray *rb_quarterback_errors(const RbSelection *selection)
{
    g_autoptr(GArray) rows = rb_quarterback_counted(selection);
    GArray *snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    for (guint i = 0; i < rows->len; i++) {
        const RbDropback *row = &g_array_index(rows, RbDropback, i);
        if (rb_verdict_is_error(row->verdict)) {
            g_array_append_val(snaps, row->snap);
        }
    }
    return snaps;
}
