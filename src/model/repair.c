/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/repair.h"

#include <glib/gi18n-lib.h>
#include <stddef.h>

#include "rb/base/ids.h"
#include "rb/base/told.h"
#include "rb/model/successor.h"
#include "rb/model/yardline.h"

enum { REPAIRS_MAX = 6 };

/* Facts that a repair can set. */
typedef struct {
    const char *what;
    size_t offset;
    const RbWords *words; /* nullable */
    bool is_spot;
} Fact;

enum {
    QUARTER,
    CLOCK,
    DOWN,
    DISTANCE,
    SPOT,
    SCORE_OFFENSE,
    SCORE_DEFENSE,
    TIMEOUTS_OFFENSE,
    TIMEOUTS_DEFENSE,
    GAIN,
    RESULT,
    ENDING,
    PLAY,
    NUMBER,
};

static const Fact facts[] = {
    [QUARTER] = { N_("quarter"), offsetof(RbSnap, situation.quarter), NULL, false },
    [CLOCK] = { N_("clock"), offsetof(RbSnap, situation.clock_s), NULL, false },
    [DOWN] = { N_("down"), offsetof(RbSnap, situation.down), NULL, false },
    [DISTANCE] = { N_("distance"), offsetof(RbSnap, situation.distance), NULL, false },
    [SPOT] = { N_("spot"), offsetof(RbSnap, situation.yards_to_goal), NULL, true },
    [SCORE_OFFENSE] = { N_("offense's score"), offsetof(RbSnap, situation.score_offense),
                        NULL, false },
    [SCORE_DEFENSE] = { N_("defense's score"), offsetof(RbSnap, situation.score_defense),
                        NULL, false },
    [TIMEOUTS_OFFENSE] = { N_("offense's time-outs"), offsetof(RbSnap, timeouts_offense),
                           NULL, false },
    [TIMEOUTS_DEFENSE] = { N_("defense's time-outs"), offsetof(RbSnap, timeouts_defense),
                           NULL, false },
    [GAIN] = { N_("gain"), offsetof(RbSnap, gain), NULL, false },
    [RESULT] = { N_("result"), offsetof(RbSnap, result), &rb_result_words, false },
    [ENDING] = { N_("ending"), offsetof(RbSnap, ending), &rb_ending_words, false },
    [PLAY] = { N_("kind of play"), offsetof(RbSnap, play), &rb_play_words, false },
    [NUMBER] = { N_("number"), offsetof(RbSnap, number), NULL, false },
};

typedef struct {
    GPtrArray *snaps; /* owned, of RbSnap, borrowed: by number, then id */
    const RbTeamId *teams;
    bool ours_only;
    RbRules rules;
    int findings; /* of the game as it is */
    GPtrArray *found;
} Bench;

void rb_repair_free(RbRepair *repair)
{
    if (repair != NULL) {
        g_free(repair->sentence);
        g_free(repair->told);
        g_clear_pointer(&repair->after, g_ptr_array_unref);
        g_free(repair);
    }
}

static void free_repair(void *repair)
{
    rb_repair_free(repair);
}

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

static RbRepair *repair_new(RbRepairKind kind, int size)
{
    RbRepair *repair = g_new0(RbRepair, 1);
    repair->kind = kind;
    repair->size = size;
    repair->after = g_ptr_array_new_with_free_func(free_snap);
    return repair;
}

static RbSnap *change(RbRepair *repair, const RbSnap *snap)
{
    RbSnap *copy = rb_snap_copy(snap);
    g_ptr_array_add(repair->after, copy);
    return copy;
}

/* The game as it would be. Returns: (transfer full): of borrowed RbSnap. */
static GPtrArray *carry_out(const Bench *bench, const RbRepair *repair)
{
    GPtrArray *all = g_ptr_array_new();
    g_autoptr(GHashTable) changed = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < repair->after->len; i++) {
        RbSnap *snap = repair->after->pdata[i];
        g_hash_table_add(changed, &snap->id.value);
        g_ptr_array_add(all, snap);
    }
    for (guint i = 0; i < bench->snaps->len; i++) {
        RbSnap *snap = bench->snaps->pdata[i];
        if (!g_hash_table_contains(changed, &snap->id.value) &&
            snap->id.value != repair->removed.value) {
            g_ptr_array_add(all, snap);
        }
    }
    return all;
}

