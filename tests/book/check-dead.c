/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the check says of rules that never match or never count, against pictures tried one by one:
 * it must say it exactly when no picture shows the contrary. */
#include "rb/base/random.h"
#include "rb/book/check.h"
#include "rb/book/condition.h"

#include "suite.h"

TCase *rb_case_dead(void);

enum { RULES = 6000, PICTURES = 1500 };

/* Everything of a picture and situation that a condition can ask, all of it known. Sides are 0 left,
 * 1 right; of rotation, rusher, boundary and strong side, -1 is neither. */
typedef struct {
    int own; /* the side of the rule's read */
    RbShell shell;
    const RbTerm *coverage;
    const RbTerm *formation;
    RbTechnique technique[2];
    int cushion[2];
    int split[2];
    RbLeverage leverage[2];
    bool safety[2];
    int rotates;
    int free_from;
    int strong;
    int rushers;
    RbHash hash;
    int down;
    int distance;
    RbWidth width;
} Picture;

static GPtrArray *terms;
static GPtrArray *coverages; /* borrowed terms, of each family and of none */
static GPtrArray *formations;
static RbRandom dice;

static void collect(const char *token, RbTermKind kind, GPtrArray *into)
{
    const RbTerm *term = rb_vocabulary_find_text(terms, kind, token);
    ck_assert_ptr_nonnull(term);
    g_ptr_array_add(into, (gpointer)term);
}

static void make(void)
{
    terms = rb_vocabulary_defaults();
    coverages = g_ptr_array_new();
    formations = g_ptr_array_new();
    collect("cover-1", RB_TERM_COVERAGE, coverages);
    collect("two-man", RB_TERM_COVERAGE, coverages);
    collect("cover-2", RB_TERM_COVERAGE, coverages);
    collect("cover-3", RB_TERM_COVERAGE, coverages);
    collect("quarters", RB_TERM_COVERAGE, coverages);
    collect("two-read", RB_TERM_COVERAGE, coverages);
    collect("other", RB_TERM_COVERAGE, coverages);
    collect("2x2", RB_TERM_FORMATION, formations);
    collect("3x1", RB_TERM_FORMATION, formations);
    collect("1x3", RB_TERM_FORMATION, formations);
    rb_random_seed(&dice, rb_test_seed(41));
}

static void unmake(void)
{
    g_clear_pointer(&coverages, g_ptr_array_unref);
    g_clear_pointer(&formations, g_ptr_array_unref);
    g_clear_pointer(&terms, g_ptr_array_unref);
}

static int roll(int low, int high)
{
    return rb_random_int(&dice, low, high);
}

static const void *one_of(const GPtrArray *array)
{
    return array->pdata[roll(0, (int)array->len - 1)];
}

/* What rules ask of numbers here: their ends, neighbours, and some between. */
static const int cushions[] = { 0, 49, 50, 51, 80, 500 };
static const int distances[] = { 1, 2, 3, 6, 7, 99 };
static const int rushes[] = { 0, 3, 4, 5, 6, 11 };

/* One of six numbers, or just below or above one. */
static int near(const int numbers[6])
{
    const int number = numbers[roll(0, 5)] + roll(-1, 1);
    return CLAMP(number, numbers[0], numbers[5]);
}

static Picture some_picture(void)
{
    return (Picture){
        .own = roll(0, 1),
        .shell = (RbShell)roll(RB_SHELL_NONE_DEEP, RB_SHELL_THREE_HIGH),
        .coverage = one_of(coverages),
        .formation = one_of(formations),
        .technique = { (RbTechnique)roll(1, rb_technique_words.n - 1),
                       (RbTechnique)roll(1, rb_technique_words.n - 1) },
        .cushion = { near(cushions), near(cushions) },
        .split = { near(cushions), near(cushions) },
        .leverage = { (RbLeverage)roll(1, 3), (RbLeverage)roll(1, 3) },
        .safety = { roll(0, 1) == 1, roll(0, 1) == 1 },
        .rotates = roll(-1, 1),
        .free_from = roll(-1, 1),
        .strong = roll(-1, 1),
        .rushers = near(rushes),
        .hash = (RbHash)roll(RB_HASH_LEFT, RB_HASH_RIGHT),
        .down = roll(1, 4),
        .distance = near(distances),
        .width = (RbWidth)roll(1, rb_width_words.n - 1),
    };
}

