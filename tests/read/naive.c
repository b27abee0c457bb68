/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "naive.h"

#include <string.h>

/* One read of the call, as the rules leave it. */
typedef struct {
    int slot;
    const RbRead *read;
    int concept; /* 0 first, 1 second */
    bool other_side;
    bool dead;
    bool in_front;
    int fronted_at;
    int clock; /* -1 none */
    int limit;
} Man;

typedef struct {
    const RbReadContext *context;
    const RbSnap *snap;
    const RbChart *chart;
    const RbReadSettings *settings;
    RbSide side; /* of the concept, or worked */
    bool choice; /* the quarterback chose it */
    Man men[16];
    int n;
    const Man *order[16]; /* live, in order */
    int live;
    int64_t required;
    RbSide picked;
    int hot;       /* slot; 0 none */
    int hot_named; /* slot of the last hot rule */
    const Man *ball;
    bool thrown;
} Naive;

static RbSide across(RbSide side)
{
    return side == RB_SIDE_LEFT ? RB_SIDE_RIGHT : RB_SIDE_LEFT;
}

static bool gives_choice(const RbReadContext *context, const RbChart *chart)
{
    if (chart->call.kind == RB_CALL_MIRRORED || chart->call.kind == RB_CALL_SPLIT) {
        return true;
    }
    if (chart->call.kind == RB_CALL_ACROSS || context->first == NULL ||
        !context->first->full_field) {
        return false;
    }
    bool named = context->first->picks->len > 0;
    for (guint i = 0; i < context->first->rules->len; i++) {
        const RbRule *rule = g_ptr_array_index(context->first->rules, i);
        named = named || rule->action == RB_DO_SIDE;
    }
    return named;
}

static RbSide side_of_call(const RbReadContext *context, const RbChart *chart)
{
    if (gives_choice(context, chart) || chart->call.first_side == RB_SIDE_UNKNOWN) {
        return chart->side_worked;
    }
    return chart->call.first_side;
}

/* ---- conditions on a chart without unknowns */

static bool is_before_snap(RbActionKind action)
{
    return action == RB_DO_SIDE || action == RB_DO_REQUIRE_ADJUSTMENT ||
           action == RB_DO_FRONT || action == RB_DO_RUNNER;
}

