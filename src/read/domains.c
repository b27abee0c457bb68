/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an unknown tag could be. Values that no rule and no comparison tells apart are one
 * class, and one value (for times: the two ends) stands for it, so the domains stay small and
 * the verdict over them is the verdict over every value. */
#include <stdlib.h>
#include <string.h>

#include "inquiry.h"

static void add(RbDomain *domain, int64_t value)
{
    for (int i = 0; i < domain->n; i++) {
        if (domain->values[i] == value) {
            return;
        }
    }
    if (domain->n < RB_DOMAIN_MAX) {
        domain->values[domain->n++] = value;
    }
}

/* Calls `visit` with every rule of the call's concepts. */
typedef void (*RuleVisit)(const RbRule *rule, void *data);

static void visit_rules(const RbFacts *facts, RuleVisit visit, void *data)
{
    const RbConcept *concepts[] = { facts->context->first, facts->context->second };
    for (int c = 0; c < 2; c++) {
        for (guint i = 0; concepts[c] != NULL && i < concepts[c]->rules->len; i++) {
            visit(g_ptr_array_index(concepts[c]->rules, i), data);
        }
    }
}

/* The same with every condition. */
typedef void (*ConditionVisit)(const RbCondition *condition, void *data);
typedef struct {
    ConditionVisit visit;
    void *data;
} EachCondition;

static void on_rule(const RbRule *rule, void *data)
{
    const EachCondition *each = data;
    for (guint i = 0; i < rule->conditions->len; i++) {
        each->visit(&g_array_index(rule->conditions, RbCondition, i), each->data);
    }
}

static void visit_conditions(const RbFacts *facts, ConditionVisit visit, void *data)
{
    visit_rules(facts, on_rule, &(EachCondition){ visit, data });
}

typedef struct {
    RbConditionKind kind;
    RbDomain *domain;
} Mention;

static void on_mention(const RbCondition *condition, void *data)
{
    const Mention *mention = data;
    if (condition->kind == mention->kind) {
        add(mention->domain, condition->value);
    }
}

/* Each value from low to high that a condition names, and one that none does. */
static void add_words(const RbFacts *facts, RbConditionKind kind, int low, int high,
                      RbDomain *domain)
{
    RbDomain named = { 0 };
    visit_conditions(facts, on_mention, &(Mention){ kind, &named });
    if (kind == RB_IF_TECHNIQUE) {
        add(&named, RB_TECHNIQUE_OFF); /* free access */
    }
    bool have_other = false;
    for (int value = low; value <= high; value++) {
        bool is_named = false;
        for (int i = 0; i < named.n; i++) {
            is_named = is_named || named.values[i] == value;
        }
        if (is_named || !have_other) {
            add(domain, value);
        }
        have_other = have_other || !is_named;
    }
}

/* Lowest values of the classes that at-least and at-most conditions cut a number into. */
typedef struct {
    RbConditionKind at_least;
    RbConditionKind at_most; /* the same as at_least when there is none */
    int64_t low;
    int64_t high;
    RbDomain *domain;
} Cuts;

static void add_cut(const Cuts *cuts, int64_t value)
{
    if (value > cuts->low && value <= cuts->high) {
        add(cuts->domain, value);
    }
}

static void on_cut(const RbCondition *condition, void *data)
{
    const Cuts *cuts = data;
    if (condition->kind == cuts->at_least) {
        add_cut(cuts, condition->value);
    } else if (condition->kind == cuts->at_most) {
        add_cut(cuts, condition->value + 1);
    }
}

static void add_numbers(const RbFacts *facts, const Cuts *cuts)
{
    add(cuts->domain, cuts->low);
    visit_conditions(facts, on_cut, (void *)cuts);
    const RbConcept *concepts[] = { facts->context->first, facts->context->second };
    for (int c = 0; c < 2 && cuts->at_least == RB_IF_CUSHION_AT_LEAST; c++) {
        for (guint i = 0; concepts[c] != NULL && i < concepts[c]->picks->len; i++) {
            add_cut(cuts, g_array_index(concepts[c]->picks, RbPick, i).cushion_tenths);
        }
    }
}

/* A measured one is somewhere within its plus or minus: what is in doubt is on which side of a
 * limit that lies there. tenths: below 0 it is not known at all. */
