/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules as sentences. Each condition and each action is a pattern of its own, whole but for one
 * word or number, so that a translation can put it in its own grammar. Conditions stand only
 * after "if", "whether" and "that". */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/text.h"
#include "rb/book/check.h"
#include "rb/book/condition.h"

/* By place, then plain and denied. */
typedef const char *const Sided[4][2];

/* clang-format off */
static const Sided technique = {
    [RB_WHERE_READ_SIDE] = { N_("the corner on its side plays {word}"),
        N_("the corner on its side does not play {word}") },
    [RB_WHERE_OTHER_SIDE] = { N_("the corner on the other side plays {word}"),
        N_("the corner on the other side does not play {word}") },
    [RB_WHERE_LEFT] = { N_("the corner on the left plays {word}"),
        N_("the corner on the left does not play {word}") },
    [RB_WHERE_RIGHT] = { N_("the corner on the right plays {word}"),
        N_("the corner on the right does not play {word}") },
};
static const Sided leverage = {
    [RB_WHERE_READ_SIDE] = { N_("the corner on its side stands {word}"),
        N_("the corner on its side does not stand {word}") },
    [RB_WHERE_OTHER_SIDE] = { N_("the corner on the other side stands {word}"),
        N_("the corner on the other side does not stand {word}") },
    [RB_WHERE_LEFT] = { N_("the corner on the left stands {word}"),
        N_("the corner on the left does not stand {word}") },
    [RB_WHERE_RIGHT] = { N_("the corner on the right stands {word}"),
        N_("the corner on the right does not stand {word}") },
};
static const Sided cushion_at_most = {
    [RB_WHERE_READ_SIDE] = { N_("the cushion on its side is at most {word} yards"),
        N_("the cushion on its side is not at most {word} yards") },
    [RB_WHERE_OTHER_SIDE] = { N_("the cushion on the other side is at most {word} yards"),
        N_("the cushion on the other side is not at most {word} yards") },
    [RB_WHERE_LEFT] = { N_("the cushion on the left is at most {word} yards"),
        N_("the cushion on the left is not at most {word} yards") },
    [RB_WHERE_RIGHT] = { N_("the cushion on the right is at most {word} yards"),
        N_("the cushion on the right is not at most {word} yards") },
};
static const Sided cushion_at_least = {
    [RB_WHERE_READ_SIDE] = { N_("the cushion on its side is at least {word} yards"),
        N_("the cushion on its side is not at least {word} yards") },
    [RB_WHERE_OTHER_SIDE] = { N_("the cushion on the other side is at least {word} yards"),
        N_("the cushion on the other side is not at least {word} yards") },
    [RB_WHERE_LEFT] = { N_("the cushion on the left is at least {word} yards"),
        N_("the cushion on the left is not at least {word} yards") },
    [RB_WHERE_RIGHT] = { N_("the cushion on the right is at least {word} yards"),
        N_("the cushion on the right is not at least {word} yards") },
};
static const Sided split_at_most = {
    [RB_WHERE_READ_SIDE] = { N_("the split on its side is at most {word} yards"),
        N_("the split on its side is not at most {word} yards") },
    [RB_WHERE_OTHER_SIDE] = { N_("the split on the other side is at most {word} yards"),
        N_("the split on the other side is not at most {word} yards") },
    [RB_WHERE_LEFT] = { N_("the split on the left is at most {word} yards"),
        N_("the split on the left is not at most {word} yards") },
    [RB_WHERE_RIGHT] = { N_("the split on the right is at most {word} yards"),
        N_("the split on the right is not at most {word} yards") },
};
static const Sided split_at_least = {
    [RB_WHERE_READ_SIDE] = { N_("the split on its side is at least {word} yards"),
        N_("the split on its side is not at least {word} yards") },
    [RB_WHERE_OTHER_SIDE] = { N_("the split on the other side is at least {word} yards"),
        N_("the split on the other side is not at least {word} yards") },
    [RB_WHERE_LEFT] = { N_("the split on the left is at least {word} yards"),
        N_("the split on the left is not at least {word} yards") },
    [RB_WHERE_RIGHT] = { N_("the split on the right is at least {word} yards"),
        N_("the split on the right is not at least {word} yards") },
};
static const Sided safety_over = {
    [RB_WHERE_READ_SIDE] = { N_("a half-field safety is over its side"),
        N_("no half-field safety is over its side") },
    [RB_WHERE_OTHER_SIDE] = { N_("a half-field safety is over the other side"),
        N_("no half-field safety is over the other side") },
    [RB_WHERE_LEFT] = { N_("a half-field safety is over the left"),
        N_("no half-field safety is over the left") },
    [RB_WHERE_RIGHT] = { N_("a half-field safety is over the right"),
        N_("no half-field safety is over the right") },
};
static const Sided rotation_toward = {
    [RB_WHERE_READ_SIDE] = { N_("the secondary rotates toward its side"),
        N_("the secondary does not rotate toward its side") },
    [RB_WHERE_OTHER_SIDE] = { N_("the secondary rotates toward the other side"),
        N_("the secondary does not rotate toward the other side") },
    [RB_WHERE_LEFT] = { N_("the secondary rotates toward the left"),
        N_("the secondary does not rotate toward the left") },
    [RB_WHERE_RIGHT] = { N_("the secondary rotates toward the right"),
        N_("the secondary does not rotate toward the right") },
};
static const Sided rotation_away = {
    [RB_WHERE_READ_SIDE] = { N_("the secondary rotates away from its side"),
        N_("the secondary does not rotate away from its side") },
    [RB_WHERE_OTHER_SIDE] = { N_("the secondary rotates away from the other side"),
        N_("the secondary does not rotate away from the other side") },
    [RB_WHERE_LEFT] = { N_("the secondary rotates away from the left"),
        N_("the secondary does not rotate away from the left") },
    [RB_WHERE_RIGHT] = { N_("the secondary rotates away from the right"),
        N_("the secondary does not rotate away from the right") },
};
static const Sided unblocked = {
    [RB_WHERE_READ_SIDE] = { N_("a rusher comes free on its side"),
        N_("no rusher comes free on its side") },
    [RB_WHERE_OTHER_SIDE] = { N_("a rusher comes free on the other side"),
        N_("no rusher comes free on the other side") },
    [RB_WHERE_LEFT] = { N_("a rusher comes free on the left"),
        N_("no rusher comes free on the left") },
    [RB_WHERE_RIGHT] = { N_("a rusher comes free on the right"),
        N_("no rusher comes free on the right") },
};
static const Sided field = {
    [RB_WHERE_READ_SIDE] = { N_("its side is the field"),
        N_("its side is not the field") },
    [RB_WHERE_OTHER_SIDE] = { N_("the other side is the field"),
        N_("the other side is not the field") },
    [RB_WHERE_LEFT] = { N_("the left is the field"),
        N_("the left is not the field") },
    [RB_WHERE_RIGHT] = { N_("the right is the field"),
        N_("the right is not the field") },
};
static const Sided boundary = {
    [RB_WHERE_READ_SIDE] = { N_("its side is the boundary"),
        N_("its side is not the boundary") },
    [RB_WHERE_OTHER_SIDE] = { N_("the other side is the boundary"),
        N_("the other side is not the boundary") },
    [RB_WHERE_LEFT] = { N_("the left is the boundary"),
        N_("the left is not the boundary") },
    [RB_WHERE_RIGHT] = { N_("the right is the boundary"),
        N_("the right is not the boundary") },
};
static const Sided strong = {
    [RB_WHERE_READ_SIDE] = { N_("its side is the one with more receivers"),
        N_("its side is not the one with more receivers") },
    [RB_WHERE_OTHER_SIDE] = { N_("the other side is the one with more receivers"),
        N_("the other side is not the one with more receivers") },
    [RB_WHERE_LEFT] = { N_("the left is the one with more receivers"),
        N_("the left is not the one with more receivers") },
    [RB_WHERE_RIGHT] = { N_("the right is the one with more receivers"),
        N_("the right is not the one with more receivers") },
};
static const Sided weak = {
    [RB_WHERE_READ_SIDE] = { N_("its side is the one with fewer receivers"),
        N_("its side is not the one with fewer receivers") },
    [RB_WHERE_OTHER_SIDE] = { N_("the other side is the one with fewer receivers"),
        N_("the other side is not the one with fewer receivers") },
    [RB_WHERE_LEFT] = { N_("the left is the one with fewer receivers"),
        N_("the left is not the one with fewer receivers") },
    [RB_WHERE_RIGHT] = { N_("the right is the one with fewer receivers"),
        N_("the right is not the one with fewer receivers") },
};
static const char *const whole[][2] = {
    [RB_IF_SHELL] = { N_("the shell shown is {word}"), N_("the shell shown is not {word}") },
    [RB_IF_COVERAGE] = { N_("the coverage is {word}"), N_("the coverage is not {word}") },
    [RB_IF_FAMILY] = { N_("the coverage is {word}"), N_("the coverage is not {word}") },
    [RB_IF_RUSHERS_AT_LEAST] = { N_("at least {word} rush"), N_("fewer than {word} rush") },
    [RB_IF_HASH] = { N_("the ball is {word}"), N_("the ball is not {word}") },
    [RB_IF_DOWN] = { N_("the down is {word}"), N_("the down is not {word}") },
    [RB_IF_DISTANCE_AT_MOST] = { N_("the distance is at most {word}"),
        N_("the distance is not at most {word}") },
    [RB_IF_DISTANCE_AT_LEAST] = { N_("the distance is at least {word}"),
        N_("the distance is not at least {word}") },
    [RB_IF_WIDTH] = { N_("the formation is in {word}"), N_("the formation is not in {word}") },
    [RB_IF_FORMATION] = { N_("the formation is {word}"), N_("the formation is not {word}") },
};
/* With its article, for it is the object of "becomes". */
static const char *const becomes[] = {
    [RB_ROUTE_UNKNOWN] = N_("a route not named"),
    [RB_ROUTE_HITCH] = N_("a hitch"),
    [RB_ROUTE_STOP] = N_("a stop"),
    [RB_ROUTE_SLANT] = N_("a slant"),
    [RB_ROUTE_QUICK_OUT] = N_("a quick out"),
    [RB_ROUTE_SPEED_OUT] = N_("a speed out"),
    [RB_ROUTE_OUT] = N_("an out"),
    [RB_ROUTE_COMEBACK] = N_("a comeback"),
    [RB_ROUTE_CURL] = N_("a curl"),
    [RB_ROUTE_DIG] = N_("a dig"),
    [RB_ROUTE_POST] = N_("a post"),
    [RB_ROUTE_CORNER] = N_("a corner"),
    [RB_ROUTE_GO] = N_("a go"),
    [RB_ROUTE_FADE] = N_("a fade"),
    [RB_ROUTE_SEAM] = N_("a seam"),
    [RB_ROUTE_DRAG] = N_("a drag"),
    [RB_ROUTE_SHALLOW] = N_("a shallow"),
    [RB_ROUTE_OVER] = N_("an over"),
    [RB_ROUTE_FLAT] = N_("a flat"),
    [RB_ROUTE_PIVOT] = N_("a pivot"),
    [RB_ROUTE_ANGLE] = N_("an angle"),
    [RB_ROUTE_SWING] = N_("a swing"),
    [RB_ROUTE_WHEEL] = N_("a wheel"),
    [RB_ROUTE_SAIL] = N_("a sail"),
    [RB_ROUTE_SIT] = N_("a sit"),
    [RB_ROUTE_SCREEN] = N_("a screen"),
    [RB_ROUTE_CHECK_DOWN] = N_("a check-down"),
    [RB_ROUTE_DRAWN] = N_("a route as drawn"),
};
static const char *const sides[] = {
    [RB_WHERE_READ_SIDE] = N_("Work the strong side"),
    [RB_WHERE_OTHER_SIDE] = N_("Work the weak side"),
    [RB_WHERE_LEFT] = N_("Work the left"),
    [RB_WHERE_RIGHT] = N_("Work the right"),
};
/* clang-format on */

