/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/concept.h"

#include <glib/gi18n-lib.h>

/* clang-format off */
static const RbWord clock_table[] = {
    [RB_CLOCK_UNKNOWN] = { "unknown", N_("No clock") },
    [RB_CLOCK_SECONDS] = { "seconds", N_("Seconds") },
    [RB_CLOCK_FOOTWORK] = { "footwork", N_("Footwork") },
};
static const RbWord backfield_table[] = {
    [RB_BACKFIELD_GUN] = { "gun", N_("Gun") },
    [RB_BACKFIELD_CENTRE] = { "centre", N_("Under centre") },
};
static const RbWord runner_table[] = {
    [RB_RUNNER_UNKNOWN] = { "unknown", N_("Not known") },
    [RB_RUNNER_1] = { "1", "#1" },
    [RB_RUNNER_2] = { "2", "#2" },
    [RB_RUNNER_3] = { "3", "#3" },
    [RB_RUNNER_4] = { "4", "#4" },
    [RB_RUNNER_BACK] = { "back", N_("Back") },
};
static const RbWord read_side_table[] = {
    [RB_READ_SIDE_SAME] = { "same", N_("Side worked") },
    [RB_READ_SIDE_OTHER] = { "other", N_("Other side") },
};
static const RbWord landmark_table[] = {
    [RB_FROM_NONE] = { "none", N_("No yards") },
    [RB_FROM_SIDELINE] = { "sideline", N_("In from the sideline") },
    [RB_FROM_NUMBERS] = { "numbers", N_("Outside the numbers") },
    [RB_FROM_HASH] = { "hash", N_("Outside the hash") },
};
static const RbWord where_table[] = {
    [RB_WHERE_READ_SIDE] = { "read-side", N_("On the read's side") },
    [RB_WHERE_OTHER_SIDE] = { "other-side", N_("On the other side") },
    [RB_WHERE_LEFT] = { "left", N_("On the left") },
    [RB_WHERE_RIGHT] = { "right", N_("On the right") },
};
static const RbWord condition_table[] = {
    [RB_IF_SHELL] = { "shell", N_("Shell shown") },
    [RB_IF_COVERAGE] = { "coverage", N_("Coverage") },
    [RB_IF_FAMILY] = { "family", N_("Family of the coverage") },
    [RB_IF_TECHNIQUE] = { "technique", N_("Corner's technique") },
    [RB_IF_CUSHION_AT_MOST] = { "cushion-at-most", N_("Cushion at most") },
    [RB_IF_CUSHION_AT_LEAST] = { "cushion-at-least", N_("Cushion at least") },
    [RB_IF_SPLIT_AT_MOST] = { "split-at-most", N_("Split at most") },
    [RB_IF_SPLIT_AT_LEAST] = { "split-at-least", N_("Split at least") },
    [RB_IF_LEVERAGE] = { "leverage", N_("Corner's leverage") },
    [RB_IF_SAFETY_OVER] = { "safety-over", N_("Half-field safety over the side") },
    [RB_IF_ROTATION] = { "rotation", N_("Rotation") },
    [RB_IF_RUSHERS_AT_LEAST] = { "rushers-at-least", N_("Rushers at least") },
    [RB_IF_UNBLOCKED] = { "unblocked", N_("Unblocked rusher") },
    [RB_IF_HASH] = { "hash", N_("Hash") },
    [RB_IF_FIELD_SIDE] = { "field-side", N_("Field or boundary") },
    [RB_IF_DOWN] = { "down", N_("Down") },
    [RB_IF_DISTANCE_AT_MOST] = { "distance-at-most", N_("Distance at most") },
    [RB_IF_DISTANCE_AT_LEAST] = { "distance-at-least", N_("Distance at least") },
    [RB_IF_WIDTH] = { "width", N_("Width of the formation") },
    [RB_IF_FORMATION] = { "formation", N_("Formation") },
    [RB_IF_STRONG_SIDE] = { "strong-side", N_("Side with more receivers") },
};
static const RbWord action_table[] = {
    [RB_DO_DROP] = { "drop", N_("Drop the read"),
        NC_("in a sentence", "it is dropped") },
    [RB_DO_CONVERT] = { "convert", N_("Convert the route"),
        NC_("in a sentence", "its route is converted") },
    [RB_DO_FRONT] = { "front", N_("Bring it to the front"),
        NC_("in a sentence", "it is brought to the front") },
    [RB_DO_REQUIRE_ADJUSTMENT] = { "require-adjustment", N_("Require an adjustment"),
        NC_("in a sentence", "an adjustment is required") },
    [RB_DO_RUNNER] = { "runner", N_("Another man runs it"),
        NC_("in a sentence", "another man runs it") },
    [RB_DO_SIDE] = { "side", N_("Work a side"),
        NC_("in a sentence", "a side is named") },
    [RB_DO_HOT] = { "hot", N_("Name the hot read"),
        NC_("in a sentence", "it is named as the hot read") },
};
static const RbWord drop_table[] = {
    [RB_DROP_STRAIGHT] = { "straight", N_("Steps straight back") },
    [RB_DROP_BOOT] = { "boot", N_("Boot") },
    [RB_DROP_SPRINT] = { "sprint", N_("Sprint out") },
};
static const RbWord pick_table[] = {
    [RB_PICK_FREE_ACCESS] = { "free-access", N_("Free access") },
    [RB_PICK_AWAY_FROM_ROTATION] = { "away-from-rotation", N_("Away from rotation") },
    [RB_PICK_FIELD] = { "field", N_("Field") },
    [RB_PICK_BOUNDARY] = { "boundary", N_("Boundary") },
};
/* clang-format on */