static void add_yards(const RbFacts *facts, RbConditionKind at_least,
                      RbConditionKind at_most, int tenths, int pm, RbDomain *domain)
{
    const int64_t low = tenths >= 0 ? tenths - pm : 0;
    const int64_t high = tenths >= 0 ? tenths + pm : G_MAXINT;
    add_numbers(facts, &(Cuts){ at_least, at_most, MAX(low, 0), high, domain });
}

static void add_cushions(const RbFacts *facts, const RbSideShown *side, RbDomain *domain)
{
    add_yards(facts, RB_IF_CUSHION_AT_LEAST, RB_IF_CUSHION_AT_MOST, side->cushion_tenths,
              side->cushion_pm_tenths, domain);
}

static void add_splits(const RbFacts *facts, const RbSideShown *side, RbDomain *domain)
{
    add_yards(facts, RB_IF_SPLIT_AT_LEAST, RB_IF_SPLIT_AT_MOST, side->split_tenths,
              side->split_pm_tenths, domain);
}

/* Terms of the vocabulary; of those no condition names, one for each family. */
static void add_coverages(const RbFacts *facts, RbDomain *domain)
{
    RbDomain named = { 0 };
    visit_conditions(facts, on_mention, &(Mention){ RB_IF_COVERAGE, &named });
    uint32_t families = 0;
    const GPtrArray *terms = facts->context->terms;
    for (guint i = 0; terms != NULL && i < terms->len; i++) {
        const RbTerm *term = g_ptr_array_index(terms, i);
        if (term->kind != RB_TERM_COVERAGE) {
            continue;
        }
        bool is_named = false;
        for (int k = 0; k < named.n; k++) {
            is_named = is_named || named.values[k] == term->id.value;
        }
        const uint32_t bit = UINT32_C(1) << term->family;
        if (is_named || !(families & bit)) {
            add(domain, term->id.value);
        }
        families |= is_named ? 0 : bit;
    }
    if (domain->n == 0) {
        *domain = named;
        add(domain, RB_OTHER_TERM);
    }
}

static void add_formations(const RbFacts *facts, RbDomain *domain)
{
    visit_conditions(facts, on_mention, &(Mention){ RB_IF_FORMATION, domain });
    add(domain, RB_OTHER_TERM);
}

static void on_adjustment(const RbRule *rule, void *data)
{
    if (rule->action == RB_DO_REQUIRE_ADJUSTMENT && rule->adjustment.value != 0) {
        add(data, rule->adjustment.value);
    }
}

static void add_adjustments(const RbFacts *facts, RbDomain *domain)
{
    if (facts->chart->adjusted != RB_YES) {
        add(domain, 0);
    }
    visit_rules(facts, on_adjustment, domain);
    add(domain, RB_OTHER_TERM);
}

static void add_slots(const RbFacts *facts, RbDomain *domain)
{
    const uint32_t slots = rb_facts_slots(facts);
    for (int slot = 1; slot <= RB_READS_MAX; slot++) {
        if (slots & UINT32_C(1) << slot) {
            add(domain, slot);
        }
    }
}

static void add_balls(const RbFacts *facts, RbDomain *domain)
{
    add_slots(facts, domain);
    if (facts->chart->ball == RB_BALL_READ) {
        if (domain->n == 0) {
            add(domain, RB_BALL_TO_NOBODY);
        }
        return;
    }
    for (int ball = RB_BALL_TO_HOT; ball <= RB_BALL_TO_AWAY; ball++) {
        add(domain, ball);
    }
}

/* Times: the moments at which a comparison changes its answer. */
static int compare_times(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a;
    const int64_t y = *(const int64_t *)b;
    return x < y ? -1 : x > y;
}

static void add_time_cuts(const RbFacts *facts, bool after_last, RbDomain *cuts)
{
    const RbConcept *concepts[] = { facts->context->first, facts->context->second };
    const RbFootwork *footwork = facts->context->footwork != NULL
                                     ? facts->context->footwork
                                     : rb_footwork_defaults();
    for (int c = 0; c < 2; c++) {
        for (guint i = 0; concepts[c] != NULL && i < concepts[c]->reads->len; i++) {
            const RbRead *read = g_ptr_array_index(concepts[c]->reads, i);
            int ms = 0;
            if (!rb_clock_ms(&read->clock, footwork, &ms)) {
                continue;
            }
            add(cuts, (int64_t)ms + read->clock.tolerance_ms + 1);
            if (after_last) {
                add(cuts, (int64_t)ms + facts->settings.held_after_last_ms + 1);
            }
        }
    }
}

