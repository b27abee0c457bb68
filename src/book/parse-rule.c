/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules and their conditions. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "parse.h"
#include "terms.h"

static bool parse_value(const RbNode *object, RbCondition *condition,
                        const GPtrArray *terms, GError **error)
{
    const RbConditionForm *form = rb_book_condition_form(condition->kind);
    const RbNode is = rb_node_member(object, "is");
    if ((is.json == NULL) != (form->form == RB_FORM_NONE)) {
        return rb_node_refuse(object, error,
                              is.json == NULL ? "\"is\" is missing."
                                              : "This condition has no \"is\".");
    }
    int value = 0;
    RbTermId term = { 0 };
    const char *text = json_string_value(is.json);
    switch (form->form) {
    case RB_FORM_NONE:
        return true;
    case RB_FORM_WORD:
        if (!rb_node_need_word(object, "is", form->words, &value, error)) {
            return false;
        }
        if (value == 0 && strcmp(text, "unknown") == 0) {
            return rb_node_refuse(&is, error, "A condition cannot ask for \"unknown\".");
        }
        break;
    case RB_FORM_NUMBER:
        if (!rb_node_take_int(object, &(RbMember){ "is", true, form->low, form->high },
                              &value, error)) {
            return false;
        }
        break;
    case RB_FORM_TERM:
        if (!rb_book_term_parse(&is, form->term, terms, &term, error)) {
            return false;
        }
        condition->value = term.value;
        return true;
    case RB_FORM_FLAG:
        if (g_strcmp0(text, form->yes) != 0 && g_strcmp0(text, form->no) != 0) {
            return rb_node_refuse(&is, error, "\"is\" must be %s or %s.", form->yes,
                                  form->no);
        }
        value = strcmp(text, form->yes) == 0 ? 1 : 0;
        break;
    }
    condition->value = value;
    return true;
}

static bool parse_condition(const RbNode *node, const GPtrArray *terms, RbRule *rule,
                            GError **error)
{
    static const char *const keys[] = { "that", "where", "not", "is", NULL };
    int kind = 0;
    int where = RB_WHERE_READ_SIDE;
    RbCondition condition = { 0 };
    if (!rb_node_is_object(node, &(RbKeys){ N_("a condition"), keys }, error) ||
        !rb_node_need_word(node, "that", &rb_condition_words, &kind, error) ||
        !rb_node_take_word(node, "where", &rb_where_words, &where, error) ||
        !rb_node_take_bool(node, "not", &condition.negated, error)) {
        return false;
    }
    condition.kind = (RbConditionKind)kind;
    condition.where = (RbWhere)where;
    const RbNode place = rb_node_member(node, "where");
    if (place.json != NULL && !rb_book_condition_form(condition.kind)->sided) {
        return rb_node_refuse(&place, error, "A condition on the %s has no \"where\".",
                              rb_words_token(&rb_condition_words, kind));
    }
    if (!parse_value(node, &condition, terms, error)) {
        return false;
    }
    g_array_append_val(rule->conditions, condition);
    return true;
}

static bool parse_conditions(const RbNode *node, const GPtrArray *terms, RbRule *rule,
                             GError **error)
{
    if (!rb_node_is_array(node, "\"if\"", RB_BOOK_CONDITIONS_MAX, error)) {
        return false;
    }
    for (size_t i = 0; i < rb_node_size(node); i++) {
        const RbNode item = rb_node_item(node, i);
        if (!parse_condition(&item, terms, rule, error)) {
            return false;
        }
    }
    return true;
}

/* Which further keys an action takes. */
typedef struct {
    bool read, route, clear_out, runner, side, adjustment;
    bool read_optional;
} ActionForm;

static const ActionForm action_forms[] = {
    [RB_DO_DROP] = { .read = true },
    [RB_DO_CONVERT] = { .read = true, .route = true, .clear_out = true },
    [RB_DO_FRONT] = { .read = true },
    [RB_DO_REQUIRE_ADJUSTMENT] = { .read = true,
                                   .read_optional = true,
                                   .adjustment = true },
    [RB_DO_RUNNER] = { .read = true, .runner = true },
    [RB_DO_SIDE] = { .side = true },
    [RB_DO_HOT] = { .read = true },
};

static bool check_key(const RbNode *node, const char *key, bool taken, bool needed,
                      const char *action, GError **error)
{
    const RbNode found = rb_node_member(node, key);
    if (found.json != NULL && !taken) {
        return rb_node_refuse(&found, error, "A rule that does \"%s\" has no \"%s\".",
                              action, key);
    }
    if (found.json == NULL && needed) {
        return rb_node_refuse(node, error, "A rule that does \"%s\" needs \"%s\".",
                              action, key);
    }
    return true;
}

