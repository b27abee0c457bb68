/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Unknown tags and every value they can have. */
#include <glib.h>
#include <string.h>

#include "naive.h"

static int terms_of(const RbReadContext *context, RbTermKind kind, int wanted,
                    RbTermId *id)
{
    int n = 0;
    for (guint i = 0; i < context->terms->len; i++) {
        const RbTerm *term = g_ptr_array_index(context->terms, i);
        if (term->kind == kind) {
            if (n == wanted) {
                *id = term->id;
            }
            n++;
        }
    }
    return n;
}

/* Slots of the call, over both concepts of a split one. */
static int slots_of(const RbReadContext *context, const RbChart *chart, int slots[16])
{
    bool have[17] = { false };
    int offset = 0;
    const RbConcept *concepts[] = { context->first, context->second };
    const bool two =
        chart->call.kind == RB_CALL_SPLIT || chart->call.kind == RB_CALL_ACROSS;
    for (int c = 0; c < (two ? 2 : 1); c++) {
        int highest = 0;
        for (guint i = 0; concepts[c] != NULL && i < concepts[c]->reads->len; i++) {
            const RbRead *read = g_ptr_array_index(concepts[c]->reads, i);
            have[read->number + offset] = true;
            highest = MAX(highest, read->number);
        }
        offset = chart->call.kind == RB_CALL_ACROSS ? highest : 0;
    }
    int n = 0;
    for (int slot = 1; slot <= RB_READS_MAX; slot++) {
        if (have[slot]) {
            slots[n++] = slot;
        }
    }
    return n;
}

typedef struct {
    NaiveUnknown *unknowns;
    int n;
} List;

static void add(List *list, RbTagKind kind, int slot, RbSide side, int n)
{
    list->unknowns[list->n++] = (NaiveUnknown){ { kind, slot, side }, n };
}

static void add_picture(const RbReadContext *context, const RbChart *chart, List *list)
{
    const RbPictureShown *shown = &chart->shown;
    const RbPicturePlayed *played = &chart->played;
    if (shown->shell == RB_SHELL_UNKNOWN || shown->shell == RB_SHELL_UNCLEAR) {
        add(list, RB_TAG_SHELL, 0, 0, 4);
    }
    if (shown->rotation == RB_ROTATION_UNKNOWN) {
        add(list, RB_TAG_ROTATION_SHOWN, 0, 0, 3);
    }
    for (RbSide side = RB_SIDE_LEFT; side <= RB_SIDE_RIGHT; side++) {
        const bool left = side == RB_SIDE_LEFT;
        const RbSideShown *corner = left ? &shown->left : &shown->right;
        if (corner->technique == RB_TECHNIQUE_UNKNOWN) {
            add(list, RB_TAG_TECHNIQUE_SHOWN, 0, side, 5);
        }
        if (corner->cushion_tenths < 0) {
            add(list, RB_TAG_CUSHION, 0, side, NAIVE_CUSHION_MAX + 1);
        } else if (corner->cushion_pm_tenths > 0) {
            add(list, RB_TAG_CUSHION, 0, side, 2 * corner->cushion_pm_tenths + 1);
        }
        if (corner->split_tenths < 0) {
            add(list, RB_TAG_SPLIT, 0, side, NAIVE_CUSHION_MAX + 1);
        } else if (corner->split_pm_tenths > 0) {
            add(list, RB_TAG_SPLIT, 0, side, 2 * corner->split_pm_tenths + 1);
        }
        if (corner->leverage == RB_LEVERAGE_UNKNOWN) {
            add(list, RB_TAG_LEVERAGE, 0, side, 3);
        }
        if ((left ? played->left : played->right) == RB_TECHNIQUE_UNKNOWN) {
            add(list, RB_TAG_TECHNIQUE_PLAYED, 0, side, 5);
        }
        if ((left ? played->safety_left : played->safety_right) == RB_YES_NO_UNKNOWN) {
            add(list, RB_TAG_SAFETY_OVER, 0, side, 2);
        }
    }
    RbTermId id = { 0 };
    if (played->coverage.value == 0) {
        add(list, RB_TAG_COVERAGE, 0, 0, terms_of(context, RB_TERM_COVERAGE, 0, &id));
    }
    if (played->rotation == RB_ROTATION_UNKNOWN) {
        add(list, RB_TAG_ROTATION_PLAYED, 0, 0, 3);
    }
    if (played->rushers < 0) {
        add(list, RB_TAG_RUSHERS, 0, 0, 12);
    }
    if (played->unblocked == RB_YES_NO_UNKNOWN) {
        add(list, RB_TAG_UNBLOCKED, 0, 0, 3);
    } else if (played->unblocked == RB_YES && played->unblocked_side == 0) {
        add(list, RB_TAG_UNBLOCKED, 0, 0, 2);
    }
}