const RbWords rb_clock_words = { N_("clock"), clock_table, G_N_ELEMENTS(clock_table) };
const RbWords rb_drop_words = { N_("drop"), drop_table, G_N_ELEMENTS(drop_table) };
const RbWords rb_backfield_words = { N_("backfield"), backfield_table,
                                     G_N_ELEMENTS(backfield_table) };
const RbWords rb_runner_words = { N_("runner"), runner_table,
                                  G_N_ELEMENTS(runner_table) };
const RbWords rb_read_side_words = { N_("side of a read"), read_side_table,
                                     G_N_ELEMENTS(read_side_table) };
const RbWords rb_landmark_words = { N_("mark of a landmark"), landmark_table,
                                    G_N_ELEMENTS(landmark_table) };
const RbWords rb_where_words = { N_("place"), where_table, G_N_ELEMENTS(where_table) };
const RbWords rb_condition_words = { N_("condition"), condition_table,
                                     G_N_ELEMENTS(condition_table) };
const RbWords rb_action_words = { N_("action"), action_table,
                                  G_N_ELEMENTS(action_table) };
const RbWords rb_pick_words = { N_("way to pick a side"), pick_table,
                                G_N_ELEMENTS(pick_table) };

RbRead *rb_read_new(int number, RbRoute route)
{
    RbRead *read = g_new0(RbRead, 1);
    read->number = number;
    read->route = route;
    return read;
}

RbRead *rb_read_copy(const RbRead *read)
{
    RbRead *copy = g_memdup2(read, sizeof *read);
    copy->landmark = g_strdup(read->landmark);
    copy->key = g_strdup(read->key);
    return copy;
}

void rb_read_free(RbRead *read)
{
    if (read == NULL) {
        return;
    }
    g_free(read->landmark);
    g_free(read->key);
    g_free(read);
}

RbRule *rb_rule_new(RbActionKind action, int read)
{
    RbRule *rule = g_new0(RbRule, 1);
    rule->name = g_strdup("");
    rule->read = read;
    rule->conditions = g_array_new(FALSE, FALSE, sizeof(RbCondition));
    rule->action = action;
    return rule;
}

RbRule *rb_rule_copy(const RbRule *rule)
{
    RbRule *copy = g_memdup2(rule, sizeof *rule);
    copy->name = g_strdup(rule->name);
    copy->conditions = g_array_copy(rule->conditions);
    return copy;
}

void rb_rule_free(RbRule *rule)
{
    if (rule == NULL) {
        return;
    }
    g_free(rule->name);
    g_array_unref(rule->conditions);
    g_free(rule);
}

static void free_read(void *read)
{
    rb_read_free(read);
}

static void free_rule(void *rule)
{
    rb_rule_free(rule);
}

RbConcept *rb_concept_new(const char *token, const char *name)
{
    RbConcept *concept = g_new0(RbConcept, 1);
    concept->id.value = rb_id_from_text("concept", token, NULL);
    concept->token = g_strdup(token);
    concept->name = g_strdup(name);
    concept->reads = g_ptr_array_new_with_free_func(free_read);
    concept->rules = g_ptr_array_new_with_free_func(free_rule);
    concept->picks = g_array_new(FALSE, FALSE, sizeof(RbPick));
    return concept;
}

