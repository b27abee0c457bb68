/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Eight concepts under their general names, with the reads, clocks and rules of an invented
 * staff. Depths and steps: common practice, no source. */
#include "season-private.h"

/* clang-format off */
const SeasonCall rb_season_calls[SEASON_CONCEPTS] = {
    [SEASON_SLANT_FLAT] = { "slant-flat", RB_PLAY_QUICK, true, false, 1, 1.2, 0.3, 2.0 },
    [SEASON_STICK] = { "stick", RB_PLAY_QUICK, false, true, 1, 1.3, 0.5, 1.2 },
    [SEASON_CURL_FLAT] = { "curl-flat", RB_PLAY_DROPBACK, true, false, 3, 1.1, 1.1, 0.5 },
    [SEASON_SMASH] = { "smash", RB_PLAY_DROPBACK, true, false, 3, 0.9, 0.8, 1.6 },
    [SEASON_FLOOD] = { "flood", RB_PLAY_ACTION, false, true, 3, 1.0, 0.9, 0.8 },
    [SEASON_DRIVE] = { "drive", RB_PLAY_DROPBACK, false, false, 3, 1.0, 1.2, 0.5 },
    [SEASON_MESH] = { "mesh", RB_PLAY_DROPBACK, false, false, 3, 0.9, 0.9, 1.0 },
    [SEASON_FOUR_VERTICALS] = { "four-verticals", RB_PLAY_DROPBACK, false, false, 5, 0.6, 1.3,
                                0.1 },
};

typedef struct {
    SeasonConcept concept;
    int number;
    RbRoute route;
    RbRunner runner;
    RbReadSide side;
    int depth_yd;
    int hitches; /* after the drop; -1: no clock, a clear-out */
    bool outlet;
    const char *landmark;
    const char *key;
} ReadRow;