static bool holds(const Naive *naive, const RbCondition *condition, RbSide own,
                  bool before_snap)
{
    const RbChart *chart = naive->chart;
    const RbSnap *snap = naive->snap;
    const RbSide at = condition->where == RB_WHERE_LEFT         ? RB_SIDE_LEFT
                      : condition->where == RB_WHERE_RIGHT      ? RB_SIDE_RIGHT
                      : condition->where == RB_WHERE_OTHER_SIDE ? across(own)
                                                                : own;
    const bool left = at == RB_SIDE_LEFT;
    const RbSideShown *shown = left ? &chart->shown.left : &chart->shown.right;
    const int64_t value = condition->value;
    const RbSide boundary = snap->situation.hash == RB_HASH_LEFT    ? RB_SIDE_LEFT
                            : snap->situation.hash == RB_HASH_RIGHT ? RB_SIDE_RIGHT
                                                                    : RB_SIDE_UNKNOWN;
    const RbRotation rotation =
        before_snap ? chart->shown.rotation : chart->played.rotation;
    const RbRotation to_side = left ? RB_ROTATION_LEFT : RB_ROTATION_RIGHT;
    const RbRotation from_side = left ? RB_ROTATION_RIGHT : RB_ROTATION_LEFT;
    switch (condition->kind) {
    case RB_IF_SHELL:
        return chart->shown.shell == value;
    case RB_IF_COVERAGE:
        return chart->played.coverage.value == value;
    case RB_IF_FAMILY:
        for (guint i = 0; i < naive->context->terms->len; i++) {
            const RbTerm *term = g_ptr_array_index(naive->context->terms, i);
            if (term->id.value == chart->played.coverage.value) {
                return term->family == value;
            }
        }
        return false;
    case RB_IF_TECHNIQUE:
        return value == (before_snap ? shown->technique
                         : left      ? chart->played.left
                                     : chart->played.right);
    case RB_IF_CUSHION_AT_MOST:
        return shown->cushion_tenths <= value;
    case RB_IF_CUSHION_AT_LEAST:
        return shown->cushion_tenths >= value;
    case RB_IF_SPLIT_AT_MOST:
        return shown->split_tenths <= value;
    case RB_IF_SPLIT_AT_LEAST:
        return shown->split_tenths >= value;
    case RB_IF_LEVERAGE:
        return shown->leverage == value;
    case RB_IF_SAFETY_OVER:
        return value == (left ? chart->played.safety_left : chart->played.safety_right);
    case RB_IF_ROTATION:
        return rotation == (value == 1 ? to_side : from_side);
    case RB_IF_RUSHERS_AT_LEAST:
        return chart->played.rushers >= value;
    case RB_IF_UNBLOCKED:
        return chart->played.unblocked == RB_YES && chart->played.unblocked_side == at;
    case RB_IF_HASH:
        return snap->situation.hash == value;
    case RB_IF_FIELD_SIDE:
        return boundary != RB_SIDE_UNKNOWN && (at == boundary) == (value == 0);
    case RB_IF_DOWN:
        return snap->situation.down == value;
    case RB_IF_DISTANCE_AT_MOST:
        return snap->situation.distance <= value;
    case RB_IF_DISTANCE_AT_LEAST:
        return snap->situation.distance >= value;
    case RB_IF_WIDTH:
        return snap->width == value;
    case RB_IF_FORMATION:
        return snap->formation.value == value;
    case RB_IF_STRONG_SIDE:
        if (snap->strong != RB_STRONG_LEFT && snap->strong != RB_STRONG_RIGHT) {
            return false;
        }
        return ((snap->strong == RB_STRONG_LEFT) == (at == RB_SIDE_LEFT)) == (value == 1);
    }
    return false;
}

static bool is_seen_after_snap(RbConditionKind kind)
{
    return kind == RB_IF_COVERAGE || kind == RB_IF_FAMILY || kind == RB_IF_SAFETY_OVER ||
           kind == RB_IF_RUSHERS_AT_LEAST || kind == RB_IF_UNBLOCKED;
}

static bool matches(const Naive *naive, const RbRule *rule, RbSide own)
{
    const bool before_snap = is_before_snap(rule->action);
    bool all = true;
    for (guint i = 0; i < rule->conditions->len; i++) {
        const RbCondition *condition = &g_array_index(rule->conditions, RbCondition, i);
        if (before_snap && is_seen_after_snap(condition->kind)) {
            return false;
        }
        all = all && holds(naive, condition, own, before_snap) != condition->negated;
    }
    return all;
}

/* ---- the order in force */

static void add_men(Naive *naive, const RbConcept *concept, int index, int offset)
{
    for (guint i = 0; i < concept->reads->len; i++) {
        const RbRead *read = g_ptr_array_index(concept->reads, i);
        if (read->number + offset > RB_READS_MAX) {
            continue;
        }
        Man man = { .slot = read->number + offset, .read = read, .concept = index };
        man.other_side = (index == 1) != (read->side == RB_READ_SIDE_OTHER);
        man.dead = read->clear_out;
        int ms = 0;
        man.clock = rb_clock_ms(&read->clock, naive->context->footwork, &ms) ? ms : -1;
        man.limit = man.clock < 0 ? -1 : man.clock + read->clock.tolerance_ms;
        naive->men[naive->n++] = man;
    }
}

static Man *man_at(Naive *naive, int slot)
{
    for (int i = 0; i < naive->n; i++) {
        if (naive->men[i].slot == slot) {
            return &naive->men[i];
        }
    }
    return NULL;
}

static bool says_where_rusher(const RbRule *rule)
{
    for (guint i = 0; i < rule->conditions->len; i++) {
        if (g_array_index(rule->conditions, RbCondition, i).kind == RB_IF_UNBLOCKED) {
            return true;
        }
    }
    return false;
}

