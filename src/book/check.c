/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/book/check.h"

#include <glib/gi18n-lib.h>

#include "exclude.h"
#include "terms.h"

typedef struct {
    const RbConcept *concept;
    const GPtrArray *terms;
    const RbFootwork *footwork;
    GPtrArray *errors;
    GPtrArray *warnings;
} Check;

void rb_book_finding_free(RbBookFinding *finding)
{
    if (finding != NULL) {
        g_free(finding->sentence);
        g_free(finding);
    }
}

static void add(Check *check, const RbBookFinding *finding, const char *format, ...)
    G_GNUC_PRINTF(3, 4);
static void add(Check *check, const RbBookFinding *finding, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    RbBookFinding *kept = g_memdup2(finding, sizeof *finding);
    kept->sentence = g_strdup_vprintf(format, args);
    va_end(args);
    g_ptr_array_add(kept->is_error ? check->errors : check->warnings, kept);
}

static const RbRead *read_at(const RbConcept *concept, guint i)
{
    return g_ptr_array_index(concept->reads, i);
}

static const RbRule *rule_at(const RbConcept *concept, guint i)
{
    return g_ptr_array_index(concept->rules, i);
}

static bool is_first_of_number(const RbConcept *concept, guint index)
{
    return rb_concept_find_read(concept, read_at(concept, index)->number) ==
           read_at(concept, index);
}

static void check_numbers(Check *check)
{
    const RbConcept *concept = check->concept;
    if (concept->reads->len == 0) {
        add(check, &(RbBookFinding){ RB_BOOK_NO_READS, true, -1, 0, NULL },
            _("The concept has no reads: nothing can be judged with it."));
    }
    for (guint i = 0; i < concept->reads->len; i++) {
        const int number = read_at(concept, i)->number;
        if (number < 1 || number > RB_READS_MAX) {
            add(check, &(RbBookFinding){ RB_BOOK_NUMBER_RANGE, true, -1, number, NULL },
                _("A read is numbered %d; numbers go from 1 to %d."), number,
                RB_READS_MAX);
        } else if (!is_first_of_number(concept, i)) {
            add(check, &(RbBookFinding){ RB_BOOK_NUMBER_TWICE, true, -1, number, NULL },
                _("Two reads are numbered %d; give one of them another number."), number);
        }
    }
}

static void check_outlet(Check *check)
{
    bool seen = false;
    for (guint i = 0; i < check->concept->reads->len; i++) {
        const RbRead *read = read_at(check->concept, i);
        if (seen && !read->outlet && !read->clear_out) {
            add(check,
                &(RbBookFinding){ RB_BOOK_OUTLET_NOT_LAST, false, -1, read->number,
                                  NULL },
                _("Read %d stands after the outlet, but the outlet is always read last."),
                read->number);
        }
        seen = seen || read->outlet;
    }
}

static bool has_live_read(const RbConcept *concept)
{
    for (guint i = 0; i < concept->reads->len; i++) {
        if (!read_at(concept, i)->clear_out) {
            return true;
        }
    }
    return concept->reads->len == 0;
}

static void check_clock(Check *check, const RbRead *read, int *last_ms, int *last_number)
{
    int ms = 0;
    if (read->clock.kind == RB_CLOCK_UNKNOWN) {
        if (!read->outlet) {
            add(check,
                &(RbBookFinding){ RB_BOOK_NO_CLOCK, false, -1, read->number, NULL },
                _("Read %d has no clock: a throw to it is never late."), read->number);
        }
        return;
    }
    if (!rb_clock_ms(&read->clock, check->footwork, &ms)) {
        add(check, &(RbBookFinding){ RB_BOOK_NO_FOOTWORK, false, -1, read->number, NULL },
            _("The footwork of read %d is not in the footwork table: the read is never late."),
            read->number);
        return;
    }
    if (ms < *last_ms) {
        add(check,
            &(RbBookFinding){ RB_BOOK_CLOCKS_ORDER, false, -1, read->number, NULL },
            _("Read %d should be thrown before read %d, which is read first."),
            read->number, *last_number);
    }
    *last_ms = ms;
    *last_number = read->number;
}

static void check_clocks(Check *check)
{
    int last_ms = 0;
    int last_number = 0;
    for (guint i = 0; i < check->concept->reads->len; i++) {
        const RbRead *read = read_at(check->concept, i);
        if (!read->clear_out) {
            check_clock(check, read, &last_ms, &last_number);
        }
    }
    if (!has_live_read(check->concept)) {
        add(check, &(RbBookFinding){ RB_BOOK_NOTHING_LIVE, true, -1, 0, NULL },
            _("Every read is a clear-out: there is nobody to throw to."));
    }
}

