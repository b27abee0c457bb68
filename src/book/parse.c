/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "terms.h"

G_DEFINE_QUARK(rb - book - error - quark, rb_book_error)

enum {
    TOKEN_MAX = 64,
    NAME_MAX_BYTES = 200,
    NOTES_MAX = 8000,
    CLOCK_MAX_MS = 20000,
    DEPTH_MAX_YD = 99,
    CUSHION_MAX = 500, /* tenths of a yard */
};

static bool take_word(const RbNode *object, const char *key, const RbWords *words,
                      int *value, GError **error)
{
    const RbNode found = rb_node_member(object, key);
    if (found.json == NULL) {
        return true;
    }
    const char *token = json_string_value(found.json);
    if (!rb_words_parse(words, token, value)) {
        g_autofree char *list = rb_words_list(words);
        return rb_node_refuse(&found, error, "\"%s\" must be %s.", key, list);
    }
    return true;
}

static bool need_word(const RbNode *object, const char *key, const RbWords *words,
                      int *value, GError **error)
{
    if (rb_node_member(object, key).json == NULL) {
        return rb_node_refuse(object, error, "\"%s\" is missing.", key);
    }
    return take_word(object, key, words, value, error);
}

static bool parse_clock(const RbNode *node, RbClock *clock, GError **error)
{
    static const char *const keys[] = { "ms",      "backfield",    "steps",
                                        "hitches", "tolerance_ms", NULL };
    if (!rb_node_is_object(node, &(RbKeys){ "a clock", keys }, error) ||
        !rb_node_take_int(node, &(RbMember){ "tolerance_ms", false, 0, CLOCK_MAX_MS },
                          &clock->tolerance_ms, error)) {
        return false;
    }
    const bool has_ms = rb_node_member(node, "ms").json != NULL;
    const bool has_steps = rb_node_member(node, "steps").json != NULL;
    const bool has_more = rb_node_member(node, "backfield").json != NULL ||
                          rb_node_member(node, "hitches").json != NULL;
    if (has_ms ? has_steps || has_more : has_more && !has_steps) {
        return rb_node_refuse(node, error,
                              "A clock is either \"ms\", or \"steps\" with \"backfield\" "
                              "and \"hitches\".");
    }
    clock->kind = has_ms      ? RB_CLOCK_SECONDS
                  : has_steps ? RB_CLOCK_FOOTWORK
                              : RB_CLOCK_UNKNOWN;
    int backfield = RB_BACKFIELD_GUN;
    if (!rb_node_take_int(node, &(RbMember){ "ms", false, 0, CLOCK_MAX_MS }, &clock->ms,
                          error) ||
        !rb_node_take_int(node, &(RbMember){ "steps", false, 1, 9 }, &clock->steps,
                          error) ||
        !rb_node_take_int(node, &(RbMember){ "hitches", false, 0, 9 }, &clock->hitches,
                          error) ||
        !take_word(node, "backfield", &rb_backfield_words, &backfield, error)) {
        return false;
    }
    clock->backfield = (RbBackfield)backfield;
    return true;
}

static bool parse_read_body(const RbNode *node, RbRead *read, GError **error)
{
    const RbMember number = { "number", true, 1, RB_READS_MAX };
    const RbMember depth = { "depth_yd", false, 0, DEPTH_MAX_YD };
    const RbMember landmark = { "landmark", false, 1, NAME_MAX_BYTES };
    const RbMember key = { "key", false, 1, NAME_MAX_BYTES };
    int route = RB_ROUTE_UNKNOWN;
    int runner = RB_RUNNER_UNKNOWN;
    int side = RB_READ_SIDE_SAME;
    if (!rb_node_take_int(node, &number, &read->number, error) ||
        !need_word(node, "route", &rb_route_words, &route, error) ||
        !take_word(node, "runner", &rb_runner_words, &runner, error) ||
        !take_word(node, "side", &rb_read_side_words, &side, error) ||
        !rb_node_take_int(node, &depth, &read->depth_yd, error) ||
        !rb_node_take_text(node, &landmark, &read->landmark, error) ||
        !rb_node_take_text(node, &key, &read->key, error) ||
        !rb_node_take_bool(node, "clear_out", &read->clear_out, error) ||
        !rb_node_take_bool(node, "outlet", &read->outlet, error)) {
        return false;
    }
    read->route = (RbRoute)route;
    read->runner = (RbRunner)runner;
    read->side = (RbReadSide)side;
    const RbNode clock = rb_node_member(node, "clock");
    return clock.json == NULL || parse_clock(&clock, &read->clock, error);
}