static void add_situation(const RbReadContext *context, List *list)
{
    const RbSnap *snap = context->snap;
    RbTermId id = { 0 };
    if (snap->situation.hash == RB_HASH_UNKNOWN) {
        add(list, RB_TAG_HASH, 0, 0, 3);
    }
    if (snap->situation.down == 0) {
        add(list, RB_TAG_DOWN, 0, 0, 4);
    }
    if (snap->situation.distance == 0) {
        add(list, RB_TAG_DISTANCE, 0, 0, 99);
    }
    if (snap->width == RB_WIDTH_UNKNOWN) {
        add(list, RB_TAG_WIDTH, 0, 0, 3);
    }
    if (snap->formation.value == 0) {
        add(list, RB_TAG_FORMATION, 0, 0, terms_of(context, RB_TERM_FORMATION, 0, &id));
    }
    if (snap->strong == RB_STRONG_UNKNOWN) {
        add(list, RB_TAG_STRONG, 0, 0, 3);
    }
}

static void add_timing(const RbChart *chart, List *list)
{
    if (chart->release_ms < 0) {
        add(list, RB_TAG_RELEASE, 0, 0, NAIVE_TIME_MAX + 1);
    } else if (chart->release_pm_ms > 0) {
        add(list, RB_TAG_RELEASE, 0, 0, 2 * chart->release_pm_ms);
    }
    if (chart->pressure == RB_PRESSURE_UNKNOWN) {
        add(list, RB_TAG_PRESSURE, 0, 0, NAIVE_TIME_MAX + 2);
    } else if (chart->pressure == RB_PRESSURE_CAME && chart->pressure_ms < 0) {
        add(list, RB_TAG_PRESSURE, 0, 0, NAIVE_TIME_MAX + 1);
    }
}

static void add_done(const RbReadContext *context, const RbChart *chart, List *list)
{
    int slots[16];
    const int n = slots_of(context, chart, slots);
    RbTermId id = { 0 };
    const int adjustments = terms_of(context, RB_TERM_ADJUSTMENT, 0, &id);
    if (chart->adjusted == RB_YES_NO_UNKNOWN) {
        add(list, RB_TAG_ADJUSTMENT, 0, 0, adjustments + 1);
    } else if (chart->adjusted == RB_YES && chart->adjustment.value == 0) {
        add(list, RB_TAG_ADJUSTMENT, 0, 0, adjustments);
    }
    for (int i = 0; i < n; i++) {
        const RbLook look = chart->looks[slots[i] - 1];
        if (look != RB_LOOK_OPEN && look != RB_LOOK_COVERED) {
            add(list, RB_TAG_LOOK, slots[i], 0, 2);
        }
    }
    if (chart->ball == RB_BALL_UNKNOWN) {
        add(list, RB_TAG_BALL, 0, 0, n + 5);
    } else if (chart->ball == RB_BALL_READ && chart->ball_read == 0) {
        add(list, RB_TAG_BALL, 0, 0, n);
    }
    if (chart->fault == RB_FAULT_UNKNOWN) {
        add(list, RB_TAG_FAULT, 0, 0, n + 2);
    }
}

static void add_end(const RbReadContext *context, const RbChart *chart, bool stages,
                    List *list)
{
    const RbResult result = context->snap->result;
    const bool caught = result == RB_RESULT_COMPLETE;
    if (chart->throw_ == RB_THROW_UNKNOWN && !caught) {
        add(list, RB_TAG_THROW, 0, 0, 5);
    }
    if (chart->catch_ == RB_CATCH_UNKNOWN && !caught && result != RB_RESULT_INTERCEPTED) {
        add(list, RB_TAG_CATCH, 0, 0, 6);
    }
    if (stages && chart->contact == RB_CONTACT_UNKNOWN && chart->ball != RB_BALL_SACK) {
        add(list, RB_TAG_CONTACT, 0, 0, 3);
    }
}

/* A call that has one side is placed by either tag; one with a choice by the side worked. */
static bool side_is_known(const RbReadContext *context, const RbChart *chart)
{
    bool choice =
        chart->call.kind == RB_CALL_MIRRORED || chart->call.kind == RB_CALL_SPLIT;
    if (chart->call.kind == RB_CALL_SINGLE && context->first->full_field) {
        choice = context->first->picks->len > 0;
        for (guint i = 0; i < context->first->rules->len; i++) {
            const RbRule *rule = g_ptr_array_index(context->first->rules, i);
            choice = choice || rule->action == RB_DO_SIDE;
        }
    }
    return chart->side_worked != RB_SIDE_UNKNOWN ||
           (!choice && chart->call.first_side != RB_SIDE_UNKNOWN);
}