/* Rules. Their numbers, in sentences, count from 1. */

static bool needs_read(RbActionKind action)
{
    return action != RB_DO_SIDE && action != RB_DO_REQUIRE_ADJUSTMENT;
}

/* It does nothing: the read it changes is not there. */
static bool lacks_read(const RbConcept *concept, const RbRule *rule)
{
    return needs_read(rule->action) && rb_concept_find_read(concept, rule->read) == NULL;
}

static void check_rule_read(Check *check, guint index)
{
    const RbRule *rule = rule_at(check->concept, index);
    const bool named = rule->read != 0;
    if (rule->action == RB_DO_SIDE || (!named && !needs_read(rule->action)) ||
        rb_concept_find_read(check->concept, rule->read) != NULL) {
        return;
    }
    const RbBookFinding finding = { RB_BOOK_MISSING_READ, true, (int)index, rule->read,
                                    NULL };
    if (named) {
        add(check, &finding, _("Rule %u names read %d, which the concept does not have."),
            index + 1, rule->read);
    } else {
        add(check, &finding, _("Rule %u names no read, and does nothing without one."),
            index + 1);
    }
}

static const RbCondition *condition_at(const RbRule *rule, guint i)
{
    return &g_array_index(rule->conditions, RbCondition, i);
}

/* What the rule asks for that is seen only after it had to be decided; NULL without. */
static const RbCondition *find_unknowable(const RbRule *rule)
{
    for (guint i = 0; i < rule->conditions->len; i++) {
        const RbCondition *condition = condition_at(rule, i);
        if (rb_book_action_is_shown(rule->action) &&
            rb_book_condition_is_played(condition->kind)) {
            return condition;
        }
    }
    return NULL;
}

static void check_rule_known(Check *check, guint index)
{
    const RbRule *rule = rule_at(check->concept, index);
    const RbCondition *condition = find_unknowable(rule);
    if (condition == NULL) {
        return;
    }
    g_autofree char *text = rb_book_condition_text(condition, check->terms);
    add(check,
        &(RbBookFinding){ RB_BOOK_NEVER_MATCHES, true, (int)index, rule->read, NULL },
        _("Rule %u never matches: it must be decided before the snap, and whether %s is "
          "known only after it."),
        index + 1, text);
}

static bool find_exclusion(const Check *check, const RbRule *rule, guint *first,
                           guint *second)
{
    for (guint i = 0; i < rule->conditions->len; i++) {
        for (guint k = i + 1; k < rule->conditions->len; k++) {
            if (rb_book_excludes(condition_at(rule, i), condition_at(rule, k),
                                 check->terms)) {
                *first = i;
                *second = k;
                return true;
            }
        }
    }
    return false;
}

static void add_impossible(Check *check, guint index, const RbCondition *condition)
{
    g_autofree char *text = rb_book_condition_text(condition, check->terms);
    const int read = rule_at(check->concept, index)->read;
    add(check, &(RbBookFinding){ RB_BOOK_NEVER_MATCHES, true, (int)index, read, NULL },
        _("Rule %u never matches: it is never that %s."), index + 1, text);
}

static void check_rule_possible(Check *check, guint index)
{
    const RbRule *rule = rule_at(check->concept, index);
    guint first = 0;
    guint second = 0;
    for (guint i = 0; i < rule->conditions->len; i++) {
        if (rb_book_is_impossible(condition_at(rule, i))) {
            add_impossible(check, index, condition_at(rule, i));
            return;
        }
    }
    if (!find_exclusion(check, rule, &first, &second)) {
        return;
    }
    g_autofree char *a = rb_book_condition_text(condition_at(rule, first), check->terms);
    g_autofree char *b = rb_book_condition_text(condition_at(rule, second), check->terms);
    add(check,
        &(RbBookFinding){ RB_BOOK_NEVER_MATCHES, true, (int)index, rule->read, NULL },
        _("Rule %u never matches: it is never both that %s and that %s."), index + 1, a,
        b);
}