static int place_of(const Picture *picture, RbWhere where)
{
    switch (where) {
    case RB_WHERE_READ_SIDE:
        return picture->own;
    case RB_WHERE_OTHER_SIDE:
        return 1 - picture->own;
    case RB_WHERE_LEFT:
        return 0;
    case RB_WHERE_RIGHT:
        break;
    }
    return 1;
}

static int boundary_of(const Picture *picture)
{
    return picture->hash == RB_HASH_LEFT ? 0 : picture->hash == RB_HASH_RIGHT ? 1 : -1;
}

/* A fact with two directions: is it on `side`, or for 0 on the other one? */
static bool turned(int fact, int side, bool to_it)
{
    return fact >= 0 && (fact == side) == to_it;
}

static bool is_so(const Picture *picture, const RbCondition *condition)
{
    const int side = place_of(picture, condition->where);
    const int64_t value = condition->value;
    switch (condition->kind) {
    case RB_IF_SHELL:
        return (int64_t)picture->shell == value;
    case RB_IF_COVERAGE:
        return picture->coverage->id.value == value;
    case RB_IF_FAMILY:
        return (int64_t)picture->coverage->family == value;
    case RB_IF_TECHNIQUE:
        return (int64_t)picture->technique[side] == value;
    case RB_IF_CUSHION_AT_MOST:
        return picture->cushion[side] <= value;
    case RB_IF_CUSHION_AT_LEAST:
        return picture->cushion[side] >= value;
    case RB_IF_SPLIT_AT_MOST:
        return picture->split[side] <= value;
    case RB_IF_SPLIT_AT_LEAST:
        return picture->split[side] >= value;
    case RB_IF_LEVERAGE:
        return (int64_t)picture->leverage[side] == value;
    case RB_IF_SAFETY_OVER:
        return picture->safety[side] == (value == RB_YES);
    case RB_IF_ROTATION:
        return turned(picture->rotates, side, value == 1);
    case RB_IF_RUSHERS_AT_LEAST:
        return picture->rushers >= value;
    case RB_IF_UNBLOCKED:
        return picture->free_from == side;
    case RB_IF_HASH:
        return (int64_t)picture->hash == value;
    case RB_IF_FIELD_SIDE:
        return turned(boundary_of(picture), side, value == 0);
    case RB_IF_DOWN:
        return picture->down == value;
    case RB_IF_DISTANCE_AT_MOST:
        return picture->distance <= value;
    case RB_IF_DISTANCE_AT_LEAST:
        return picture->distance >= value;
    case RB_IF_WIDTH:
        return (int64_t)picture->width == value;
    case RB_IF_FORMATION:
        return picture->formation->id.value == value;
    case RB_IF_STRONG_SIDE:
        break;
    }
    return turned(picture->strong, side, value == 1);
}

static bool matches(const Picture *picture, const RbRule *rule)
{
    for (guint i = 0; i < rule->conditions->len; i++) {
        const RbCondition *condition = &g_array_index(rule->conditions, RbCondition, i);
        if (is_so(picture, condition) == condition->negated) {
            return false;
        }
    }
    return true;
}

static int64_t some_value(RbConditionKind kind)
{
    const RbConditionForm *form = rb_book_condition_form(kind);
    switch (form->form) {
    case RB_FORM_WORD:
        /* an unclear shell is not known, so that no picture has it */
        return roll(1, kind == RB_IF_SHELL ? RB_SHELL_THREE_HIGH : form->words->n - 1);
    case RB_FORM_TERM:
        return ((const RbTerm *)one_of(kind == RB_IF_COVERAGE ? coverages : formations))
            ->id.value;
    case RB_FORM_FLAG:
        return roll(0, 1);
    case RB_FORM_NONE:
        return 0;
    case RB_FORM_NUMBER:
        break;
    }
    return kind == RB_IF_DOWN               ? roll(1, 4)
           : kind == RB_IF_RUSHERS_AT_LEAST ? rushes[roll(0, 5)]
           : form->sided                    ? cushions[roll(0, 5)]
                                            : distances[roll(0, 5)];
}