static void on_hot(const RbRule *rule, void *data)
{
    *(bool *)data = *(bool *)data || rule->action == RB_DO_HOT;
}

/* Release and pressure are compared with each other only where a read can be hot. When both
 * are unknown, two times in one class can then stand in either order. */
static bool need_both_ends(const RbFacts *facts)
{
    bool has_hot = false;
    visit_rules(facts, on_hot, &has_hot);
    return has_hot && !facts->known[RB_VAR_RELEASE] && !facts->known[RB_VAR_PRESSURE];
}

/* The first moment of each class between low and high, or both ends of each. */
static void add_times(RbDomain *cuts, int64_t low, int64_t high, bool both_ends,
                      RbDomain *domain)
{
    qsort(cuts->values, (size_t)cuts->n, sizeof cuts->values[0], compare_times);
    add(domain, low);
    for (int i = 0; i < cuts->n; i++) {
        const int64_t cut = cuts->values[i];
        if (cut > low && cut <= high) {
            if (both_ends) {
                add(domain, cut - 1);
            }
            add(domain, cut);
        }
    }
    if (both_ends) {
        add(domain, high);
    }
}

static void add_releases(const RbFacts *facts, RbDomain *domain)
{
    const RbChart *chart = facts->chart;
    RbDomain cuts = { 0 };
    add_time_cuts(facts, true, &cuts);
    if (facts->known[RB_VAR_PRESSURE] && facts->value[RB_VAR_PRESSURE] != RB_NEVER) {
        add(&cuts, facts->value[RB_VAR_PRESSURE]);
    }
    if (chart->release_ms < 0) {
        add_times(&cuts, 0, RB_LATEST_MS, need_both_ends(facts), domain);
        return;
    }
    /* A limit nearer than the uncertainty is within reach on both sides; one exactly as far
     * away is not. */
    const int64_t low = (int64_t)chart->release_ms - chart->release_pm_ms + 1;
    const int64_t high = (int64_t)chart->release_ms + chart->release_pm_ms;
    add_times(&cuts, MAX(low, 0), high, need_both_ends(facts), domain);
}

static void add_pressures(const RbFacts *facts, RbDomain *domain)
{
    if (facts->chart->pressure != RB_PRESSURE_CAME) {
        add(domain, RB_NEVER);
    }
    RbDomain cuts = { 0 };
    add_time_cuts(facts, false, &cuts);
    if (facts->known[RB_VAR_RELEASE]) {
        add(&cuts, facts->value[RB_VAR_RELEASE]);
        add(&cuts, facts->value[RB_VAR_RELEASE] + 1);
    } else if (facts->chart->release_ms >= 0) {
        /* Every moment at which the release could stand on either side of it. */
        const int64_t low =
            (int64_t)facts->chart->release_ms - facts->chart->release_pm_ms + 1;
        add(&cuts, low);
        add(&cuts, low + 1);
        add(&cuts, (int64_t)facts->chart->release_ms + facts->chart->release_pm_ms + 1);
    }
    add_times(&cuts, 0, RB_LATEST_MS, need_both_ends(facts), domain);
}

static void add_faults(const RbFacts *facts, RbDomain *domain)
{
    add(domain, 0);
    add_slots(facts, domain);
    add(domain, RB_FAULT_WHOLE);
}

static void add_range(RbDomain *domain, int low, int high)
{
    for (int value = low; value <= high; value++) {
        add(domain, value);
    }
}

