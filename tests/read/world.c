/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "world.h"

#include <string.h>

static int roll(RbRandom *random, int low, int high)
{
    return rb_random_int(random, low, high);
}

static void add_term(GPtrArray *terms, RbTermKind kind, const char *token,
                     RbFamily family)
{
    RbTerm *term = rb_term_new(kind, token, token);
    term->family = family;
    g_ptr_array_add(terms, term);
}

static GPtrArray *make_terms(void)
{
    GPtrArray *terms = g_ptr_array_new_with_free_func((GDestroyNotify)rb_term_free);
    add_term(terms, RB_TERM_COVERAGE, "a", RB_FAMILY_MAN);
    add_term(terms, RB_TERM_COVERAGE, "b", RB_FAMILY_MAN);
    add_term(terms, RB_TERM_COVERAGE, "c", RB_FAMILY_ZONE);
    add_term(terms, RB_TERM_COVERAGE, "d", RB_FAMILY_MATCH);
    add_term(terms, RB_TERM_COVERAGE, "e", RB_FAMILY_UNKNOWN);
    add_term(terms, RB_TERM_FORMATION, "a", 0);
    add_term(terms, RB_TERM_FORMATION, "b", 0);
    add_term(terms, RB_TERM_FORMATION, "c", 0);
    add_term(terms, RB_TERM_ADJUSTMENT, "a", 0);
    add_term(terms, RB_TERM_ADJUSTMENT, "b", 0);
    add_term(terms, RB_TERM_ADJUSTMENT, "c", 0);
    return terms;
}

static RbTermId pick_term(RbRandom *random, RbTermKind kind, int n)
{
    static const char *const tokens[] = { "a", "b", "c", "d", "e" };
    return rb_term_id(kind, tokens[roll(random, 0, n - 1)]);
}

static RbClock make_clock(RbRandom *random)
{
    RbClock clock = { .tolerance_ms = roll(random, 0, 2) };
    if (rb_random_chance(random, 0.15)) {
        return clock;
    }
    clock.kind = rb_random_chance(random, 0.7) ? RB_CLOCK_SECONDS : RB_CLOCK_FOOTWORK;
    clock.ms = roll(random, 0, 7);
    clock.steps = roll(random, 0, 2); /* the table lacks 0: a clock that is not known */
    clock.hitches = roll(random, 0, 2);
    return clock;
}

static void add_read(RbConcept *concept, int number, RbRandom *random)
{
    RbRead *read = rb_read_new(number, (RbRoute)roll(random, 1, RB_ROUTE_DRAWN));
    read->side = (RbReadSide)rb_random_chance(random, 0.2);
    read->clear_out = rb_random_chance(random, 0.15);
    read->outlet = rb_random_chance(random, 0.25);
    read->clock = make_clock(random);
    g_ptr_array_add(concept->reads, read);
}

static int64_t make_value(RbConditionKind kind, RbRandom *random)
{
    switch (kind) {
    case RB_IF_SHELL:
        return roll(random, 1, 4);
    case RB_IF_COVERAGE:
        return pick_term(random, RB_TERM_COVERAGE, 5).value;
    case RB_IF_FORMATION:
        return pick_term(random, RB_TERM_FORMATION, 2).value;
    case RB_IF_FAMILY:
    case RB_IF_LEVERAGE:
    case RB_IF_HASH:
    case RB_IF_WIDTH:
        return roll(random, 1, 3);
    case RB_IF_TECHNIQUE:
        return roll(random, 1, 5);
    case RB_IF_SAFETY_OVER:
        return roll(random, 1, 2);
    case RB_IF_CUSHION_AT_MOST:
    case RB_IF_CUSHION_AT_LEAST:
    case RB_IF_SPLIT_AT_MOST:
    case RB_IF_SPLIT_AT_LEAST:
        return roll(random, 0, NAIVE_CUSHION_MAX - 1);
    case RB_IF_ROTATION:
    case RB_IF_FIELD_SIDE:
    case RB_IF_STRONG_SIDE:
        return roll(random, 0, 1);
    case RB_IF_RUSHERS_AT_LEAST:
        return roll(random, 0, 11);
    case RB_IF_DOWN:
        return roll(random, 1, 4);
    case RB_IF_DISTANCE_AT_MOST:
    case RB_IF_DISTANCE_AT_LEAST:
        return roll(random, 1, 12);
    case RB_IF_UNBLOCKED:
        break;
    }
    return 0;
}