RbConcept *rb_concept_copy(const RbConcept *concept)
{
    RbConcept *copy = g_memdup2(concept, sizeof *concept);
    copy->token = g_strdup(concept->token);
    copy->name = g_strdup(concept->name);
    copy->notes = g_strdup(concept->notes);
    copy->reads = g_ptr_array_new_with_free_func(free_read);
    for (guint i = 0; i < concept->reads->len; i++) {
        g_ptr_array_add(copy->reads, rb_read_copy(g_ptr_array_index(concept->reads, i)));
    }
    copy->rules = g_ptr_array_new_with_free_func(free_rule);
    for (guint i = 0; i < concept->rules->len; i++) {
        g_ptr_array_add(copy->rules, rb_rule_copy(g_ptr_array_index(concept->rules, i)));
    }
    copy->picks = g_array_copy(concept->picks);
    return copy;
}

void rb_concept_free(RbConcept *concept)
{
    if (concept == NULL) {
        return;
    }
    g_free(concept->token);
    g_free(concept->name);
    g_free(concept->notes);
    g_ptr_array_unref(concept->reads);
    g_ptr_array_unref(concept->rules);
    g_array_unref(concept->picks);
    g_free(concept);
}

const RbRead *rb_concept_find_read(const RbConcept *concept, int number)
{
    for (guint i = 0; i < concept->reads->len; i++) {
        const RbRead *read = g_ptr_array_index(concept->reads, i);
        if (read->number == number) {
            return read;
        }
    }
    return NULL;
}

/* Snap to release: 3, 5 and 7 steps from centre in about 1.5, 2.5 and 3.0 to 3.5 s, and two
 * steps fewer from the gun, where the ball needs a little longer to arrive but the drop is
 * shorter. Common practice, no source. */
static const RbFootwork footwork_defaults = {
    .rows = {
        { RB_BACKFIELD_CENTRE, 1, 1000 },
        { RB_BACKFIELD_CENTRE, 3, 1500 },
        { RB_BACKFIELD_CENTRE, 5, 2400 },
        { RB_BACKFIELD_CENTRE, 7, 3100 },
        { RB_BACKFIELD_GUN, 1, 1400 },
        { RB_BACKFIELD_GUN, 3, 2200 },
        { RB_BACKFIELD_GUN, 5, 2900 },
    },
    .n = 7,
    .hitch_ms = 400,
    .fake_ms = 500,
    .boot_ms = 2600,
    .sprint_ms = 2000,
};

const RbFootwork *rb_footwork_defaults(void)
{
    return &footwork_defaults;
}

const char *rb_footwork_default_source(RbBackfield backfield, int steps)
{
    static const char *const estimate = N_("an estimate, no source");
    static const char *const centre[RB_STEPS_MAX + 1] = {
        [3] = N_("about 1.5 s by common practice, no source"),
        [5] = N_("about 2.5 s by common practice, no source"),
        [7] = N_("3.0 to 3.5 s by common practice, no source"),
    };
    for (int i = 0; i < footwork_defaults.n; i++) {
        const RbFootworkRow *row = &footwork_defaults.rows[i];
        if (row->backfield == backfield && row->steps == steps) {
            return backfield == RB_BACKFIELD_GUN
                       ? _("as two steps more from centre, a little sooner; no source")
                       : _(centre[steps] != NULL ? centre[steps] : estimate);
        }
    }
    return steps <= RB_FOOTWORK_HITCH ? _(estimate) : NULL;
}

/* Snap to ready to throw; 0: not in the table. */
static int drop_ms(const RbClock *clock, const RbFootwork *footwork)
{
    switch (clock->drop) {
    case RB_DROP_BOOT:
        return footwork->boot_ms;
    case RB_DROP_SPRINT:
        return footwork->sprint_ms;
    case RB_DROP_STRAIGHT:
        break;
    }
    for (int i = 0; i < footwork->n; i++) {
        const RbFootworkRow *row = &footwork->rows[i];
        if (row->backfield == clock->backfield && row->steps == clock->steps) {
            return row->ms + (clock->fake ? footwork->fake_ms : 0);
        }
    }
    return 0;
}

bool rb_clock_ms(const RbClock *clock, const RbFootwork *footwork, int *ms)
{
    switch (clock->kind) {
    case RB_CLOCK_UNKNOWN:
        return false;
    case RB_CLOCK_SECONDS:
        *ms = clock->ms;
        return true;
    case RB_CLOCK_FOOTWORK:
        break;
    }
    const int drop = drop_ms(clock, footwork);
    if (drop > 0) {
        *ms = drop + clock->hitches * footwork->hitch_ms;
    }
    return drop > 0;
}