static void build_picture(const RbFacts *facts, RbVar var, RbDomain *domain)
{
    switch ((int)var) {
    case RB_VAR_SHELL:
        add_words(facts, RB_IF_SHELL, RB_SHELL_NONE_DEEP, RB_SHELL_THREE_HIGH, domain);
        break;
    case RB_VAR_TECHNIQUE_SHOWN_LEFT:
    case RB_VAR_TECHNIQUE_SHOWN_RIGHT:
    case RB_VAR_TECHNIQUE_PLAYED_LEFT:
    case RB_VAR_TECHNIQUE_PLAYED_RIGHT:
        add_words(facts, RB_IF_TECHNIQUE, RB_TECHNIQUE_PRESS, RB_TECHNIQUE_HARD, domain);
        break;
    case RB_VAR_CUSHION_LEFT:
        add_cushions(facts, &facts->chart->shown.left, domain);
        break;
    case RB_VAR_CUSHION_RIGHT:
        add_cushions(facts, &facts->chart->shown.right, domain);
        break;
    case RB_VAR_SPLIT_LEFT:
        add_splits(facts, &facts->chart->shown.left, domain);
        break;
    case RB_VAR_SPLIT_RIGHT:
        add_splits(facts, &facts->chart->shown.right, domain);
        break;
    case RB_VAR_LEVERAGE_LEFT:
    case RB_VAR_LEVERAGE_RIGHT:
        add_words(facts, RB_IF_LEVERAGE, RB_LEVERAGE_INSIDE, RB_LEVERAGE_HEAD_UP, domain);
        break;
    case RB_VAR_COVERAGE:
        add_coverages(facts, domain);
        break;
    case RB_VAR_SAFETY_LEFT:
    case RB_VAR_SAFETY_RIGHT:
        add_range(domain, RB_NO, RB_YES);
        break;
    case RB_VAR_RUSHERS:
        add_numbers(facts, &(Cuts){ RB_IF_RUSHERS_AT_LEAST, RB_IF_RUSHERS_AT_LEAST, 0, 11,
                                    domain });
        break;
    case RB_VAR_DOWN:
        add_words(facts, RB_IF_DOWN, 1, 4, domain);
        break;
    case RB_VAR_DISTANCE:
        add_numbers(facts, &(Cuts){ RB_IF_DISTANCE_AT_LEAST, RB_IF_DISTANCE_AT_MOST, 1,
                                    99, domain });
        break;
    case RB_VAR_WIDTH:
        add_words(facts, RB_IF_WIDTH, RB_WIDTH_NORMAL, RB_WIDTH_STACK, domain);
        break;
    case RB_VAR_FORMATION:
        add_formations(facts, domain);
        break;
    case RB_VAR_UNBLOCKED:
        add_range(domain,
                  facts->chart->played.unblocked == RB_YES ? RB_SIDE_LEFT
                                                           : RB_SIDE_UNKNOWN,
                  RB_SIDE_RIGHT);
        break;
    case RB_VAR_STRONG:
        add_range(domain, RB_SIDE_UNKNOWN, RB_SIDE_RIGHT);
        break;
    case RB_VAR_SIDE:
        add_range(domain, RB_SIDE_LEFT, RB_SIDE_RIGHT);
        break;
    default: /* rotations and the hash: none or middle, left, right, all told apart */
        add_range(domain, 1, 3);
        break;
    }
}

static void build(const RbFacts *facts, RbVar var, RbDomain *domain)
{
    if (var < RB_VAR_FIRST_JUDGED) {
        build_picture(facts, var, domain);
    } else if (var >= RB_VAR_LOOK_1 && var <= RB_VAR_LOOK_8) {
        add_range(domain, RB_LOOK_OPEN, RB_LOOK_COVERED);
    } else if (var == RB_VAR_ADJUSTMENT) {
        add_adjustments(facts, domain);
    } else if (var == RB_VAR_BALL) {
        add_balls(facts, domain);
    } else if (var == RB_VAR_RELEASE) {
        add_releases(facts, domain);
    } else if (var == RB_VAR_PRESSURE) {
        add_pressures(facts, domain);
    } else if (var == RB_VAR_CONTACT) {
        add_range(domain, RB_CONTACT_NONE, RB_CONTACT_SACKED);
    } else if (var == RB_VAR_THROW) {
        add_range(domain, RB_THROW_NONE, RB_THROW_TIPPED);
    } else if (var == RB_VAR_CATCH) {
        add_range(domain, RB_CATCH_NONE, RB_CATCH_OUT_OF_BOUNDS);
    } else {
        add_faults(facts, domain);
    }
    g_assert(domain->n > 0);
}

RbDomain *rb_domain_get(RbFacts *facts, RbVar var)
{
    RbDomain *domain = &facts->domain[var];
    if (!facts->asked[var]) {
        facts->asked[var] = true;
        domain->n = 0;
        build(facts, var, domain);
        memset(domain->outcomes, 0, sizeof(uint32_t) * (size_t)domain->n);
    }
    return domain;
}