static void check_rule_effect(Check *check, guint index)
{
    const RbRule *rule = rule_at(check->concept, index);
    const RbRead *read = rb_concept_find_read(check->concept, rule->read);
    const RbBookFinding finding = { RB_BOOK_NO_EFFECT, false, (int)index, rule->read,
                                    NULL };
    if (rule->action == RB_DO_REQUIRE_ADJUSTMENT && rule->adjustment.value == 0) {
        add(check, &finding, _("Rule %u requires an adjustment, but does not say which."),
            index + 1);
    }
    if (rule->action == RB_DO_CONVERT && rule->route == RB_ROUTE_UNKNOWN) {
        add(check, &finding,
            _("Rule %u converts read %d, but does not say to which route."), index + 1,
            rule->read);
        return;
    }
    if (rule->action == RB_DO_RUNNER && rule->runner == RB_RUNNER_UNKNOWN) {
        add(check, &finding,
            _("Rule %u changes who runs read %d, but does not say to whom."), index + 1,
            rule->read);
        return;
    }
    if (read == NULL) {
        return;
    }
    if (rule->action == RB_DO_FRONT && read->outlet) {
        add(check, &finding,
            _("Rule %u brings the outlet to the front, but the outlet is always read last."),
            index + 1);
    }
    if (rule->action == RB_DO_CONVERT && rule->route == read->route &&
        rule->clear_out == read->clear_out) {
        add(check, &finding, _("Rule %u gives read %d the route that it has already."),
            index + 1, rule->read);
    }
    if (rule->action == RB_DO_RUNNER && rule->runner == read->runner) {
        add(check, &finding, _("Rule %u gives read %d the runner that it has already."),
            index + 1, rule->read);
    }
}

static void check_rule_terms(Check *check, guint index)
{
    const RbRule *rule = rule_at(check->concept, index);
    const RbBookFinding finding = { RB_BOOK_TERM_UNKNOWN, true, (int)index, rule->read,
                                    NULL };
    for (guint i = 0; i < rule->conditions->len; i++) {
        const RbCondition *condition = condition_at(rule, i);
        const bool is_term =
            rb_book_condition_form(condition->kind)->form == RB_FORM_TERM;
        if (is_term &&
            rb_vocabulary_find(check->terms, (RbTermId){ condition->value }) == NULL) {
            add(check, &finding,
                condition->kind == RB_IF_COVERAGE
                    ? _("Rule %u asks for a coverage that the vocabulary does not have.")
                    : _("Rule %u asks for a formation that the vocabulary does not have."),
                index + 1);
        }
    }
    if (rule->action == RB_DO_REQUIRE_ADJUSTMENT && rule->adjustment.value != 0 &&
        rb_vocabulary_find(check->terms, rule->adjustment) == NULL) {
        add(check, &finding,
            _("Rule %u requires an adjustment that the vocabulary does not have."),
            index + 1);
    }
}

/* Two rules about one thing: the later one stands where both match. */

static bool speak_of_one_thing(const RbRule *a, const RbRule *b)
{
    if (a->action == RB_DO_SIDE || a->action == RB_DO_REQUIRE_ADJUSTMENT ||
        a->action == RB_DO_HOT) {
        return a->action == b->action;
    }
    if (a->read != b->read) {
        return false;
    }
    const bool a_kills = a->action == RB_DO_DROP || a->action == RB_DO_CONVERT;
    const bool b_kills = b->action == RB_DO_DROP || b->action == RB_DO_CONVERT;
    return a->action == b->action || (a_kills && b_kills);
}

static bool say_the_same(const RbRule *a, const RbRule *b)
{
    return a->action == b->action && a->read == b->read && a->route == b->route &&
           a->clear_out == b->clear_out && a->runner == b->runner &&
           a->where == b->where && a->adjustment.value == b->adjustment.value;
}

/* The conditions of a side rule speak of the side it names, of an other rule's of its read's. */
static bool one_frame(const RbRule *a, const RbRule *b)
{
    return a->action == RB_DO_SIDE ? a->where == b->where : a->read == b->read;
}

/* Strong and weak side: an even formation has neither, and the rule then names no side. */
static bool may_name_no_side(const RbRule *rule)
{
    return rule->action == RB_DO_SIDE &&
           (rule->where == RB_WHERE_READ_SIDE || rule->where == RB_WHERE_OTHER_SIDE);
}

/* A hot rule that says nothing of the rusher means one from the side of its read. Returns:
 * (transfer full): of RbCondition. */
static GArray *conditions_of(const RbRule *rule)
{
    GArray *all = g_array_copy(rule->conditions);
    bool of_rusher = rule->action != RB_DO_HOT;
    for (guint i = 0; i < all->len; i++) {
        of_rusher = of_rusher || condition_at(rule, i)->kind == RB_IF_UNBLOCKED;
    }
    if (!of_rusher) {
        const RbCondition free_rusher = { .kind = RB_IF_UNBLOCKED };
        g_array_append_val(all, free_rusher);
    }
    return all;
}