/* Keeps the repair if it helps. told: taken. */
static void try_repair(Bench *bench, RbRepair *repair, char *told)
{
    repair->told = told;
    repair->sentence = rb_told_show(told);
    g_autoptr(GPtrArray) all = carry_out(bench, repair);
    g_autoptr(GPtrArray) findings =
        rb_chain_check(all, bench->teams, bench->ours_only, bench->rules);
    repair->left = (int)findings->len;
    bool known = false;
    for (guint i = 0; i < bench->found->len; i++) {
        const RbRepair *other = bench->found->pdata[i];
        known = known || g_strcmp0(other->told, told) == 0;
    }
    if (repair->left < bench->findings && !known) {
        g_ptr_array_add(bench->found, repair);
    } else {
        rb_repair_free(repair);
    }
}

static int get(const RbSnap *snap, int fact)
{
    return *(const int *)((const char *)snap + facts[fact].offset);
}

static char *value_text(int fact, int value)
{
    if (facts[fact].words != NULL) {
        g_autofree char *label = rb_words_tell(facts[fact].words, value);
        return g_strdup_printf("\"%s\"", label);
    }
    if (facts[fact].is_spot && value >= 1 && value <= 99) {
        return rb_yardline_tell(value);
    }
    return fact == CLOCK ? g_strdup_printf("%d:%02d", value / 60, value % 60)
                         : g_strdup_printf("%d", value);
}

static bool in_range(int fact, int value)
{
    if (facts[fact].words != NULL) {
        return value >= 0 && value < facts[fact].words->n;
    }
    return fact == GAIN          ? value >= -99 && value <= 99
           : facts[fact].is_spot ? value >= 1 && value <= 99
                                 : value >= 0;
}

static void try_set(Bench *bench, const RbSnap *snap, int fact, int value, int size)
{
    if (snap == NULL || !in_range(fact, value) ||
        (get(snap, fact) == value && (fact != GAIN || snap->has_gain == RB_YES))) {
        return;
    }
    RbRepair *repair = repair_new(RB_REPAIR_SET, size);
    RbSnap *copy = change(repair, snap);
    *(int *)((char *)copy + facts[fact].offset) = value;
    if (fact == GAIN) {
        copy->has_gain = RB_YES;
    }
    g_autofree char *text = value_text(fact, value);
    g_autofree char *what = rb_told_word(facts[fact].what);
    try_repair(bench, repair,
               rb_told("Set the %s of snap %d to %s.", what, snap->number, text));
}

static void try_team(Bench *bench, const RbSnap *snap, RbTeamId team)
{
    RbRepair *repair = repair_new(RB_REPAIR_SET, 2);
    change(repair, snap)->situation.offense = team;
    try_repair(bench, repair,
               rb_told("Give the ball of snap %d to the other team.", snap->number));
}

/* Down, distance and spot as they follow from the snap before. */
static void try_follow(Bench *bench, const RbSnap *before, const RbSnap *snap)
{
    const RbTeamId offense = before->situation.offense;
    const RbTeamId other =
        offense.value == bench->teams[0].value ? bench->teams[1] : bench->teams[0];
    const RbNext next = rb_next_situation(before, other, bench->rules);
    if (!next.spot_known || next.situation.phase != snap->situation.phase) {
        return;
    }
    RbRepair *repair = repair_new(RB_REPAIR_SET, 4);
    RbSituation *s = &change(repair, snap)->situation;
    s->down = next.situation.down;
    s->distance = next.situation.distance;
    s->yards_to_goal = next.situation.yards_to_goal;
    g_autofree char *down = rb_situation_down_tell(s);
    g_autofree char *spot = rb_yardline_tell(s->yards_to_goal);
    try_repair(bench, repair,
               rb_told("Set snap %d to %s at %s, as it follows from snap %d.",
                       snap->number, down, spot, before->number));
}

