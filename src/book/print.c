/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keys always come in one order, and what has its ordinary value is left out, so the same
 * concepts give the same bytes. */
#include <stdlib.h>
#include <string.h>

#include "terms.h"

static void set_text(json_t *object, const char *key, const char *text)
{
    if (text != NULL && text[0] != '\0') {
        json_object_set_new(object, key, json_string(text));
    }
}

static void set_flag(json_t *object, const char *key, bool value)
{
    if (value) {
        json_object_set_new(object, key, json_true());
    }
}

static void set_int(json_t *object, const char *key, int64_t value)
{
    json_object_set_new(object, key, json_integer(value));
}

static void set_word(json_t *object, const char *key, const RbWords *words, int value)
{
    json_object_set_new(object, key, json_string(rb_words_token(words, value)));
}

static void print_drop(json_t *object, const RbClock *clock)
{
    if (clock->drop != RB_DROP_STRAIGHT) {
        set_word(object, "drop", &rb_drop_words, (int)clock->drop);
        return;
    }
    set_word(object, "backfield", &rb_backfield_words, (int)clock->backfield);
    set_int(object, "steps", clock->steps);
    if (clock->fake) {
        json_object_set_new(object, "fake", json_true());
    }
}

static json_t *print_clock(const RbClock *clock)
{
    json_t *object = json_object();
    switch (clock->kind) {
    case RB_CLOCK_UNKNOWN:
        break;
    case RB_CLOCK_SECONDS:
        set_int(object, "ms", clock->ms);
        break;
    case RB_CLOCK_FOOTWORK:
        print_drop(object, clock);
        set_int(object, "hitches", clock->hitches);
        break;
    }
    if (clock->tolerance_ms != 0) {
        set_int(object, "tolerance_ms", clock->tolerance_ms);
    }
    return object;
}

static json_t *print_landmark(const RbRead *read)
{
    json_t *object = json_object();
    set_word(object, "from", &rb_landmark_words, (int)read->landmark_from);
    set_int(object, "tenths", read->landmark_tenths);
    return object;
}

static json_t *print_points(const RbRead *read)
{
    json_t *list = json_array();
    for (int i = 0; i < read->n_points; i++) {
        json_t *point = json_object();
        set_int(point, "deep_tenths", read->points[i].deep_tenths);
        set_int(point, "out_tenths", read->points[i].out_tenths);
        json_array_append_new(list, point);
    }
    return list;
}

static json_t *print_read(const RbRead *read)
{
    json_t *object = json_object();
    set_int(object, "number", read->number);
    set_word(object, "route", &rb_route_words, (int)read->route);
    if (read->runner != RB_RUNNER_UNKNOWN) {
        set_word(object, "runner", &rb_runner_words, (int)read->runner);
    }
    if (read->side != RB_READ_SIDE_SAME) {
        set_word(object, "side", &rb_read_side_words, (int)read->side);
    }
    if (read->depth_yd != 0) {
        set_int(object, "depth_yd", read->depth_yd);
    }
    set_text(object, "landmark", read->landmark);
    if (read->landmark_from != RB_FROM_NONE) {
        json_object_set_new(object, "landmark_at", print_landmark(read));
    }
    if (read->route == RB_ROUTE_DRAWN && read->n_points > 0) {
        json_object_set_new(object, "points", print_points(read));
    }
    set_text(object, "key", read->key);
    set_flag(object, "clear_out", read->clear_out);
    set_flag(object, "outlet", read->outlet);
    if (read->clock.kind != RB_CLOCK_UNKNOWN || read->clock.tolerance_ms != 0) {
        json_object_set_new(object, "clock", print_clock(&read->clock));
    }
    return object;
}

static json_t *print_value(const RbCondition *condition, const GPtrArray *terms)
{
    const RbConditionForm *form = rb_book_condition_form(condition->kind);
    switch (form->form) {
    case RB_FORM_NONE:
        break;
    case RB_FORM_WORD:
        return json_string(rb_words_token(form->words, (int)condition->value));
    case RB_FORM_NUMBER:
        return json_integer(condition->value);
    case RB_FORM_FLAG:
        return json_string(condition->value != 0 ? form->yes : form->no);
    case RB_FORM_TERM: {
        g_autofree char *token =
            rb_book_term_print((RbTermId){ condition->value }, form->term, terms);
        return json_string(token);
    }
    }
    return NULL;
}