static const char *sided_pattern(const RbCondition *condition)
{
    const bool flag = condition->value == 1;
    /* "Not no safety" is a safety. */
    const bool denied = condition->kind == RB_IF_SAFETY_OVER
                            ? condition->negated == (condition->value == RB_YES)
                            : condition->negated;
    const Sided *sided = NULL;
    switch ((int)condition->kind) {
    case RB_IF_TECHNIQUE:
        sided = &technique;
        break;
    case RB_IF_LEVERAGE:
        sided = &leverage;
        break;
    case RB_IF_CUSHION_AT_MOST:
        sided = &cushion_at_most;
        break;
    case RB_IF_CUSHION_AT_LEAST:
        sided = &cushion_at_least;
        break;
    case RB_IF_SPLIT_AT_MOST:
        sided = &split_at_most;
        break;
    case RB_IF_SPLIT_AT_LEAST:
        sided = &split_at_least;
        break;
    case RB_IF_SAFETY_OVER:
        sided = &safety_over;
        break;
    case RB_IF_ROTATION:
        sided = flag ? &rotation_toward : &rotation_away;
        break;
    case RB_IF_UNBLOCKED:
        sided = &unblocked;
        break;
    case RB_IF_FIELD_SIDE:
        sided = flag ? &field : &boundary;
        break;
    default: /* RB_IF_STRONG_SIDE */
        sided = flag ? &strong : &weak;
        break;
    }
    return (*sided)[condition->where][denied];
}