static const ReadRow reads[] = {
    { SEASON_SLANT_FLAT, 1, RB_ROUTE_SLANT, RB_RUNNER_1, RB_READ_SIDE_SAME, 6, 0, false,
      "behind the flat defender", "flat defender" },
    { SEASON_SLANT_FLAT, 2, RB_ROUTE_FLAT, RB_RUNNER_2, RB_READ_SIDE_SAME, 2, 1, false,
      "two yards past the line", "flat defender" },
    { SEASON_SLANT_FLAT, 3, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, RB_READ_SIDE_OTHER, 2, 2, true,
      NULL, NULL },

    { SEASON_STICK, 1, RB_ROUTE_SIT, RB_RUNNER_3, RB_READ_SIDE_SAME, 6, 0, false,
      "outside the near linebacker", "near linebacker" },
    { SEASON_STICK, 2, RB_ROUTE_SPEED_OUT, RB_RUNNER_2, RB_READ_SIDE_SAME, 5, 1, false,
      "bottom of the numbers", "flat defender" },
    { SEASON_STICK, 3, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, RB_READ_SIDE_OTHER, 2, 2, true,
      NULL, NULL },
    { SEASON_STICK, 4, RB_ROUTE_GO, RB_RUNNER_1, RB_READ_SIDE_SAME, 0, -1, false,
      NULL, NULL },

    { SEASON_CURL_FLAT, 1, RB_ROUTE_CURL, RB_RUNNER_1, RB_READ_SIDE_SAME, 12, 0, false,
      "top of the numbers", "flat defender" },
    { SEASON_CURL_FLAT, 2, RB_ROUTE_FLAT, RB_RUNNER_2, RB_READ_SIDE_SAME, 3, 1, false,
      "outside the numbers", "flat defender" },
    { SEASON_CURL_FLAT, 3, RB_ROUTE_DIG, RB_RUNNER_1, RB_READ_SIDE_OTHER, 12, 2, false,
      NULL, NULL },
    { SEASON_CURL_FLAT, 4, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, RB_READ_SIDE_OTHER, 2, 3, true,
      "over the ball", NULL },

    { SEASON_SMASH, 1, RB_ROUTE_CORNER, RB_RUNNER_2, RB_READ_SIDE_SAME, 12, 1, false,
      "22 yards, at the sideline", "corner" },
    { SEASON_SMASH, 2, RB_ROUTE_HITCH, RB_RUNNER_1, RB_READ_SIDE_SAME, 6, 2, false,
      NULL, "corner" },
    { SEASON_SMASH, 3, RB_ROUTE_SEAM, RB_RUNNER_2, RB_READ_SIDE_OTHER, 14, 2, false,
      NULL, NULL },
    { SEASON_SMASH, 4, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, RB_READ_SIDE_OTHER, 2, 3, true,
      NULL, NULL },

    { SEASON_FLOOD, 1, RB_ROUTE_SAIL, RB_RUNNER_2, RB_READ_SIDE_SAME, 14, 1, false,
      "at the sideline", "corner" },
    { SEASON_FLOOD, 2, RB_ROUTE_FLAT, RB_RUNNER_3, RB_READ_SIDE_SAME, 3, 2, false,
      NULL, "flat defender" },
    { SEASON_FLOOD, 3, RB_ROUTE_OVER, RB_RUNNER_1, RB_READ_SIDE_OTHER, 15, 2, false,
      NULL, NULL },
    { SEASON_FLOOD, 4, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, RB_READ_SIDE_OTHER, 2, 3, true,
      NULL, NULL },
    { SEASON_FLOOD, 5, RB_ROUTE_GO, RB_RUNNER_1, RB_READ_SIDE_SAME, 0, -1, false,
      NULL, NULL },

    { SEASON_DRIVE, 1, RB_ROUTE_SHALLOW, RB_RUNNER_1, RB_READ_SIDE_SAME, 4, 0, false,
      "across the ball", "near linebacker" },
    { SEASON_DRIVE, 2, RB_ROUTE_DIG, RB_RUNNER_2, RB_READ_SIDE_SAME, 12, 1, false,
      "over the ball", "middle linebacker" },
    { SEASON_DRIVE, 3, RB_ROUTE_COMEBACK, RB_RUNNER_1, RB_READ_SIDE_OTHER, 15, 2, false,
      NULL, NULL },
    { SEASON_DRIVE, 4, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, RB_READ_SIDE_OTHER, 2, 3, true,
      NULL, NULL },

    { SEASON_MESH, 1, RB_ROUTE_SHALLOW, RB_RUNNER_1, RB_READ_SIDE_SAME, 5, 0, false,
      NULL, "middle linebacker" },
    { SEASON_MESH, 2, RB_ROUTE_SHALLOW, RB_RUNNER_1, RB_READ_SIDE_OTHER, 6, 1, false,
      NULL, "middle linebacker" },
    { SEASON_MESH, 3, RB_ROUTE_SIT, RB_RUNNER_2, RB_READ_SIDE_SAME, 9, 2, false,
      "over the ball", NULL },
    { SEASON_MESH, 4, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, RB_READ_SIDE_SAME, 2, 3, true,
      NULL, NULL },

    { SEASON_FOUR_VERTICALS, 1, RB_ROUTE_SEAM, RB_RUNNER_2, RB_READ_SIDE_SAME, 18, 0, false,
      "inside the hash", "deep middle" },
    { SEASON_FOUR_VERTICALS, 2, RB_ROUTE_SEAM, RB_RUNNER_2, RB_READ_SIDE_OTHER, 18, 0, false,
      "inside the hash", "deep middle" },
    { SEASON_FOUR_VERTICALS, 3, RB_ROUTE_GO, RB_RUNNER_1, RB_READ_SIDE_SAME, 22, 1, false,
      "outside the numbers", "corner" },
    { SEASON_FOUR_VERTICALS, 4, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, RB_READ_SIDE_SAME, 3, 2,
      true, "over the ball", NULL },
};
/* clang-format on */

static void add_reads(GPtrArray *concepts)
{
    for (size_t i = 0; i < G_N_ELEMENTS(reads); i++) {
        const ReadRow *row = &reads[i];
        RbConcept *concept = g_ptr_array_index(concepts, row->concept);
        RbRead *read = rb_read_new(row->number, row->route);
        read->runner = row->runner;
        read->side = row->side;
        read->depth_yd = row->depth_yd;
        read->landmark = g_strdup(row->landmark);
        read->key = g_strdup(row->key);
        read->outlet = row->outlet;
        read->clear_out = row->hitches < 0;
        if (row->hitches >= 0) {
            read->clock = (RbClock){ .kind = RB_CLOCK_FOOTWORK,
                                     .backfield = RB_BACKFIELD_GUN,
                                     .steps = rb_season_calls[row->concept].steps,
                                     .hitches = row->hitches,
                                     .tolerance_ms = 250 };
        }
        g_ptr_array_add(concept->reads, read);
    }
}