static json_t *print_condition(const RbCondition *condition, const GPtrArray *terms)
{
    json_t *object = json_object();
    set_word(object, "that", &rb_condition_words, (int)condition->kind);
    if (rb_book_condition_form(condition->kind)->sided &&
        condition->where != RB_WHERE_READ_SIDE) {
        set_word(object, "where", &rb_where_words, (int)condition->where);
    }
    set_flag(object, "not", condition->negated);
    json_t *value = print_value(condition, terms);
    if (value != NULL) {
        json_object_set_new(object, "is", value);
    }
    return object;
}

static void print_action(json_t *object, const RbRule *rule, const GPtrArray *terms)
{
    static const char *const sides[] = { "strong", "weak", "left", "right" };
    g_autofree char *adjustment = NULL;
    switch (rule->action) {
    case RB_DO_CONVERT:
        set_word(object, "route", &rb_route_words, (int)rule->route);
        set_flag(object, "clear_out", rule->clear_out);
        break;
    case RB_DO_RUNNER:
        set_word(object, "runner", &rb_runner_words, (int)rule->runner);
        break;
    case RB_DO_SIDE:
        set_text(object, "side", sides[rule->where]);
        break;
    case RB_DO_REQUIRE_ADJUSTMENT:
        adjustment = rb_book_term_print(rule->adjustment, RB_TERM_ADJUSTMENT, terms);
        set_text(object, "adjustment", adjustment);
        break;
    case RB_DO_DROP:
    case RB_DO_FRONT:
    case RB_DO_HOT:
        break;
    }
}

static json_t *print_rule(const RbRule *rule, const GPtrArray *terms)
{
    json_t *object = json_object();
    set_text(object, "name", rule->name);
    set_word(object, "do", &rb_action_words, (int)rule->action);
    if (rule->read != 0 && rule->action != RB_DO_SIDE) {
        set_int(object, "read", rule->read);
    }
    print_action(object, rule, terms);
    json_t *conditions = json_array();
    for (guint i = 0; i < rule->conditions->len; i++) {
        json_array_append_new(
            conditions,
            print_condition(&g_array_index(rule->conditions, RbCondition, i), terms));
    }
    if (json_array_size(conditions) > 0) {
        json_object_set(object, "if", conditions);
    }
    json_decref(conditions);
    return object;
}

static json_t *print_pick(const RbPick *pick)
{
    json_t *object = json_object();
    set_word(object, "by", &rb_pick_words, (int)pick->kind);
    if (pick->kind == RB_PICK_FREE_ACCESS) {
        set_int(object, "cushion_tenths", pick->cushion_tenths);
    }
    return object;
}

/* An empty list is left out. */
static void set_list(json_t *object, const char *key, json_t *list)
{
    if (json_array_size(list) > 0) {
        json_object_set(object, key, list);
    }
    json_decref(list);
}

static json_t *print_concept(const RbConcept *concept, const GPtrArray *terms)
{
    json_t *object = json_object();
    set_text(object, "token", concept->token);
    set_text(object, "name", concept->name);
    set_text(object, "notes", concept->notes);
    set_flag(object, "full_field", concept->full_field);
    set_flag(object, "hidden", concept->hidden);
    json_t *reads = json_array();
    for (guint i = 0; i < concept->reads->len; i++) {
        json_array_append_new(reads, print_read(g_ptr_array_index(concept->reads, i)));
    }
    set_list(object, "reads", reads);
    json_t *picks = json_array();
    for (guint i = 0; i < concept->picks->len; i++) {
        json_array_append_new(picks,
                              print_pick(&g_array_index(concept->picks, RbPick, i)));
    }
    set_list(object, "picks", picks);
    json_t *rules = json_array();
    for (guint i = 0; i < concept->rules->len; i++) {
        json_array_append_new(rules,
                              print_rule(g_ptr_array_index(concept->rules, i), terms));
    }
    set_list(object, "rules", rules);
    return object;
}

/* Takes the value. */
static char *dump(json_t *value)
{
    char *text = json_dumps(value, JSON_INDENT(2));
    json_decref(value);
    g_assert(text != NULL);
    char *whole = g_strconcat(text, "\n", NULL);
    free(text);
    return whole;
}

char *rb_book_concept_print(const RbConcept *concept, const GPtrArray *terms)
{
    return dump(print_concept(concept, terms));
}

char *rb_book_print(const GPtrArray *concepts, const GPtrArray *terms)
{
    json_t *root = json_object();
    set_text(root, "format", "readbreak-playbook");
    set_int(root, "version", 1);
    json_t *list = json_array();
    for (guint i = 0; i < concepts->len; i++) {
        json_array_append_new(list, print_concept(g_ptr_array_index(concepts, i), terms));
    }
    json_object_set_new(root, "concepts", list);
    return dump(root);
}