/* What fills the pattern's gap. Returns: (transfer full). */
static char *value_text(const RbCondition *condition, const GPtrArray *terms)
{
    const RbConditionForm *form = rb_book_condition_form(condition->kind);
    const int value = (int)condition->value;
    switch (form->form) {
    case RB_FORM_WORD:
        return condition->kind == RB_IF_SAFETY_OVER
                   ? g_strdup("")
                   : g_strdup(rb_words_said(form->words, value));
    case RB_FORM_TERM:
        return g_strdup(rb_vocabulary_name(terms, (RbTermId){ condition->value }));
    case RB_FORM_NUMBER:
        /* The numbers that have a side are tenths of a yard. */
        return form->sided && value % 10 != 0
                   ? g_strdup_printf("%d.%d", value / 10, value % 10)
                   : g_strdup_printf("%d", form->sided ? value / 10 : value);
    case RB_FORM_FLAG:
    case RB_FORM_NONE:
        break;
    }
    return g_strdup("");
}

char *rb_book_condition_text(const RbCondition *condition, const GPtrArray *terms)
{
    g_autofree char *value = value_text(condition, terms);
    const char *pattern = rb_book_condition_form(condition->kind)->sided
                              ? sided_pattern(condition)
                              : whole[condition->kind][condition->negated];
    return rb_text_fill(_(pattern), "word", value, NULL);
}