static bool check_action_keys(const RbNode *node, RbActionKind action, GError **error)
{
    const ActionForm *form = &action_forms[action];
    const char *name = rb_words_token(&rb_action_words, (int)action);
    return check_key(node, "read", form->read, form->read && !form->read_optional, name,
                     error) &&
           check_key(node, "route", form->route, form->route, name, error) &&
           check_key(node, "clear_out", form->clear_out, false, name, error) &&
           check_key(node, "runner", form->runner, form->runner, name, error) &&
           check_key(node, "side", form->side, form->side, name, error) &&
           check_key(node, "adjustment", form->adjustment, form->adjustment, name, error);
}

/* The strong and the weak side stand where a rule's read would have its own and the other. */
static bool take_side(const RbNode *node, RbWhere *where, GError **error)
{
    static const char *const sides[] = {
        [RB_WHERE_READ_SIDE] = "strong",
        [RB_WHERE_OTHER_SIDE] = "weak",
        [RB_WHERE_LEFT] = "left",
        [RB_WHERE_RIGHT] = "right",
    };
    const RbNode found = rb_node_member(node, "side");
    if (found.json == NULL) {
        return true;
    }
    for (size_t i = 0; i < G_N_ELEMENTS(sides); i++) {
        if (g_strcmp0(json_string_value(found.json), sides[i]) == 0) {
            *where = (RbWhere)i;
            return true;
        }
    }
    return rb_node_refuse(&found, error, "\"side\" must be strong, weak, left or right.");
}

static bool take_read(const RbNode *node, const RbConcept *concept, int *read,
                      GError **error)
{
    if (!rb_node_take_int(node, &(RbMember){ "read", false, 1, RB_READS_MAX }, read,
                          error)) {
        return false;
    }
    if (*read != 0 && rb_concept_find_read(concept, *read) == NULL) {
        const RbNode found = rb_node_member(node, "read");
        return rb_node_refuse(&found, error,
                              "The rule names read %d, which the concept \"%s\" does not "
                              "have.",
                              *read, concept->token);
    }
    return true;
}

/* A rule names a route of the list: it has no points to draw one with. */
static bool check_route(const RbNode *node, const RbRule *rule, GError **error)
{
    if (rule->route != RB_ROUTE_DRAWN) {
        return true;
    }
    const RbNode route = rb_node_member(node, "route");
    return rb_node_refuse(&route, error,
                          "A rule cannot convert a read to a drawn route, for it has no "
                          "points to draw it with; name a route of the list.");
}

static bool parse_rule_body(const RbNode *node, const RbConcept *concept,
                            const GPtrArray *terms, RbRule *rule, GError **error)
{
    int route = RB_ROUTE_UNKNOWN;
    int runner = RB_RUNNER_UNKNOWN;
    const RbNode adjustment = rb_node_member(node, "adjustment");
    const RbNode conditions = rb_node_member(node, "if");
    if (!check_action_keys(node, rule->action, error) ||
        !take_read(node, concept, &rule->read, error) ||
        !rb_node_take_word(node, "route", &rb_route_words, &route, error) ||
        !rb_node_take_bool(node, "clear_out", &rule->clear_out, error) ||
        !rb_node_take_word(node, "runner", &rb_runner_words, &runner, error) ||
        !take_side(node, &rule->where, error)) {
        return false;
    }
    rule->route = (RbRoute)route;
    rule->runner = (RbRunner)runner;
    return check_route(node, rule, error) &&
           (adjustment.json == NULL ||
            rb_book_term_parse(&adjustment, RB_TERM_ADJUSTMENT, terms, &rule->adjustment,
                               error)) &&
           (conditions.json == NULL || parse_conditions(&conditions, terms, rule, error));
}

bool rb_book_parse_rule(const RbNode *node, const GPtrArray *terms, RbConcept *concept,
                        GError **error)
{
    static const char *const keys[] = { "name",   "do",   "read",       "route",
                                        "runner", "side", "adjustment", "clear_out",
                                        "if",     NULL };
    int action = 0;
    if (!rb_node_is_object(node, &(RbKeys){ N_("a rule"), keys }, error) ||
        !rb_node_need_word(node, "do", &rb_action_words, &action, error)) {
        return false;
    }
    g_autoptr(RbRule) rule = rb_rule_new((RbActionKind)action, 0);
    const RbMember name = { "name", false, 1, RB_BOOK_NAME_MAX };
    if (!rb_node_take_text(node, &name, &rule->name, error) ||
        !parse_rule_body(node, concept, terms, rule, error)) {
        return false;
    }
    g_ptr_array_add(concept->rules, g_steal_pointer(&rule));
    return true;
}