static void add_rule(RbConcept *concept, RbRandom *random)
{
    RbRule *rule = rb_rule_new((RbActionKind)roll(random, 0, RB_DO_HOT), 0);
    rule->read = roll(random, 0, 12) == 0 ? 7 : roll(random, 1, (int)concept->reads->len);
    rule->route = (RbRoute)roll(random, 1, RB_ROUTE_DRAWN);
    rule->clear_out = rb_random_chance(random, 0.6);
    rule->runner = (RbRunner)roll(random, 1, RB_RUNNER_BACK);
    rule->where = (RbWhere)roll(random, 0, RB_WHERE_RIGHT);
    rule->adjustment = pick_term(random, RB_TERM_ADJUSTMENT, 2);
    for (int i = roll(random, 0, 3); i > 0; i--) {
        RbCondition condition = {
            .kind = (RbConditionKind)roll(random, 0, RB_IF_STRONG_SIDE),
            .where = (RbWhere)roll(random, 0, RB_WHERE_RIGHT),
            .negated = rb_random_chance(random, 0.25),
        };
        condition.value = make_value(condition.kind, random);
        g_array_append_val(rule->conditions, condition);
    }
    g_ptr_array_add(concept->rules, rule);
}

static RbConcept *make_concept(const char *token, int most, RbRandom *random)
{
    RbConcept *concept = rb_concept_new(token, token);
    concept->full_field = rb_random_chance(random, 0.4);
    int number = 1;
    for (int i = roll(random, 1, most); i > 0; i--) {
        add_read(concept, number, random);
        number += rb_random_chance(random, 0.9) || number >= most ? 1 : 2;
        if (number > most) {
            break;
        }
    }
    for (int i = roll(random, 0, 5); i > 0; i--) {
        add_rule(concept, random);
    }
    for (int i = roll(random, 0, 2); i > 0; i--) {
        const RbPick pick = { (RbPickKind)roll(random, 0, RB_PICK_BOUNDARY),
                              roll(random, 0, NAIVE_CUSHION_MAX) };
        g_array_append_val(concept->picks, pick);
    }
    return concept;
}

static void make_snap(RbSnap *snap, RbRandom *random)
{
    snap->situation.hash = (RbHash)roll(random, 1, 3);
    snap->situation.down = roll(random, 1, 4);
    snap->situation.distance = roll(random, 1, 15);
    snap->width = (RbWidth)roll(random, 1, 3);
    snap->formation = pick_term(random, RB_TERM_FORMATION, 3);
    snap->strong = (RbStrong)roll(random, 1, 3);
    snap->result = (RbResult)roll(random, 0, RB_RESULT_THROWN_AWAY);
}

static void make_side(RbSideShown *side, RbRandom *random)
{
    side->technique = (RbTechnique)roll(random, 1, 5);
    side->cushion_tenths = roll(random, 0, NAIVE_CUSHION_MAX);
    side->cushion_pm_tenths =
        rb_random_chance(random, 0.1) ? roll(random, 0, MIN(2, side->cushion_tenths)) : 0;
    side->split_tenths = roll(random, 0, NAIVE_CUSHION_MAX);
    side->split_pm_tenths =
        rb_random_chance(random, 0.1) ? roll(random, 0, MIN(2, side->split_tenths)) : 0;
    side->leverage = (RbLeverage)roll(random, 1, 3);
}