static char *action_text(const RbRule *rule, const GPtrArray *terms)
{
    g_autofree char *read = g_strdup_printf("%d", rule->read);
    switch (rule->action) {
    case RB_DO_DROP:
        return rb_text_fill(_("Read {read} is dropped"), "read", read, NULL);
    case RB_DO_CONVERT:
        return rb_text_fill(rule->clear_out
                                ? _("Read {read} becomes {route}, only to clear out")
                                : _("Read {read} becomes {route}"),
                            "read", read, "route", _(becomes[rule->route]), NULL);
    case RB_DO_FRONT:
        return rb_text_fill(_("Read {read} comes first"), "read", read, NULL);
    case RB_DO_REQUIRE_ADJUSTMENT:
        return rb_text_fill(
            rule->read != 0 ? _("The adjustment \"{name}\" must be made for read {read}")
                            : _("The adjustment \"{name}\" must be made"),
            "name", rb_vocabulary_name(terms, rule->adjustment), "read", read, NULL);
    case RB_DO_RUNNER:
        return rule->runner == RB_RUNNER_BACK
                   ? rb_text_fill(_("Read {read} is run by the back"), "read", read, NULL)
                   : rb_text_fill(_("Read {read} is run by {man}"), "read", read, "man",
                                  rb_words_label(&rb_runner_words, (int)rule->runner),
                                  NULL);
    case RB_DO_SIDE:
        return g_strdup(_(sides[rule->where]));
    case RB_DO_HOT:
        break;
    }
    return rb_text_fill(_("Read {read} is hot against a free rusher"), "read", read,
                        NULL);
}

/* "a", "a and b", "a, b and c". Returns: (transfer full) (nullable): NULL without any. */
static char *conditions_text(const GArray *conditions, const GPtrArray *terms)
{
    char *text = NULL;
    for (guint i = 0; i < conditions->len; i++) {
        g_autofree char *before = text;
        g_autofree char *next =
            rb_book_condition_text(&g_array_index(conditions, RbCondition, i), terms);
        const bool last = i + 1 == conditions->len;
        text = before == NULL
                   ? g_steal_pointer(&next)
                   : rb_text_fill(last ? _("{before} and {last}") : _("{before}, {next}"),
                                  "before", before, "next", next, "last", next, NULL);
    }
    return text;
}

char *rb_book_rule_text(const RbRule *rule, const GPtrArray *terms)
{
    g_autofree char *action = action_text(rule, terms);
    g_autofree char *conditions = conditions_text(rule->conditions, terms);
    return conditions == NULL ? rb_text_fill(_("{action}."), "action", action, NULL)
                              : rb_text_fill(_("{action}, if {conditions}."), "action",
                                             action, "conditions", conditions, NULL);
}
