/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules as sentences. */
#include "rb/book/check.h"

static const char *at(RbWhere where)
{
    switch (where) {
    case RB_WHERE_READ_SIDE:
        return "on its side";
    case RB_WHERE_OTHER_SIDE:
        return "on the other side";
    case RB_WHERE_LEFT:
        return "on the left";
    case RB_WHERE_RIGHT:
        break;
    }
    return "on the right";
}

static const char *side(RbWhere where)
{
    switch (where) {
    case RB_WHERE_READ_SIDE:
        return "its side";
    case RB_WHERE_OTHER_SIDE:
        return "the other side";
    case RB_WHERE_LEFT:
        return "the left";
    case RB_WHERE_RIGHT:
        break;
    }
    return "the right";
}

static char *lower(const RbWords *words, int64_t value)
{
    return g_ascii_strdown(rb_words_label(words, (int)value), -1);
}

/* "7" or "7.5". Returns: (transfer full). */
static char *yards(int64_t tenths)
{
    return tenths % 10 == 0
               ? g_strdup_printf("%d", (int)(tenths / 10))
               : g_strdup_printf("%d.%d", (int)(tenths / 10), (int)(tenths % 10));
}

static char *sided_text(const RbCondition *condition)
{
    const char *not = condition->negated ? " not" : "";
    const char *place = at(condition->where);
    g_autofree char *word = NULL;
    switch ((int)condition->kind) {
    case RB_IF_TECHNIQUE:
        word = lower(&rb_technique_words, condition->value);
        return g_strdup_printf("the corner %s %s %s", place,
                               condition->negated ? "does not play" : "plays", word);
    case RB_IF_LEVERAGE:
        word = lower(&rb_leverage_words, condition->value);
        return g_strdup_printf("the corner %s %s %s", place,
                               condition->negated ? "does not stand" : "stands", word);
    case RB_IF_CUSHION_AT_MOST:
    case RB_IF_CUSHION_AT_LEAST:
        word = yards(condition->value);
        return g_strdup_printf(
            "the cushion %s is%s at %s %s yards", place, not,
            condition->kind == RB_IF_CUSHION_AT_MOST ? "most" : "least", word);
    case RB_IF_SAFETY_OVER:
        return g_strdup_printf("%s half-field safety is over %s",
                               (condition->value == RB_YES) != condition->negated ? "a"
                                                                                  : "no",
                               side(condition->where));
    case RB_IF_ROTATION:
        return g_strdup_printf(
            "the secondary %s %s %s", condition->negated ? "does not rotate" : "rotates",
            condition->value == 1 ? "toward" : "away from", side(condition->where));
    case RB_IF_UNBLOCKED:
        return g_strdup_printf("%s rusher comes free %s", condition->negated ? "no" : "a",
                               place);
    case RB_IF_FIELD_SIDE:
        return g_strdup_printf("%s is%s the %s", side(condition->where), not,
                               condition->value == 1 ? "field" : "boundary");
    default: /* RB_IF_STRONG_SIDE */
        return g_strdup_printf("%s is%s the one with %s receivers",
                               side(condition->where), not,
                               condition->value == 1 ? "more" : "fewer");
    }
}

char *rb_book_condition_text(const RbCondition *condition, const GPtrArray *terms)
{
    const char *not = condition->negated ? " not" : "";
    const int value = (int)condition->value;
    const char *term = rb_vocabulary_name(terms, (RbTermId){ condition->value });
    g_autofree char *word = NULL;
    switch (condition->kind) {
    case RB_IF_SHELL:
        word = lower(&rb_shell_words, value);
        return g_strdup_printf("the shell shown is%s %s", not, word);
    case RB_IF_COVERAGE:
        return g_strdup_printf("the coverage is%s %s", not, term);
    case RB_IF_FAMILY:
        word = lower(&rb_family_words, value);
        return g_strdup_printf("the coverage is%s %s", not, word);
    case RB_IF_RUSHERS_AT_LEAST:
        return g_strdup_printf(
            condition->negated ? "fewer than %d rush" : "at least %d rush", value);
    case RB_IF_HASH:
        word = lower(&rb_hash_words, value);
        return g_strdup_printf("the ball is%s on the %s", not, word);
    case RB_IF_DOWN:
        return g_strdup_printf("the down is%s %d", not, value);
    case RB_IF_DISTANCE_AT_MOST:
    case RB_IF_DISTANCE_AT_LEAST:
        return g_strdup_printf(
            "the distance is%s at %s %d", not,
            condition->kind == RB_IF_DISTANCE_AT_MOST ? "most" : "least", value);
    case RB_IF_WIDTH:
        word = lower(&rb_width_words, value);
        return g_strdup_printf("the formation is%s in %s", not, word);
    case RB_IF_FORMATION:
        return g_strdup_printf("the formation is%s %s", not, term);
    case RB_IF_TECHNIQUE:
    case RB_IF_CUSHION_AT_MOST:
    case RB_IF_CUSHION_AT_LEAST:
    case RB_IF_LEVERAGE:
    case RB_IF_SAFETY_OVER:
    case RB_IF_ROTATION:
    case RB_IF_UNBLOCKED:
    case RB_IF_FIELD_SIDE:
    case RB_IF_STRONG_SIDE:
        break;
    }
    return sided_text(condition);
}

static char *runner_text(RbRunner runner)
{
    return runner == RB_RUNNER_BACK
               ? g_strdup("the back")
               : g_strdup(rb_words_label(&rb_runner_words, (int)runner));
}

static char *action_text(const RbRule *rule, const GPtrArray *terms)
{
    static const char *const sides[] = { "strong side", "weak side", "left", "right" };
    g_autofree char *word = NULL;
    switch (rule->action) {
    case RB_DO_DROP:
        return g_strdup_printf("Read %d is dropped", rule->read);
    case RB_DO_CONVERT:
        word = lower(&rb_route_words, rule->route);
        return g_strdup_printf("Read %d becomes a %s%s", rule->read, word,
                               rule->clear_out ? ", only to clear out" : "");
    case RB_DO_FRONT:
        return g_strdup_printf("Read %d comes first", rule->read);
    case RB_DO_REQUIRE_ADJUSTMENT:
        return g_strdup_printf("The adjustment \"%s\" must be made",
                               rb_vocabulary_name(terms, rule->adjustment));
    case RB_DO_RUNNER:
        word = runner_text(rule->runner);
        return g_strdup_printf("Read %d is run by %s", rule->read, word);
    case RB_DO_SIDE:
        return g_strdup_printf("Work the %s", sides[rule->where]);
    case RB_DO_HOT:
        break;
    }
    return g_strdup_printf("Read %d is hot against a free rusher", rule->read);
}

char *rb_book_rule_text(const RbRule *rule, const GPtrArray *terms)
{
    g_autofree char *action = action_text(rule, terms);
    g_autoptr(GString) text = g_string_new(action);
    const guint n = rule->conditions->len;
    for (guint i = 0; i < n; i++) {
        g_autofree char *condition = rb_book_condition_text(
            &g_array_index(rule->conditions, RbCondition, i), terms);
        const char *joint = i == 0 ? ", if " : i + 1 == n ? " and " : ", ";
        g_string_append_printf(text, "%s%s", joint, condition);
    }
    g_string_append_c(text, '.');
    return g_strdup(text->str);
}