static void apply(Naive *naive, const RbRule *rule, int index, int offset, int *clock)
{
    Man *man = rule->read > 0 ? man_at(naive, rule->read + offset) : NULL;
    bool other = index == 1;
    if (man != NULL) {
        other = man->other_side;
    }
    const RbSide own = other ? across(naive->side) : naive->side;
    if (rule->action == RB_DO_REQUIRE_ADJUSTMENT) {
        if (matches(naive, rule, own)) {
            naive->required = rule->adjustment.value;
        }
        return;
    }
    if (man == NULL || rule->action == RB_DO_SIDE) {
        return;
    }
    if (rule->action == RB_DO_HOT) {
        naive->hot_named = man->slot;
    }
    if (!matches(naive, rule, own)) {
        return;
    }
    if (rule->action == RB_DO_DROP) {
        man->dead = true;
    } else if (rule->action == RB_DO_CONVERT) {
        man->dead = rule->clear_out;
    } else if (rule->action == RB_DO_FRONT) {
        man->in_front = true;
        man->fronted_at = ++*clock;
    } else if (rule->action == RB_DO_HOT && naive->chart->played.unblocked == RB_YES &&
               (says_where_rusher(rule) || naive->chart->played.unblocked_side == own)) {
        naive->hot = man->slot;
    }
}

/* Takes reads out one by one: what should be read first among those left. */
static void put_in_order(Naive *naive)
{
    bool taken[16] = { false };
    for (;;) {
        int best = -1;
        for (int i = 0; i < naive->n; i++) {
            const Man *man = &naive->men[i];
            if (taken[i] || man->dead) {
                continue;
            }
            if (best < 0) {
                best = i;
                continue;
            }
            const Man *first = &naive->men[best];
            if (man->read->outlet != first->read->outlet) {
                best = first->read->outlet ? i : best;
            } else if (man->concept == first->concept && !man->read->outlet &&
                       man->in_front && man->fronted_at > first->fronted_at) {
                best = i;
            }
        }
        if (best < 0) {
            return;
        }
        taken[best] = true;
        naive->order[naive->live++] = &naive->men[best];
    }
}

/* ---- the side */

static RbSide strong_or_weak(const Naive *naive, RbWhere where)
{
    if (where == RB_WHERE_LEFT) {
        return RB_SIDE_LEFT;
    }
    if (where == RB_WHERE_RIGHT) {
        return RB_SIDE_RIGHT;
    }
    if (naive->snap->strong != RB_STRONG_LEFT && naive->snap->strong != RB_STRONG_RIGHT) {
        return RB_SIDE_UNKNOWN;
    }
    const RbSide strong =
        naive->snap->strong == RB_STRONG_LEFT ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
    return where == RB_WHERE_READ_SIDE ? strong : across(strong);
}

static RbSide by_criterion(const Naive *naive, const RbPick *pick)
{
    const RbPictureShown *shown = &naive->chart->shown;
    const RbHash hash = naive->snap->situation.hash;
    if (pick->kind == RB_PICK_FREE_ACCESS) {
        const bool left = shown->left.technique == RB_TECHNIQUE_OFF &&
                          shown->left.cushion_tenths >= pick->cushion_tenths;
        const bool right = shown->right.technique == RB_TECHNIQUE_OFF &&
                           shown->right.cushion_tenths >= pick->cushion_tenths;
        if (left && !right) {
            return RB_SIDE_LEFT;
        }
        return right && !left ? RB_SIDE_RIGHT : RB_SIDE_UNKNOWN;
    }
    if (pick->kind == RB_PICK_AWAY_FROM_ROTATION) {
        return shown->rotation == RB_ROTATION_LEFT    ? RB_SIDE_RIGHT
               : shown->rotation == RB_ROTATION_RIGHT ? RB_SIDE_LEFT
                                                      : RB_SIDE_UNKNOWN;
    }
    if (hash == RB_HASH_MIDDLE) {
        return RB_SIDE_UNKNOWN;
    }
    const RbSide short_side = hash == RB_HASH_LEFT ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
    return pick->kind == RB_PICK_BOUNDARY ? short_side : across(short_side);
}