int naive_unknowns(const RbReadContext *context, const RbChart *chart, bool stages,
                   NaiveUnknown unknowns[NAIVE_UNKNOWN_MAX])
{
    List list = { unknowns, 0 };
    if (!side_is_known(context, chart)) {
        add(&list, RB_TAG_SIDE_WORKED, 0, 0, 2);
    }
    add_picture(context, chart, &list);
    add_situation(context, &list);
    add_done(context, chart, &list);
    add_timing(chart, &list);
    add_end(context, chart, stages, &list);
    return list.n;
}

static void set_sided(const RbTag *tag, int value, RbChart *chart)
{
    const bool left = tag->side == RB_SIDE_LEFT;
    RbSideShown *shown = left ? &chart->shown.left : &chart->shown.right;
    switch ((int)tag->kind) {
    case RB_TAG_TECHNIQUE_SHOWN:
        shown->technique = (RbTechnique)(value + 1);
        break;
    case RB_TAG_CUSHION: /* a measured one is any within its plus or minus */
        shown->cushion_tenths =
            shown->cushion_tenths < 0
                ? value
                : shown->cushion_tenths - shown->cushion_pm_tenths + value;
        shown->cushion_pm_tenths = 0;
        break;
    case RB_TAG_SPLIT:
        shown->split_tenths = shown->split_tenths < 0
                                  ? value
                                  : shown->split_tenths - shown->split_pm_tenths + value;
        shown->split_pm_tenths = 0;
        break;
    case RB_TAG_LEVERAGE:
        shown->leverage = (RbLeverage)(value + 1);
        break;
    case RB_TAG_TECHNIQUE_PLAYED:
        *(left ? &chart->played.left : &chart->played.right) = (RbTechnique)(value + 1);
        break;
    default: /* RB_TAG_SAFETY_OVER */
        *(left ? &chart->played.safety_left : &chart->played.safety_right) =
            (RbYesNo)(value + 1);
        break;
    }
}

static void set_ball(const RbReadContext *context, int value, RbChart *chart)
{
    int slots[16];
    const int n = slots_of(context, chart, slots);
    if (value < n) {
        chart->ball = RB_BALL_READ;
        chart->ball_read = slots[value];
    } else {
        chart->ball = (RbBall)(RB_BALL_HOT + value - n);
    }
}

static void set_fault(const RbReadContext *context, int value, RbChart *chart)
{
    int slots[16];
    slots_of(context, chart, slots);
    chart->fault = value == 0 ? RB_FAULT_NONE : RB_FAULT_SLIP;
    chart->fault_read = value <= 1 ? 0 : slots[value - 2];
}

static void set_adjustment(const RbReadContext *context, int value, RbChart *chart)
{
    if (chart->adjusted == RB_YES_NO_UNKNOWN) {
        chart->adjusted = value == 0 ? RB_NO : RB_YES;
        value--;
    }
    if (chart->adjusted == RB_YES) {
        terms_of(context, RB_TERM_ADJUSTMENT, value, &chart->adjustment);
    }
}

static void set_release(int value, RbChart *chart)
{
    if (chart->release_ms < 0) {
        chart->release_ms = value;
    } else {
        /* One exactly as far away as the uncertainty is not within reach. */
        chart->release_ms = chart->release_ms - chart->release_pm_ms + 1 + value;
    }
    chart->release_pm_ms = 0;
}

static void set_pressure(int value, RbChart *chart)
{
    if (chart->pressure == RB_PRESSURE_UNKNOWN) {
        chart->pressure = value == 0 ? RB_PRESSURE_NONE : RB_PRESSURE_CAME;
        value--;
    }
    chart->pressure_ms = value;
}

static void set_unblocked(int value, RbChart *chart)
{
    if (chart->played.unblocked == RB_YES_NO_UNKNOWN) {
        chart->played.unblocked = value == 0 ? RB_NO : RB_YES;
        value--;
    }
    chart->played.unblocked_side = value < 0 ? RB_SIDE_UNKNOWN : (RbSide)(value + 1);
}

static void set_fact(const RbReadContext *context, RbTagKind kind, int value,
                     RbSnap *snap)
{
    switch ((int)kind) {
    case RB_TAG_HASH:
        snap->situation.hash = (RbHash)(value + 1);
        break;
    case RB_TAG_DOWN:
        snap->situation.down = value + 1;
        break;
    case RB_TAG_DISTANCE:
        snap->situation.distance = value + 1;
        break;
    case RB_TAG_WIDTH:
        snap->width = (RbWidth)(value + 1);
        break;
    case RB_TAG_FORMATION:
        terms_of(context, RB_TERM_FORMATION, value, &snap->formation);
        break;
    default: /* RB_TAG_STRONG */
        snap->strong = (RbStrong)(value + 1);
        break;
    }
}