/* Pairs about the same thing are what exclude and imply each other, so they are the likely ones. */
static RbConditionKind some_kind(int before)
{
    static const RbConditionKind partners[] = {
        [RB_IF_COVERAGE] = RB_IF_FAMILY,
        [RB_IF_FAMILY] = RB_IF_COVERAGE,
        [RB_IF_CUSHION_AT_MOST] = RB_IF_CUSHION_AT_LEAST,
        [RB_IF_CUSHION_AT_LEAST] = RB_IF_CUSHION_AT_MOST,
        [RB_IF_SPLIT_AT_MOST] = RB_IF_SPLIT_AT_LEAST,
        [RB_IF_SPLIT_AT_LEAST] = RB_IF_SPLIT_AT_MOST,
        [RB_IF_DISTANCE_AT_MOST] = RB_IF_DISTANCE_AT_LEAST,
        [RB_IF_DISTANCE_AT_LEAST] = RB_IF_DISTANCE_AT_MOST,
        [RB_IF_STRONG_SIDE] = RB_IF_SHELL,
    };
    const int way = before < 0 ? 0 : roll(0, 3);
    return way == 0 ? (RbConditionKind)roll(0, RB_IF_STRONG_SIDE)
           : way == 1 && partners[before] != 0 ? partners[before]
                                               : (RbConditionKind)before;
}

static RbCondition some_condition(RbWhere base, int before)
{
    const RbConditionKind kind = some_kind(before);
    /* Either by one's own side or by left and right: the check knows not which is which. */
    const bool sided = rb_book_condition_form(kind)->sided;
    return (RbCondition){ .kind = kind,
                          .where =
                              sided ? (RbWhere)(base + roll(0, 1)) : RB_WHERE_READ_SIDE,
                          .negated = roll(0, 2) == 0,
                          .value = some_value(kind) };
}

static RbConcept *concept_of_drops(void)
{
    RbConcept *concept = rb_concept_new("dead", "Dead");
    for (int i = 1; i <= 2; i++) {
        RbRead *read = rb_read_new(i, RB_ROUTE_OUT);
        read->clock = (RbClock){ .kind = RB_CLOCK_SECONDS, .ms = 1000 * i };
        g_ptr_array_add(concept->reads, read);
    }
    return concept;
}

static RbRule *add_drop(RbConcept *concept)
{
    RbRule *rule = rb_rule_new(RB_DO_DROP, 1);
    g_ptr_array_add(concept->rules, rule);
    return rule;
}

static bool is_found(const RbConcept *concept, RbBookFindingKind kind, int rule,
                     char **sentence)
{
    g_autoptr(GPtrArray) findings = rb_book_check(concept, terms, NULL);
    for (guint i = 0; i < findings->len; i++) {
        const RbBookFinding *finding = findings->pdata[i];
        if (finding->kind == kind && finding->rule == rule) {
            g_free(*sentence);
            *sentence = g_strdup(finding->sentence);
            return true;
        }
    }
    return false;
}

/* Two conditions: the rule never matches exactly when no picture does. */
START_TEST(test_dead__never_matches)
{
    int dead = 0;
    for (int i = 0; i < RULES; i++) {
        g_autoptr(RbConcept) concept = concept_of_drops();
        RbRule *rule = add_drop(concept);
        const RbWhere base = roll(0, 1) == 0 ? RB_WHERE_READ_SIDE : RB_WHERE_LEFT;
        RbCondition one = some_condition(base, -1);
        RbCondition other = some_condition(base, (int)one.kind);
        g_array_append_val(rule->conditions, one);
        g_array_append_val(rule->conditions, other);
        bool seen = false;
        for (int k = 0; k < PICTURES && !seen; k++) {
            const Picture picture = some_picture();
            seen = matches(&picture, rule);
        }
        g_autofree char *sentence = rb_book_rule_text(rule, terms);
        const bool found = is_found(concept, RB_BOOK_NEVER_MATCHES, 0, &sentence);
        ck_assert_msg(found == !seen, "%s %s", sentence,
                      seen ? "But there is such a picture." : "Not found.");
        dead += found ? 1 : 0;
    }
    ck_assert_int_gt(dead, RULES / 40);
    ck_assert_int_lt(dead, RULES / 2);
}
END_TEST