static bool parse_read(const RbNode *node, RbConcept *concept, GError **error)
{
    static const char *const keys[] = { "number",   "route", "runner",   "side",
                                        "depth_yd", "key",   "landmark", "clear_out",
                                        "outlet",   "clock", NULL };
    if (!rb_node_is_object(node, &(RbKeys){ "a read", keys }, error)) {
        return false;
    }
    g_autoptr(RbRead) read = rb_read_new(0, RB_ROUTE_UNKNOWN);
    if (!parse_read_body(node, read, error)) {
        return false;
    }
    if (rb_concept_find_read(concept, read->number) != NULL) {
        return rb_node_refuse(node, error, "The concept has a read %d already.",
                              read->number);
    }
    g_ptr_array_add(concept->reads, g_steal_pointer(&read));
    return true;
}

static bool parse_value(const RbNode *object, RbCondition *condition,
                        const GPtrArray *terms, GError **error)
{
    const RbConditionForm *form = rb_book_condition_form(condition->kind);
    const RbNode is = rb_node_member(object, "is");
    if ((is.json == NULL) != (form->form == RB_VALUE_NONE)) {
        return rb_node_refuse(object, error,
                              is.json == NULL ? "\"is\" is missing."
                                              : "This condition has no \"is\".");
    }
    int value = 0;
    RbTermId term = { 0 };
    const char *text = json_string_value(is.json);
    switch (form->form) {
    case RB_VALUE_NONE:
        return true;
    case RB_VALUE_WORD:
        if (!need_word(object, "is", form->words, &value, error)) {
            return false;
        }
        if (value == 0 && strcmp(text, "unknown") == 0) {
            return rb_node_refuse(&is, error, "A condition cannot ask for \"unknown\".");
        }
        break;
    case RB_VALUE_NUMBER:
        if (!rb_node_take_int(object, &(RbMember){ "is", true, form->low, form->high },
                              &value, error)) {
            return false;
        }
        break;
    case RB_VALUE_TERM:
        if (!rb_book_term_parse(&is, form->term, terms, &term, error)) {
            return false;
        }
        condition->value = term.value;
        return true;
    case RB_VALUE_FLAG:
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
    if (!rb_node_is_object(node, &(RbKeys){ "a condition", keys }, error) ||
        !need_word(node, "that", &rb_condition_words, &kind, error) ||
        !take_word(node, "where", &rb_where_words, &where, error) ||
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

static bool parse_rule_body(const RbNode *node, const RbConcept *concept,
                            const GPtrArray *terms, RbRule *rule, GError **error)
{
    int route = RB_ROUTE_UNKNOWN;
    int runner = RB_RUNNER_UNKNOWN;
    const RbNode adjustment = rb_node_member(node, "adjustment");
    const RbNode conditions = rb_node_member(node, "if");
    if (!check_action_keys(node, rule->action, error) ||
        !take_read(node, concept, &rule->read, error) ||
        !take_word(node, "route", &rb_route_words, &route, error) ||
        !rb_node_take_bool(node, "clear_out", &rule->clear_out, error) ||
        !take_word(node, "runner", &rb_runner_words, &runner, error) ||
        !take_side(node, &rule->where, error)) {
        return false;
    }
    rule->route = (RbRoute)route;
    rule->runner = (RbRunner)runner;
    return (adjustment.json == NULL ||
            rb_book_term_parse(&adjustment, RB_TERM_ADJUSTMENT, terms, &rule->adjustment,
                               error)) &&
           (conditions.json == NULL || parse_conditions(&conditions, terms, rule, error));
}

static bool parse_rule(const RbNode *node, const GPtrArray *terms, RbConcept *concept,
                       GError **error)
{
    static const char *const keys[] = { "name",   "do",   "read",       "route",
                                        "runner", "side", "adjustment", "clear_out",
                                        "if",     NULL };
    int action = 0;
    if (!rb_node_is_object(node, &(RbKeys){ "a rule", keys }, error) ||
        !need_word(node, "do", &rb_action_words, &action, error)) {
        return false;
    }
    g_autoptr(RbRule) rule = rb_rule_new((RbActionKind)action, 0);
    const RbMember name = { "name", false, 1, NAME_MAX_BYTES };
    if (!rb_node_take_text(node, &name, &rule->name, error) ||
        !parse_rule_body(node, concept, terms, rule, error)) {
        return false;
    }
    g_ptr_array_add(concept->rules, g_steal_pointer(&rule));
    return true;
}

static bool parse_pick(const RbNode *node, RbConcept *concept, GError **error)
{
    static const char *const keys[] = { "by", "cushion_tenths", NULL };
    int kind = 0;
    RbPick pick = { 0 };
    if (!rb_node_is_object(node, &(RbKeys){ "a way to pick the side", keys }, error) ||
        !need_word(node, "by", &rb_pick_words, &kind, error)) {
        return false;
    }
    pick.kind = (RbPickKind)kind;
    const RbNode cushion = rb_node_member(node, "cushion_tenths");
    const bool is_free_access = pick.kind == RB_PICK_FREE_ACCESS;
    if (cushion.json != NULL && !is_free_access) {
        return rb_node_refuse(&cushion, error,
                              "Only free-access has \"cushion_tenths\".");
    }
    const RbMember member = { "cushion_tenths", is_free_access, 0, CUSHION_MAX };
    if (!rb_node_take_int(node, &member, &pick.cushion_tenths, error)) {
        return false;
    }
    g_array_append_val(concept->picks, pick);
    return true;
}

typedef bool (*ParseItem)(const RbNode *node, const GPtrArray *terms, RbConcept *concept,
                          GError **error);

static bool parse_read_item(const RbNode *node, const GPtrArray *terms,
                            RbConcept *concept, GError **error)
{
    (void)terms;
    return parse_read(node, concept, error);
}

static bool parse_pick_item(const RbNode *node, const GPtrArray *terms,
                            RbConcept *concept, GError **error)
{
    (void)terms;
    return parse_pick(node, concept, error);
}

static bool parse_list(const RbNode *object, const char *key, size_t most, ParseItem item,
                       const GPtrArray *terms, RbConcept *concept, GError **error)
{
    const RbNode list = rb_node_member(object, key);
    if (list.json == NULL) {
        return true;
    }
    g_autofree char *what = g_strdup_printf("\"%s\"", key);
    if (!rb_node_is_array(&list, what, most, error)) {
        return false;
    }
    for (size_t i = 0; i < rb_node_size(&list); i++) {
        const RbNode entry = rb_node_item(&list, i);
        if (!item(&entry, terms, concept, error)) {
            return false;
        }
    }
    return true;
}

static bool is_token(const char *text)
{
    if (text[0] == '\0' || text[0] == '-') {
        return false;
    }
    return strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-") == strlen(text);
}

static bool take_token(const RbNode *node, char **token, GError **error)
{
    if (!rb_node_take_text(node, &(RbMember){ "token", true, 1, TOKEN_MAX }, token,
                           error)) {
        return false;
    }
    if (!is_token(*token)) {
        const RbNode found = rb_node_member(node, "token");
        return rb_node_refuse(
            &found, error, "\"token\" must be lower-case letters, digits and hyphens.");
    }
    return true;
}

static RbConcept *parse_concept(const RbNode *node, const GPtrArray *terms,
                                GError **error)
{
    static const char *const keys[] = { "token", "name",  "notes", "full_field",
                                        "reads", "picks", "rules", NULL };
    g_autofree char *token = NULL;
    g_autofree char *name = NULL;
    if (!rb_node_is_object(node, &(RbKeys){ "a concept", keys }, error) ||
        !take_token(node, &token, error) ||
        !rb_node_take_text(node, &(RbMember){ "name", true, 1, NAME_MAX_BYTES }, &name,
                           error)) {
        return NULL;
    }
    g_autoptr(RbConcept) concept = rb_concept_new(token, name);
    if (!rb_node_take_text(node, &(RbMember){ "notes", false, 1, NOTES_MAX, true },
                           &concept->notes, error) ||
        !rb_node_take_bool(node, "full_field", &concept->full_field, error) ||
        !parse_list(node, "reads", RB_READS_MAX, parse_read_item, terms, concept,
                    error) ||
        !parse_list(node, "picks", 8, parse_pick_item, terms, concept, error) ||
        !parse_list(node, "rules", RB_BOOK_RULES_MAX, parse_rule, terms, concept,
                    error)) {
        return NULL;
    }
    return g_steal_pointer(&concept);
}

static bool set_syntax_error(const json_error_t *fault, GError **error)
{
    g_set_error(error, RB_BOOK_ERROR, RB_BOOK_ERROR_SYNTAX,
                "Line %d: this is not JSON: %s.", MAX(fault->line, 1), fault->text);
    return false;
}

/* Loads and measures. root: borrowed by node. */
static bool load(const char *text, size_t length, json_t **root, RbPlaceTree **places,
                 GError **error)
{
    if (length > RB_BOOK_BYTES_MAX) {
        g_set_error(error, RB_BOOK_ERROR, RB_BOOK_ERROR_SYNTAX,
                    "Line 1: the text is %zu bytes long; a playbook is at most %d.",
                    length, RB_BOOK_BYTES_MAX);
        return false;
    }
    json_error_t fault;
    *root = json_loadb(text, length, JSON_REJECT_DUPLICATES, &fault);
    if (*root == NULL) {
        return set_syntax_error(&fault, error);
    }
    *places = rb_place_tree_new(text, length);
    return true;
}

static bool check_format(const RbNode *root, GError **error)
{
    const RbNode format = rb_node_member(root, "format");
    const RbNode version = rb_node_member(root, "version");
    if (g_strcmp0(json_string_value(format.json), "readbreak-playbook") != 0) {
        g_set_error(error, RB_BOOK_ERROR, RB_BOOK_ERROR_FORMAT,
                    "Line %d: this is not a playbook; its \"format\" must be "
                    "\"readbreak-playbook\".",
                    format.place->line);
        return false;
    }
    if (json_integer_value(version.json) != 1) {
        g_set_error(error, RB_BOOK_ERROR, RB_BOOK_ERROR_FORMAT,
                    "Line %d: the playbook's \"version\" must be 1; a newer one needs a "
                    "newer Readbreak.",
                    version.place->line);
        return false;
    }
    return true;
}

static bool add_concept(const RbNode *node, const GPtrArray *terms, GPtrArray *concepts,
                        GError **error)
{
    RbConcept *concept = parse_concept(node, terms, error);
    if (concept == NULL) {
        return false;
    }
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *other = g_ptr_array_index(concepts, i);
        if (strcmp(other->token, concept->token) == 0) {
            rb_node_refuse(node, error, "There is a concept \"%s\" already.",
                           concept->token);
            rb_concept_free(concept);
            return false;
        }
    }
    g_ptr_array_add(concepts, concept);
    return true;
}

static bool parse_book(const RbNode *root, const GPtrArray *terms, GPtrArray *concepts,
                       GError **error)
{
    static const char *const keys[] = { "format", "version", "about", "concepts", NULL };
    const RbNode list = rb_node_member(root, "concepts");
    g_autofree char *about = NULL;
    if (!check_format(root, error) ||
        !rb_node_is_object(root, &(RbKeys){ "a playbook", keys }, error) ||
        !rb_node_take_text(root, &(RbMember){ "about", false, 1, NOTES_MAX, true },
                           &about, error)) {
        return false;
    }
    if (list.json == NULL) {
        return rb_node_refuse(root, error, "\"concepts\" is missing.");
    }
    if (!rb_node_is_array(&list, "\"concepts\"", RB_BOOK_CONCEPTS_MAX, error)) {
        return false;
    }
    for (size_t i = 0; i < rb_node_size(&list); i++) {
        const RbNode item = rb_node_item(&list, i);
        if (!add_concept(&item, terms, concepts, error)) {
            return false;
        }
    }
    return true;
}

bool rb_book_parse(const char *text, size_t length, const GPtrArray *terms,
                   GPtrArray **concepts, GError **error)
{
    g_autoptr(json_t) root = NULL;
    g_autoptr(RbPlaceTree) places = NULL;
    if (!load(text, length, &root, &places, error)) {
        return false;
    }
    g_autoptr(GPtrArray) found =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_concept_free);
    if (!parse_book(&(RbNode){ root, places }, terms, found, error)) {
        return false;
    }
    *concepts = g_steal_pointer(&found);
    return true;
}

RbConcept *rb_book_concept_parse(const char *text, size_t length, const GPtrArray *terms,
                                 GError **error)
{
    g_autoptr(json_t) root = NULL;
    g_autoptr(RbPlaceTree) places = NULL;
    if (!load(text, length, &root, &places, error)) {
        return NULL;
    }
    return parse_concept(&(RbNode){ root, places }, terms, error);
}