void naive_set(const RbReadContext *context, const RbTag *tag, int value, RbSnap *snap,
               RbChart *chart)
{
    switch ((int)tag->kind) {
    case RB_TAG_SIDE_WORKED:
        chart->side_worked = (RbSide)(value + 1);
        break;
    case RB_TAG_SHELL:
        chart->shown.shell = (RbShell)(value + 1);
        break;
    case RB_TAG_ROTATION_SHOWN:
        chart->shown.rotation = (RbRotation)(value + 1);
        break;
    case RB_TAG_COVERAGE:
        terms_of(context, RB_TERM_COVERAGE, value, &chart->played.coverage);
        break;
    case RB_TAG_ROTATION_PLAYED:
        chart->played.rotation = (RbRotation)(value + 1);
        break;
    case RB_TAG_RUSHERS:
        chart->played.rushers = value;
        break;
    case RB_TAG_UNBLOCKED:
        set_unblocked(value, chart);
        break;
    case RB_TAG_ADJUSTMENT:
        set_adjustment(context, value, chart);
        break;
    case RB_TAG_LOOK:
        chart->looks[tag->slot - 1] = (RbLook)(value + 1);
        break;
    case RB_TAG_BALL:
        set_ball(context, value, chart);
        break;
    case RB_TAG_RELEASE:
        set_release(value, chart);
        break;
    case RB_TAG_PRESSURE:
        set_pressure(value, chart);
        break;
    case RB_TAG_CONTACT:
        chart->contact = (RbContact)(value + 1);
        break;
    case RB_TAG_THROW:
        chart->throw_ = (RbThrow)(value + 1);
        break;
    case RB_TAG_CATCH:
        chart->catch_ = (RbCatch)(value + 1);
        break;
    case RB_TAG_FAULT:
        set_fault(context, value, chart);
        break;
    case RB_TAG_TECHNIQUE_SHOWN:
    case RB_TAG_CUSHION:
    case RB_TAG_SPLIT:
    case RB_TAG_LEVERAGE:
    case RB_TAG_TECHNIQUE_PLAYED:
    case RB_TAG_SAFETY_OVER:
        set_sided(tag, value, chart);
        break;
    default:
        set_fact(context, tag->kind, value, snap);
        break;
    }
}

/* What the result says of throw and catch, and a sack of contact. */
static void fill_from_result(const RbSnap *snap, RbChart *chart)
{
    if (snap->result == RB_RESULT_COMPLETE && chart->throw_ == RB_THROW_UNKNOWN) {
        chart->throw_ = RB_THROW_CATCHABLE;
    }
    if (chart->catch_ == RB_CATCH_UNKNOWN) {
        chart->catch_ = snap->result == RB_RESULT_COMPLETE      ? RB_CATCH_CAUGHT
                        : snap->result == RB_RESULT_INTERCEPTED ? RB_CATCH_INTERCEPTED
                                                                : RB_CATCH_UNKNOWN;
    }
    if (chart->ball == RB_BALL_SACK && chart->contact == RB_CONTACT_UNKNOWN) {
        chart->contact = RB_CONTACT_SACKED;
    }
}

bool naive_try_all(const RbReadContext *context, const RbChart *chart, bool success,
                   const RbReadSettings *settings, bool stages, long most,
                   NaiveSets *sets)
{
    memset(sets, 0, sizeof *sets);
    sets->n_unknowns = naive_unknowns(context, chart, stages, sets->unknowns);
    long product = 1;
    for (int i = 0; i < sets->n_unknowns; i++) {
        product *= sets->unknowns[i].n;
        if (product > most) {
            return false;
        }
    }
    sets->completions = product;
    for (long number = 0; number < product; number++) {
        RbSnap snap = *context->snap;
        RbChart full = *chart;
        int values[NAIVE_UNKNOWN_MAX];
        long rest = number;
        for (int i = 0; i < sets->n_unknowns; i++) {
            values[i] = (int)(rest % sets->unknowns[i].n);
            rest /= sets->unknowns[i].n;
            naive_set(context, &sets->unknowns[i].tag, values[i], &snap, &full);
        }
        fill_from_result(&snap, &full);
        RbReadContext complete = *context;
        complete.snap = &snap;
        const NaiveVerdict found = naive_judge(&complete, &full, success, settings);
        const uint32_t bit = UINT32_C(1)
                             << (stages ? (int)found.stage : (int)found.verdict);
        sets->all |= bit;
        sets->rights |= UINT32_C(1) << found.right;
        sets->reads |= UINT32_C(1) << found.read;
        for (int i = 0; i < sets->n_unknowns; i++) {
            sets->left[i][values[i]] |= bit;
            sets->read_left[i][values[i]] |= UINT32_C(1) << found.read;
        }
    }
    return true;
}