static void try_swap(Bench *bench, const RbSnap *one, const RbSnap *other)
{
    if (one == NULL || other == NULL || one->number == other->number) {
        return;
    }
    RbRepair *repair = repair_new(RB_REPAIR_SWAP, 5);
    change(repair, one)->number = other->number;
    change(repair, other)->number = one->number;
    try_repair(bench, repair,
               rb_told("Let snaps %d and %d change places.", one->number, other->number));
}

/* A snap between two others: into a free number, or all that follow move up. */
static void try_add(Bench *bench, const RbSnap *before, const RbSnap *snap)
{
    const bool is_free = snap->number - before->number >= 2;
    RbRepair *repair = repair_new(RB_REPAIR_ADD, is_free ? 3 : 8);
    const RbTeamId none = { 0 };
    const RbNext next = rb_next_situation(before, none, bench->rules);
    RbSnap *added =
        rb_snap_new((RbSnapId){ rb_id_random() }, before->game, before->number + 1);
    g_ptr_array_add(repair->after, added);
    added->situation.quarter = before->situation.quarter;
    if (next.kind == RB_NEXT_SAME_SERIES && next.spot_known) {
        added->situation = next.situation;
        added->situation.clock_s = -1;
    }
    for (guint i = 0; i < bench->snaps->len && !is_free; i++) {
        const RbSnap *later = bench->snaps->pdata[i];
        if (later->number > before->number) {
            change(repair, later)->number++;
        }
    }
    try_repair(
        bench, repair,
        is_free ? rb_told("Add a snap %d that is missing between snap %d and this one.",
                          added->number, before->number)
                : rb_told("Add a snap %d that is missing between snap %d and this one; "
                          "those after it move up by one.",
                          added->number, before->number));
}

static bool stands_twice(const RbSnap *a, const RbSnap *b)
{
    return a->situation.down > 0 && a->situation.down == b->situation.down &&
           a->situation.distance == b->situation.distance &&
           a->situation.yards_to_goal == b->situation.yards_to_goal &&
           a->result == b->result && a->gain == b->gain;
}

static void try_remove(Bench *bench, const RbSnap *before, const RbSnap *snap)
{
    if (!stands_twice(before, snap)) {
        return;
    }
    RbRepair *repair = repair_new(RB_REPAIR_REMOVE, 2);
    repair->removed = snap->id;
    try_repair(bench, repair,
               rb_told("Remove snap %d, which says the same as snap %d.", snap->number,
                       before->number));
}

/* The finding's own field, whatever it is: what was found becomes what was expected. */
static void try_expected(Bench *bench, const RbSnap *snap, const RbFinding *finding)
{
    for (int fact = 0; fact < (int)G_N_ELEMENTS(facts); fact++) {
        const bool fits = finding->field == RB_CHAIN_VALUE ||
                          (finding->field == RB_CHAIN_SPOT && fact == SPOT) ||
                          (finding->field == RB_CHAIN_DOWN && fact == DOWN) ||
                          (finding->field == RB_CHAIN_DISTANCE && fact == DISTANCE) ||
                          (finding->field == RB_CHAIN_SCORE &&
                           (fact == SCORE_OFFENSE || fact == SCORE_DEFENSE)) ||
                          (finding->field == RB_CHAIN_QUARTER && fact == QUARTER) ||
                          (finding->field == RB_CHAIN_CLOCK && fact == CLOCK) ||
                          (finding->field == RB_CHAIN_NUMBER && fact == NUMBER);
        if (fits && get(snap, fact) == finding->found) {
            try_set(bench, snap, fact, (int)finding->expected, 1);
        }
    }
}