static RbSide by_concept(const Naive *naive, const RbConcept *concept)
{
    RbSide side = RB_SIDE_UNKNOWN;
    for (guint i = 0; concept != NULL && i < concept->rules->len; i++) {
        const RbRule *rule = g_ptr_array_index(concept->rules, i);
        const RbSide named = strong_or_weak(naive, rule->where);
        if (rule->action == RB_DO_SIDE && named != RB_SIDE_UNKNOWN &&
            matches(naive, rule, named)) {
            side = named;
        }
    }
    for (guint i = 0; concept != NULL && i < concept->picks->len; i++) {
        if (side == RB_SIDE_UNKNOWN) {
            side = by_criterion(naive, &g_array_index(concept->picks, RbPick, i));
        }
    }
    return side;
}

static RbSide pick(const Naive *naive)
{
    if (!naive->choice) {
        return RB_SIDE_UNKNOWN;
    }
    const RbSide first = by_concept(naive, naive->context->first);
    if (naive->chart->call.kind != RB_CALL_SPLIT) {
        return first;
    }
    const RbSide second = by_concept(naive, naive->context->second);
    if (first != RB_SIDE_UNKNOWN && second != RB_SIDE_UNKNOWN && first != second) {
        return RB_SIDE_UNKNOWN;
    }
    return first != RB_SIDE_UNKNOWN ? first : second;
}

/* ---- the verdict */

static bool set_up(Naive *naive)
{
    const RbReadContext *context = naive->context;
    const RbChart *chart = naive->chart;
    const RbConcept *concepts[2] = { context->first, NULL };
    naive->side = side_of_call(context, chart);
    naive->choice = gives_choice(context, chart);
    if (chart->call.kind == RB_CALL_SPLIT && naive->side == RB_SIDE_RIGHT) {
        concepts[0] = context->second;
    }
    if (chart->call.kind == RB_CALL_ACROSS) {
        concepts[1] = context->second;
    }
    if (concepts[0] == NULL ||
        (chart->call.kind == RB_CALL_ACROSS && concepts[1] == NULL)) {
        return false;
    }
    int offsets[2] = { 0, 0 };
    for (guint i = 0; i < concepts[0]->reads->len; i++) {
        const RbRead *read = g_ptr_array_index(concepts[0]->reads, i);
        offsets[1] = MAX(offsets[1], read->number);
    }
    for (int c = 0; c < 2 && concepts[c] != NULL; c++) {
        add_men(naive, concepts[c], c, offsets[c]);
    }
    int clock = 0;
    for (int c = 0; c < 2 && concepts[c] != NULL; c++) {
        for (guint i = 0; i < concepts[c]->rules->len; i++) {
            apply(naive, g_ptr_array_index(concepts[c]->rules, i), c, offsets[c], &clock);
        }
    }
    if (naive->hot != 0 && man_at(naive, naive->hot)->dead) {
        naive->hot = 0;
    }
    put_in_order(naive);
    naive->picked = pick(naive);
    return true;
}

static void find_ball(Naive *naive)
{
    const RbChart *chart = naive->chart;
    naive->thrown = chart->ball == RB_BALL_READ || chart->ball == RB_BALL_HOT ||
                    chart->ball == RB_BALL_OFF_SCRIPT;
    if (chart->ball == RB_BALL_READ) {
        naive->ball = man_at(naive, chart->ball_read);
    } else if (chart->ball == RB_BALL_HOT) {
        naive->ball = man_at(naive, naive->hot != 0 ? naive->hot : naive->hot_named);
    }
}

static bool open(const Naive *naive, const Man *man)
{
    return naive->chart->looks[man->slot - 1] == RB_LOOK_OPEN;
}

static bool came(const Naive *naive)
{
    return naive->chart->pressure == RB_PRESSURE_CAME;
}

static bool before_pressure(const Naive *naive, int ms)
{
    return !came(naive) || ms < naive->chart->pressure_ms;
}

static bool in_time(const Naive *naive, const Man *man)
{
    return man->clock < 0 || naive->chart->release_ms <= man->limit;
}

/* There was time for it before the pressure. */
static bool reachable(const Naive *naive, const Man *man)
{
    return man->clock < 0 || before_pressure(naive, man->limit);
}