static void make_picture(RbChart *chart, RbRandom *random)
{
    chart->shown.shell = (RbShell)roll(random, 1, 4);
    chart->shown.rotation = (RbRotation)roll(random, 1, 3);
    make_side(&chart->shown.left, random);
    make_side(&chart->shown.right, random);
    chart->played.coverage = pick_term(random, RB_TERM_COVERAGE, 5);
    chart->played.rotation = (RbRotation)roll(random, 1, 3);
    chart->played.left = (RbTechnique)roll(random, 1, 5);
    chart->played.right = (RbTechnique)roll(random, 1, 5);
    chart->played.safety_left = (RbYesNo)roll(random, 1, 2);
    chart->played.safety_right = (RbYesNo)roll(random, 1, 2);
    chart->played.rushers = roll(random, 0, 11);
    chart->played.unblocked = (RbYesNo)roll(random, 1, 2);
    chart->played.unblocked_side =
        chart->played.unblocked == RB_YES ? (RbSide)roll(random, 1, 2) : RB_SIDE_UNKNOWN;
}

static void make_done(RbChart *chart, int slots, RbRandom *random)
{
    chart->adjusted = (RbYesNo)roll(random, 1, 2);
    if (chart->adjusted == RB_YES) {
        chart->adjustment = pick_term(random, RB_TERM_ADJUSTMENT, 3);
    }
    for (int i = 0; i < RB_READS_MAX; i++) {
        chart->looks[i] = rb_random_chance(random, 0.5) ? RB_LOOK_OPEN : RB_LOOK_COVERED;
    }
    chart->ball =
        rb_random_chance(random, 0.5) ? RB_BALL_READ : (RbBall)roll(random, 1, 6);
    chart->ball_read = chart->ball == RB_BALL_READ ? roll(random, 1, slots) : 0;
    chart->release_ms = roll(random, 0, 12);
    chart->release_pm_ms = rb_random_chance(random, 0.2) ? roll(random, 0, 3) : 0;
    chart->release_pm_ms = MIN(chart->release_pm_ms, chart->release_ms);
    chart->pressure = (RbPressure)roll(random, 1, 2);
    chart->pressure_ms = chart->pressure == RB_PRESSURE_CAME ? roll(random, 0, 12) : -1;
    chart->contact = (RbContact)roll(random, 1, 3);
    chart->throw_ = (RbThrow)roll(random, 1, 5);
    chart->catch_ = (RbCatch)roll(random, 1, 6);
    chart->fault =
        rb_random_chance(random, 0.75) ? RB_FAULT_NONE : (RbFault)roll(random, 1, 5);
    chart->fault_read = roll(random, 0, slots);
}

void world_make(World *world, RbRandom *random)
{
    *world = (World){ .terms = make_terms(), .settings = { .held_after_last_ms = 2 } };
    world->footwork = (RbFootwork){
        .rows = { { RB_BACKFIELD_GUN, 1, 2 }, { RB_BACKFIELD_GUN, 2, 4 } },
        .n = 2,
        .hitch_ms = 1,
    };
    const RbCallKind kind = (RbCallKind)roll(random, RB_CALL_SINGLE, RB_CALL_ACROSS);
    const bool two = kind == RB_CALL_SPLIT || kind == RB_CALL_ACROSS;
    world->first = make_concept("first", two ? 3 : 5, random);
    world->second = two ? make_concept("second", 3, random) : NULL;
    world->snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    world->chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    world->success = rb_random_chance(random, 0.3);
    RbChart *chart = world->chart;
    chart->call.kind = kind;
    chart->side_worked = (RbSide)roll(random, 1, 2);
    if (kind == RB_CALL_SINGLE || kind == RB_CALL_ACROSS) {
        chart->call.first_side = chart->side_worked;
    }
    make_snap(world->snap, random);
    make_picture(chart, random);
    make_done(chart, kind == RB_CALL_ACROSS ? 6 : 5, random);
    world->context = (RbReadContext){ world->snap, world->first, world->second,
                                      world->terms, &world->footwork };
}

void world_clear(World *world)
{
    rb_concept_free(world->first);
    rb_concept_free(world->second);
    rb_snap_free(world->snap);
    rb_chart_free(world->chart);
    g_ptr_array_unref(world->terms);
}

void world_copy(const World *world, World *copy)
{
    *copy = *world;
    copy->snap = rb_snap_copy(world->snap);
    copy->chart = rb_chart_copy(world->chart);
    copy->context.snap = copy->snap;
    copy->context.footwork = &copy->footwork;
}