static RbRule *add_rule(GPtrArray *concepts, SeasonConcept index, RbActionKind action,
                        int read, const char *name)
{
    RbConcept *concept = g_ptr_array_index(concepts, index);
    RbRule *rule = rb_rule_new(action, read);
    g_free(rule->name);
    rule->name = g_strdup(name);
    g_ptr_array_add(concept->rules, rule);
    return rule;
}

static void when(RbRule *rule, RbConditionKind kind, int64_t value)
{
    const RbCondition condition = { .kind = kind,
                                    .where = RB_WHERE_READ_SIDE,
                                    .value = value };
    g_array_append_val(rule->conditions, condition);
}

static void add_rules(GPtrArray *concepts)
{
    RbRule *rule = add_rule(concepts, SEASON_SLANT_FLAT, RB_DO_DROP, 1,
                            "A squat corner sits under the slant");
    when(rule, RB_IF_TECHNIQUE, RB_TECHNIQUE_SQUAT);
    add_rule(concepts, SEASON_SLANT_FLAT, RB_DO_HOT, 1,
             "The slant is hot against a free rusher from its side");

    rule = add_rule(concepts, SEASON_STICK, RB_DO_REQUIRE_ADJUSTMENT, 0,
                    "Press: signal the release that keeps the corner off the out");
    rule->adjustment = rb_season_term(RB_TERM_ADJUSTMENT, "route-signal");
    when(rule, RB_IF_TECHNIQUE, RB_TECHNIQUE_PRESS);

    rule = add_rule(concepts, SEASON_CURL_FLAT, RB_DO_CONVERT, 1,
                    "A squat corner turns the curl into a go that clears");
    rule->route = RB_ROUTE_GO;
    rule->clear_out = true;
    when(rule, RB_IF_TECHNIQUE, RB_TECHNIQUE_SQUAT);

    rule = add_rule(concepts, SEASON_SMASH, RB_DO_CONVERT, 2,
                    "Press turns the hitch into a fade");
    rule->route = RB_ROUTE_FADE;
    when(rule, RB_IF_TECHNIQUE, RB_TECHNIQUE_PRESS);

    rule = add_rule(concepts, SEASON_FLOOD, RB_DO_FRONT, 2,
                    "Flat first when the corner gives eight yards or more");
    when(rule, RB_IF_CUSHION_AT_LEAST, 80);

    rule = add_rule(concepts, SEASON_DRIVE, RB_DO_DROP, 3,
                    "Six rushers leave no time for the comeback");
    when(rule, RB_IF_RUSHERS_AT_LEAST, 6);

    rule = add_rule(concepts, SEASON_MESH, RB_DO_CONVERT, 2,
                    "Against zone the second shallow sits down");
    rule->route = RB_ROUTE_SIT;
    when(rule, RB_IF_FAMILY, RB_FAMILY_ZONE);

    rule = add_rule(concepts, SEASON_FOUR_VERTICALS, RB_DO_CONVERT, 1,
                    "Two high: the seam bends to the post");
    rule->route = RB_ROUTE_POST;
    when(rule, RB_IF_SHELL, RB_SHELL_TWO_HIGH);
}

static void add_picks(GPtrArray *concepts)
{
    static const RbPick picks[] = {
        { RB_PICK_FREE_ACCESS, 60 },
        { RB_PICK_AWAY_FROM_ROTATION, 0 },
        { RB_PICK_FIELD, 0 },
    };
    for (int i = 0; i < SEASON_CONCEPTS; i++) {
        if (rb_season_calls[i].mirrored) {
            const RbConcept *concept = g_ptr_array_index(concepts, i);
            g_array_append_vals(concept->picks, picks, G_N_ELEMENTS(picks));
        }
    }
}

static void free_concept(void *concept)
{
    rb_concept_free(concept);
}

GPtrArray *rb_season_playbook(void)
{
    static const char *const names[SEASON_CONCEPTS] = {
        "Slant-flat", "Stick", "Curl-flat", "Smash",
        "Flood",      "Drive", "Mesh",      "Four verticals",
    };
    GPtrArray *concepts = g_ptr_array_new_with_free_func(free_concept);
    for (int i = 0; i < SEASON_CONCEPTS; i++) {
        g_ptr_array_add(concepts, rb_concept_new(rb_season_calls[i].token, names[i]));
    }
    RbConcept *verticals = g_ptr_array_index(concepts, SEASON_FOUR_VERTICALS);
    verticals->full_field = true;
    add_reads(concepts);
    add_rules(concepts);
    add_picks(concepts);
    return concepts;
}