static bool good_before_pressure(const Naive *naive)
{
    const Man *ball = naive->ball;
    return ball != NULL && !ball->dead && open(naive, ball) &&
           before_pressure(naive, naive->chart->release_ms);
}

static const Man *first_open(const Naive *naive, bool must_be_reachable)
{
    for (int i = 0; i < naive->live; i++) {
        if (open(naive, naive->order[i]) &&
            (!must_be_reachable || reachable(naive, naive->order[i]))) {
            return naive->order[i];
        }
    }
    return NULL;
}

static int place_in_order(const Naive *naive, const Man *man)
{
    for (int i = 0; i < naive->live; i++) {
        if (naive->order[i] == man) {
            return i;
        }
    }
    return -1;
}

static const Man *right_read(Naive *naive)
{
    if (naive->hot != 0) {
        const bool other_was_good = naive->ball != NULL &&
                                    naive->ball->slot != naive->hot &&
                                    good_before_pressure(naive);
        if (!other_was_good) {
            return man_at(naive, naive->hot);
        }
    }
    const Man *right = first_open(naive, true);
    if (right == NULL) {
        return first_open(naive, false);
    }
    /* An open read ahead of it that got the ball by its own limit was in time as well. */
    const int place = naive->ball != NULL ? place_in_order(naive, naive->ball) : -1;
    if (place >= 0 && place < place_in_order(naive, right) && open(naive, naive->ball) &&
        in_time(naive, naive->ball)) {
        return naive->ball;
    }
    return right;
}

static bool spoils(const RbChart *chart)
{
    return chart->fault == RB_FAULT_WRONG_ROUTE || chart->fault == RB_FAULT_WRONG_CALL ||
           chart->fault == RB_FAULT_SLIP;
}

static bool nothing_open_ahead(const Naive *naive, const Man *man)
{
    for (int i = 0; i < place_in_order(naive, man); i++) {
        if (open(naive, naive->order[i])) {
            return false;
        }
    }
    return true;
}

static bool is_forced(const Naive *naive)
{
    const RbChart *chart = naive->chart;
    if (naive->ball != NULL) {
        return naive->ball->dead || !open(naive, naive->ball);
    }
    return naive->thrown && chart->throw_ != RB_THROW_TIPPED &&
           (chart->catch_ == RB_CATCH_BROKEN_UP || chart->catch_ == RB_CATCH_INTERCEPTED);
}

static int last_clock(const Naive *naive)
{
    int last = -1;
    for (int i = 0; i < naive->live; i++) {
        last = MAX(last, naive->order[i]->clock);
    }
    return last;
}

static RbVerdict verdict_of(Naive *naive, const Man *right)
{
    const RbChart *chart = naive->chart;
    const Man *ball = naive->ball;
    const bool was_adjusted =
        chart->adjusted == RB_YES && chart->adjustment.value == naive->required;
    const bool hot_served = ball != NULL &&
                            (ball->slot == naive->hot || good_before_pressure(naive)) &&
                            before_pressure(naive, chart->release_ms);
    if (spoils(chart) &&
        (chart->fault_read == 0 || (right != NULL && right->slot == chart->fault_read) ||
         (ball != NULL && ball->slot == chart->fault_read))) {
        return RB_VERDICT_SPOILED;
    }
    if (naive->required != 0 && !was_adjusted) {
        return RB_VERDICT_MISSED_ADJUSTMENT;
    }
    if (naive->picked != RB_SIDE_UNKNOWN && naive->side != naive->picked) {
        return RB_VERDICT_WRONG_SIDE;
    }
    if (naive->hot != 0 && !hot_served) {
        return RB_VERDICT_MISSED_HOT;
    }
    if (is_forced(naive)) {
        return RB_VERDICT_FORCED;
    }
    if (ball != NULL && ball->read->outlet && ball->slot != naive->hot &&
        nothing_open_ahead(naive, ball)) {
        return RB_VERDICT_ON_READ;
    }
    if (ball != NULL && ball == right && in_time(naive, ball)) {
        return RB_VERDICT_ON_READ;
    }
    if (ball != NULL &&
        (ball == right || place_in_order(naive, ball) < place_in_order(naive, right))) {
        return RB_VERDICT_LATE;
    }
    if (right != NULL && first_open(naive, true) == NULL) {
        return RB_VERDICT_NO_TIME;
    }
    if (ball != NULL) {
        return RB_VERDICT_PASSED_UP;
    }
    if (right != NULL) {
        return came(naive) || chart->ball == RB_BALL_SACK ? RB_VERDICT_HELD
                                                          : RB_VERDICT_BAILED;
    }
    const int last = last_clock(naive);
    return chart->ball == RB_BALL_SACK && last >= 0 &&
                   chart->release_ms > last + naive->settings->held_after_last_ms
               ? RB_VERDICT_HELD
               : RB_VERDICT_SOUND;
}