void world_copy_clear(World *copy)
{
    rb_snap_free(copy->snap);
    rb_chart_free(copy->chart);
}

static void forget_fact(RbSnap *snap, int which)
{
    switch (which) {
    case 0:
        snap->situation.hash = RB_HASH_UNKNOWN;
        break;
    case 1:
        snap->situation.down = 0;
        break;
    case 2:
        snap->situation.distance = 0;
        break;
    case 3:
        snap->width = RB_WIDTH_UNKNOWN;
        break;
    case 4:
        snap->formation.value = 0;
        break;
    default:
        snap->strong = RB_STRONG_UNKNOWN;
        break;
    }
}

static void forget_picture(RbChart *chart, int which, RbRandom *random)
{
    RbSideShown *side =
        rb_random_chance(random, 0.5) ? &chart->shown.left : &chart->shown.right;
    RbPicturePlayed *played = &chart->played;
    switch (which) {
    case 0:
        chart->shown.shell =
            rb_random_chance(random, 0.5) ? RB_SHELL_UNKNOWN : RB_SHELL_UNCLEAR;
        break;
    case 1:
        chart->shown.rotation = RB_ROTATION_UNKNOWN;
        break;
    case 2:
        side->technique = RB_TECHNIQUE_UNKNOWN;
        break;
    case 3:
        *(roll(random, 0, 1) ? &side->cushion_tenths : &side->split_tenths) = -1;
        break;
    case 4:
        side->leverage = RB_LEVERAGE_UNKNOWN;
        break;
    case 5:
        played->coverage.value = 0;
        break;
    case 6:
        played->rotation = RB_ROTATION_UNKNOWN;
        break;
    case 7:
        *(roll(random, 0, 1) ? &played->left : &played->right) = RB_TECHNIQUE_UNKNOWN;
        break;
    case 8:
        *(roll(random, 0, 1) ? &played->safety_left : &played->safety_right) =
            RB_YES_NO_UNKNOWN;
        break;
    case 9:
        played->rushers = -1;
        break;
    default:
        played->unblocked_side = RB_SIDE_UNKNOWN;
        if (rb_random_chance(random, 0.5)) {
            played->unblocked = RB_YES_NO_UNKNOWN;
        }
        break;
    }
}

static void forget_done(RbChart *chart, int which, RbRandom *random)
{
    switch (which) {
    case 0:
        chart->adjustment.value = 0;
        if (rb_random_chance(random, 0.5)) {
            chart->adjusted = RB_YES_NO_UNKNOWN;
        }
        break;
    case 1:
        chart->ball_read = 0;
        if (rb_random_chance(random, 0.6)) {
            chart->ball = RB_BALL_UNKNOWN;
        }
        break;
    case 2:
        chart->release_ms = -1;
        break;
    case 3:
        chart->pressure_ms = -1;
        if (rb_random_chance(random, 0.5)) {
            chart->pressure = RB_PRESSURE_UNKNOWN;
        }
        break;
    case 4:
        chart->contact = RB_CONTACT_UNKNOWN;
        break;
    case 5:
        chart->throw_ = RB_THROW_UNKNOWN;
        break;
    case 6:
        chart->catch_ = RB_CATCH_UNKNOWN;
        break;
    case 7:
        chart->fault = RB_FAULT_UNKNOWN;
        break;
    case 8:
        chart->side_worked = RB_SIDE_UNKNOWN;
        if (rb_random_chance(random, 0.5)) {
            chart->call.first_side = RB_SIDE_UNKNOWN;
        }
        break;
    default:
        chart->looks[roll(random, 0, 5)] =
            rb_random_chance(random, 0.5) ? RB_LOOK_UNKNOWN : RB_LOOK_CANT_TELL;
        break;
    }
}

void world_forget(World *world, RbRandom *random)
{
    switch (roll(random, 0, 4)) {
    case 0:
        forget_fact(world->snap, roll(random, 0, 5));
        break;
    case 1:
    case 2:
        forget_picture(world->chart, roll(random, 0, 10), random);
        break;
    default:
        forget_done(world->chart, roll(random, 0, 12), random);
        break;
    }
}