/* Whenever `rule` matches, `later` does. */
static bool always_with(const Check *check, const RbRule *rule, const RbRule *later)
{
    if (may_name_no_side(later) && !may_name_no_side(rule)) {
        return false;
    }
    g_autoptr(GArray) given = conditions_of(rule);
    g_autoptr(GArray) wanted = conditions_of(later);
    for (guint k = 0; k < wanted->len; k++) {
        bool implied = false;
        for (guint i = 0; i < given->len && !implied; i++) {
            implied =
                rb_book_implies(&g_array_index(given, RbCondition, i),
                                &g_array_index(wanted, RbCondition, k), check->terms);
        }
        if (!implied) {
            return false;
        }
    }
    return wanted->len == 0 || one_frame(rule, later);
}

static bool never_matches(const Check *check, const RbRule *rule)
{
    guint first = 0;
    guint second = 0;
    for (guint i = 0; i < rule->conditions->len; i++) {
        if (rb_book_is_impossible(condition_at(rule, i))) {
            return true;
        }
    }
    return find_unknowable(rule) != NULL || find_exclusion(check, rule, &first, &second);
}

static bool never_with(const Check *check, const RbRule *rule, const RbRule *later)
{
    g_autoptr(GArray) one = conditions_of(rule);
    g_autoptr(GArray) other = conditions_of(later);
    for (guint i = 0; i < one->len && one_frame(rule, later); i++) {
        for (guint k = 0; k < other->len; k++) {
            if (rb_book_excludes(&g_array_index(one, RbCondition, i),
                                 &g_array_index(other, RbCondition, k), check->terms)) {
                return true;
            }
        }
    }
    return false;
}

/* One reads a rule can be shown or played: technique and rotation are then other fields. */
static bool one_picture(const RbRule *a, const RbRule *b)
{
    return rb_book_action_is_shown(a->action) == rb_book_action_is_shown(b->action);
}

/* A drop after a conversion hides the route, but a conversion after a drop revives the read;
 * either way the earlier one does not stand. */
static void check_pair(Check *check, guint index, guint later_index)
{
    const RbRule *rule = rule_at(check->concept, index);
    const RbRule *later = rule_at(check->concept, later_index);
    if (!speak_of_one_thing(rule, later) || !one_picture(rule, later) ||
        lacks_read(check->concept, later) || never_matches(check, rule) ||
        never_matches(check, later)) {
        return;
    }
    if (rule->action != RB_DO_FRONT && always_with(check, rule, later)) {
        add(check,
            &(RbBookFinding){ RB_BOOK_SHADOWED, false, (int)index, rule->read, NULL },
            _("Rule %u never counts: whenever it matches, rule %u does too and stands."),
            index + 1, later_index + 1);
        return;
    }
    if (rule->action == RB_DO_FRONT || say_the_same(rule, later) ||
        never_with(check, rule, later) || always_with(check, later, rule)) {
        return; /* an exception after a general rule is how rules are meant to be written */
    }
    add(check, &(RbBookFinding){ RB_BOOK_CONFLICT, false, (int)index, rule->read, NULL },
        _("Rules %u and %u can match together and say different things; rule %u then stands."),
        index + 1, later_index + 1, later_index + 1);
}

static void check_rules(Check *check)
{
    const guint n = check->concept->rules->len;
    for (guint i = 0; i < n; i++) {
        check_rule_read(check, i);
        check_rule_known(check, i);
        check_rule_possible(check, i);
        check_rule_effect(check, i);
        check_rule_terms(check, i);
        for (guint k = i + 1; k < n; k++) {
            check_pair(check, i, k);
        }
    }
}

GPtrArray *rb_book_check(const RbConcept *concept, const GPtrArray *terms,
                         const RbFootwork *footwork)
{
    Check check = {
        .concept = concept,
        .terms = terms,
        .footwork = footwork != NULL ? footwork : rb_footwork_defaults(),
        .errors = g_ptr_array_new_with_free_func((GDestroyNotify)rb_book_finding_free),
        .warnings = g_ptr_array_new_with_free_func((GDestroyNotify)rb_book_finding_free),
    };
    check_numbers(&check);
    check_outlet(&check);
    check_clocks(&check);
    check_rules(&check);
    g_ptr_array_extend_and_steal(check.errors, check.warnings);
    return check.errors;
}