/* ---- the stage */

static bool covered_before_outlet(const Naive *naive)
{
    for (int i = 0; i < naive->live; i++) {
        if (!naive->order[i]->read->outlet && open(naive, naive->order[i])) {
            return false;
        }
    }
    return true;
}

static RbStage stage_of(const Naive *naive, RbVerdict verdict, const Man *right,
                        bool success)
{
    const RbChart *chart = naive->chart;
    const int contact_ms =
        came(naive) ? MAX(chart->pressure_ms, chart->release_ms) : chart->release_ms;
    const bool contact = chart->contact != RB_CONTACT_NONE && right != NULL &&
                         right->clock >= 0 && contact_ms <= right->limit;
    const bool last_resort = naive->ball == NULL || naive->ball->read->outlet;
    if (verdict == RB_VERDICT_SPOILED) {
        return RB_STAGE_NOT_JUDGED;
    }
    if (success) {
        return RB_STAGE_SUCCESS;
    }
    switch ((int)verdict) {
    case RB_VERDICT_MISSED_ADJUSTMENT:
    case RB_VERDICT_WRONG_SIDE:
    case RB_VERDICT_MISSED_HOT:
        return RB_STAGE_BEFORE_SNAP;
    default:
        break;
    }
    if (naive->thrown && chart->throw_ == RB_THROW_TIPPED) {
        return RB_STAGE_TIPPED;
    }
    if (verdict == RB_VERDICT_NO_TIME || contact) {
        return RB_STAGE_PROTECTION;
    }
    switch ((int)verdict) {
    case RB_VERDICT_FORCED:
    case RB_VERDICT_PASSED_UP:
    case RB_VERDICT_HELD:
    case RB_VERDICT_BAILED:
        return RB_STAGE_EYES;
    default:
        break;
    }
    if (covered_before_outlet(naive) &&
        (!naive->thrown || (last_resort && chart->catch_ == RB_CATCH_CAUGHT))) {
        return RB_STAGE_COVERED;
    }
    if (verdict == RB_VERDICT_LATE) {
        return RB_STAGE_CLOCK;
    }
    if (chart->throw_ == RB_THROW_NOT_CATCHABLE) {
        return RB_STAGE_THROW;
    }
    return chart->catch_ != RB_CATCH_CAUGHT ? RB_STAGE_CATCH : RB_STAGE_AFTER;
}

NaiveVerdict naive_judge(const RbReadContext *context, const RbChart *chart, bool success,
                         const RbReadSettings *settings)
{
    Naive naive = {
        .context = context, .snap = context->snap, .chart = chart, .settings = settings
    };
    if (!set_up(&naive)) {
        return (NaiveVerdict){ RB_VERDICT_UNGRADED, RB_STAGE_NOT_JUDGED, 0, 0 };
    }
    find_ball(&naive);
    const Man *right = right_read(&naive);
    const RbVerdict verdict = verdict_of(&naive, right);
    const Man *booked = right;
    if (booked == NULL) {
        booked = naive.ball;
    }
    if (booked == NULL && naive.live > 0) {
        booked = naive.order[naive.live - 1];
    }
    return (NaiveVerdict){ verdict, stage_of(&naive, verdict, right, success),
                           right != NULL ? right->slot : 0,
                           booked != NULL ? booked->slot : 0 };
}