/* The slip lies in the play before. */
static void try_before(Bench *bench, const RbSnap *before, const RbSnap *snap)
{
    const RbSituation *from = &before->situation;
    const RbSituation *to = &snap->situation;
    const bool same = from->offense.value == to->offense.value;
    const int moved =
        from->yards_to_goal - (same ? to->yards_to_goal : 100 - to->yards_to_goal);
    if (from->yards_to_goal > 0 && to->yards_to_goal > 0) {
        try_set(bench, before, GAIN, moved, 2);
        try_set(bench, before, SPOT, from->yards_to_goal - moved + before->gain, 3);
    }
    if (to->down > 1) {
        try_set(bench, before, DOWN, to->down - 1, 2);
    }
    if (from->distance > 0 && to->distance > 0 && moved != 0) {
        try_set(bench, before, DISTANCE, to->distance + before->gain, 3);
    }
    for (int result = RB_RESULT_COMPLETE; result < rb_result_words.n; result++) {
        try_set(bench, before, RESULT, result, 4);
    }
    for (int ending = RB_ENDING_NONE; ending < rb_ending_words.n; ending++) {
        try_set(bench, before, ENDING, ending, 3);
    }
}

static int compare_numbers(const void *a, const void *b)
{
    const RbSnap *one = *(RbSnap *const *)a;
    const RbSnap *other = *(RbSnap *const *)b;
    return one->number != other->number
               ? (one->number > other->number) - (one->number < other->number)
               : (one->id.value > other->id.value) - (one->id.value < other->id.value);
}

static int compare_repairs(const void *a, const void *b)
{
    const RbRepair *one = *(RbRepair *const *)a;
    const RbRepair *other = *(RbRepair *const *)b;
    return one->left != other->left ? one->left - other->left : one->size - other->size;
}

static const RbSnap *snap_at(const Bench *bench, int i)
{
    return i >= 0 && i < (int)bench->snaps->len ? bench->snaps->pdata[i] : NULL;
}

/* A clock that does not fit may be that of another quarter. */
static void try_quarters(Bench *bench, const RbSnap *before, const RbSnap *snap,
                         const RbSnap *after, const RbFinding *finding)
{
    if (finding->field != RB_CHAIN_QUARTER && finding->field != RB_CHAIN_CLOCK) {
        return;
    }
    const RbSnap *const snaps[] = { before, snap, after };
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++) {
            if (snaps[i] != NULL && snaps[j] != NULL) {
                try_set(bench, snaps[i], QUARTER, snaps[j]->situation.quarter, 2);
            }
        }
    }
}

static void try_around(Bench *bench, int at, const RbFinding *finding)
{
    const RbSnap *before = snap_at(bench, at - 1);
    const RbSnap *snap = snap_at(bench, at);
    try_expected(bench, snap, finding);
    if (finding->field == RB_CHAIN_POSSESSION) {
        try_team(bench, snap, (RbTeamId){ finding->expected });
    }
    if (finding->field == RB_CHAIN_POSSESSION && before != NULL) {
        try_team(bench, before, snap->situation.offense);
    }
    try_quarters(bench, before, snap, snap_at(bench, at + 1), finding);
    if (finding->field == RB_CHAIN_VALUE || before == NULL) {
        return;
    }
    try_before(bench, before, snap);
    try_follow(bench, before, snap);
    try_swap(bench, before, snap);
    try_swap(bench, snap, snap_at(bench, at + 1));
    try_swap(bench, snap_at(bench, at - 2), before);
    try_remove(bench, before, snap);
    try_add(bench, before, snap);
}

GPtrArray *rb_chain_repairs(const GPtrArray *snaps, const RbTeamId teams[2],
                            bool ours_only, RbRules rules, const GPtrArray *findings,
                            const RbFinding *finding)
{
    Bench bench = { g_ptr_array_new(),  teams,
                    ours_only,          rules,
                    (int)findings->len, g_ptr_array_new_with_free_func(free_repair) };
    for (guint i = 0; i < snaps->len; i++) {
        g_ptr_array_add(bench.snaps, snaps->pdata[i]);
    }
    g_ptr_array_sort(bench.snaps, compare_numbers);
    for (guint i = 0; i < bench.snaps->len; i++) {
        if (snap_at(&bench, (int)i)->id.value == finding->snap.value) {
            try_around(&bench, (int)i, finding);
            break;
        }
    }
    g_ptr_array_sort(bench.found, compare_repairs);
    if (bench.found->len > REPAIRS_MAX) {
        g_ptr_array_set_size(bench.found, REPAIRS_MAX);
    }
    g_ptr_array_unref(bench.snaps);
    return bench.found;
}