/* Two rules with a condition each: the first never counts exactly when every picture that it
 * matches is matched by the second. */
START_TEST(test_dead__shadowed)
{
    int shadowed = 0;
    for (int i = 0; i < RULES; i++) {
        g_autoptr(RbConcept) concept = concept_of_drops();
        RbRule *rules[] = { add_drop(concept), add_drop(concept) };
        const RbWhere base = roll(0, 1) == 0 ? RB_WHERE_READ_SIDE : RB_WHERE_LEFT;
        RbCondition one = some_condition(base, -1);
        RbCondition other = some_condition(base, (int)one.kind);
        g_array_append_val(rules[0]->conditions, one);
        g_array_append_val(rules[1]->conditions, other);
        bool matched = false;
        bool alone = false;
        for (int k = 0; k < PICTURES && !alone; k++) {
            const Picture picture = some_picture();
            const bool first = matches(&picture, rules[0]);
            matched = matched || first;
            alone = first && !matches(&picture, rules[1]);
        }
        g_autofree char *sentence = rb_book_rule_text(rules[0], terms);
        const bool found = is_found(concept, RB_BOOK_SHADOWED, 0, &sentence);
        g_autofree char *later = rb_book_rule_text(rules[1], terms);
        ck_assert_msg(!matched || found == !alone, "%s %s %s", sentence, later,
                      alone ? "But the first matches alone." : "Not found.");
        shadowed += found ? 1 : 0;
    }
    ck_assert_int_gt(shadowed, RULES / 40);
    ck_assert_int_lt(shadowed, RULES / 2);
}
END_TEST

/* How two rules met in the pictures tried. */
typedef struct {
    bool both;
    bool first;
    bool second;
} Met;

static Met meet(const RbRule *one, const RbRule *other)
{
    Met met = { false, false, false };
    for (int k = 0; k < PICTURES && !(met.both && met.first && met.second); k++) {
        const Picture picture = some_picture();
        const bool a = matches(&picture, one);
        const bool b = matches(&picture, other);
        met.both = met.both || (a && b);
        met.first = met.first || (a && !b);
        met.second = met.second || (b && !a);
    }
    return met;
}

/* Two rules that make different routes of one read: a conflict exactly when they can match together
 * and neither is an exception of the other. An exception that comes later is how rules are written. */
START_TEST(test_dead__conflicts)
{
    int conflicts = 0;
    for (int i = 0; i < RULES; i++) {
        g_autoptr(RbConcept) concept = concept_of_drops();
        RbRule *rules[] = { add_drop(concept), add_drop(concept) };
        const RbWhere base = roll(0, 1) == 0 ? RB_WHERE_READ_SIDE : RB_WHERE_LEFT;
        RbCondition one = some_condition(base, -1);
        RbCondition other = some_condition(base, (int)one.kind);
        g_array_append_val(rules[0]->conditions, one);
        g_array_append_val(rules[1]->conditions, other);
        rules[0]->action = RB_DO_CONVERT;
        rules[0]->route = RB_ROUTE_GO;
        rules[1]->action = RB_DO_CONVERT;
        rules[1]->route = RB_ROUTE_FADE;
        const Met met = meet(rules[0], rules[1]);
        g_autofree char *first = rb_book_rule_text(rules[0], terms);
        g_autofree char *later = rb_book_rule_text(rules[1], terms);
        g_autofree char *said = NULL;
        const bool found = is_found(concept, RB_BOOK_CONFLICT, 0, &said);
        ck_assert_msg(found == (met.both && met.first && met.second), "%s %s %s", first,
                      later, said != NULL ? said : "Nothing is found.");
        conflicts += found ? 1 : 0;
    }
    ck_assert_int_gt(conflicts, RULES / 40);
    ck_assert_int_lt(conflicts, RULES - RULES / 40);
}
END_TEST

TCase *rb_case_dead(void)
{
    TCase *tcase = rb_case_new("dead");
    tcase_add_checked_fixture(tcase, make, unmake);
    tcase_add_test(tcase, test_dead__never_matches);
    tcase_add_test(tcase, test_dead__shadowed);
    tcase_add_test(tcase, test_dead__conflicts);
    return tcase;
}
