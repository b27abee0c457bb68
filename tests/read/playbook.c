/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "playbook.h"

#include <stdlib.h>
#include <string.h>

#include "suite.h"

static int word(const RbWords *words, const char *token)
{
    int value = 0;
    ck_assert_msg(rb_words_parse(words, token, &value), "no %s is called \"%s\"",
                  words->name, token);
    return value;
}

static RbTermId term(const GPtrArray *terms, RbTermKind kind, const char *token)
{
    const RbTerm *found = rb_vocabulary_find_text(terms, kind, token);
    ck_assert_msg(found != NULL, "no term is called \"%s\"", token);
    return found->id;
}

static int thousandths(const char *text)
{
    return (int)(g_ascii_strtod(text, NULL) * 1000 + 0.5);
}

static void parse_clock(const char *text, RbClock *clock)
{
    if (strchr(text, '/') == NULL) {
        clock->kind = RB_CLOCK_SECONDS;
        clock->ms = thousandths(text);
        return;
    }
    /* gun/3/1, with a play fake gun/3/1/fake; boot/0 */
    g_auto(GStrv) parts = g_strsplit(text, "/", 4);
    clock->kind = RB_CLOCK_FOOTWORK;
    if (g_str_equal(parts[0], "boot") || g_str_equal(parts[0], "sprint")) {
        clock->drop = (RbDrop)word(&rb_drop_words, parts[0]);
        clock->hitches = atoi(parts[1]);
        return;
    }
    clock->fake = parts[2] != NULL && parts[3] != NULL;
    clock->backfield = (RbBackfield)word(&rb_backfield_words, parts[0]);
    clock->steps = atoi(parts[1]);
    clock->hitches = parts[2] != NULL ? atoi(parts[2]) : 0;
}

static void parse_read(char **words, RbConcept *concept)
{
    RbRead *read = rb_read_new(atoi(words[1]), word(&rb_route_words, words[2]));
    for (int i = 3; words[i] != NULL; i++) {
        g_auto(GStrv) pair = g_strsplit(words[i], "=", 2);
        if (strcmp(pair[0], "by") == 0) {
            read->runner = (RbRunner)word(&rb_runner_words, pair[1]);
        } else if (strcmp(pair[0], "clock") == 0) {
            parse_clock(pair[1], &read->clock);
        } else if (strcmp(pair[0], "tol") == 0) {
            read->clock.tolerance_ms = thousandths(pair[1]);
        } else if (strcmp(pair[0], "outlet") == 0) {
            read->outlet = true;
        } else if (strcmp(pair[0], "clear-out") == 0) {
            read->clear_out = true;
        } else if (strcmp(pair[0], "other") == 0) {
            read->side = RB_READ_SIDE_OTHER;
        } else {
            ck_abort_msg("a read has no \"%s\"", words[i]);
        }
    }
    g_ptr_array_add(concept->reads, read);
}

static int64_t parse_value(RbConditionKind kind, const char *text, const GPtrArray *terms)
{
    switch ((int)kind) {
    case RB_IF_SHELL:
        return word(&rb_shell_words, text);
    case RB_IF_COVERAGE:
        return term(terms, RB_TERM_COVERAGE, text).value;
    case RB_IF_FORMATION:
        return term(terms, RB_TERM_FORMATION, text).value;
    case RB_IF_FAMILY:
        return word(&rb_family_words, text);
    case RB_IF_TECHNIQUE:
        return word(&rb_technique_words, text);
    case RB_IF_LEVERAGE:
        return word(&rb_leverage_words, text);
    case RB_IF_SAFETY_OVER:
        return text != NULL ? word(&rb_yes_no_words, text) : RB_YES;
    case RB_IF_HASH:
        return word(&rb_hash_words, text);
    case RB_IF_WIDTH:
        return word(&rb_width_words, text);
    case RB_IF_CUSHION_AT_MOST:
    case RB_IF_CUSHION_AT_LEAST:
    case RB_IF_SPLIT_AT_MOST:
    case RB_IF_SPLIT_AT_LEAST:
        return thousandths(text) / 100;
    case RB_IF_ROTATION:
        return strcmp(text, "toward") == 0;
    case RB_IF_FIELD_SIDE:
    case RB_IF_STRONG_SIDE:
        return text == NULL || strcmp(text, "yes") == 0;
    default:
        return text != NULL ? atoi(text) : 0;
    }
}

static void parse_condition(const char *text, bool negated, const GPtrArray *terms,
                            RbRule *rule)
{
    g_auto(GStrv) halves = g_strsplit(text, ":", 2);
    g_auto(GStrv) name = g_strsplit(halves[0], "@", 2);
    RbCondition condition = { .negated = negated };
    condition.kind = (RbConditionKind)word(&rb_condition_words, name[0]);
    if (name[1] != NULL) {
        g_autofree char *where =
            strcmp(name[1], "other") == 0 ? g_strdup("other-side") : g_strdup(name[1]);
        condition.where = (RbWhere)word(&rb_where_words, where);
    }
    condition.value = parse_value(condition.kind, halves[1], terms);
    g_array_append_val(rule->conditions, condition);
}

static void parse_side(const char *text, RbRule *rule)
{
    rule->where = strcmp(text, "strong") == 0 ? RB_WHERE_READ_SIDE
                  : strcmp(text, "weak") == 0 ? RB_WHERE_OTHER_SIDE
                                              : (RbWhere)word(&rb_where_words, text);
}

static void parse_rule(char **words, const GPtrArray *terms, RbConcept *concept)
{
    RbRule *rule = rb_rule_new((RbActionKind)word(&rb_action_words, words[1]), 0);
    bool in_conditions = false;
    for (int i = 2; words[i] != NULL; i++) {
        if (strcmp(words[i], "if") == 0 || strcmp(words[i], "and") == 0) {
            in_conditions = true;
            continue;
        }
        if (in_conditions) {
            const bool negated = strcmp(words[i], "not") == 0;
            parse_condition(words[negated ? ++i : i], negated, terms, rule);
            continue;
        }
        g_auto(GStrv) pair = g_strsplit(words[i], "=", 2);
        if (strcmp(pair[0], "read") == 0) {
            rule->read = atoi(pair[1]);
        } else if (strcmp(pair[0], "to") == 0) {
            rule->route = (RbRoute)word(&rb_route_words, pair[1]);
        } else if (strcmp(pair[0], "clear-out") == 0) {
            rule->clear_out = true;
        } else if (strcmp(pair[0], "by") == 0) {
            rule->runner = (RbRunner)word(&rb_runner_words, pair[1]);
        } else if (strcmp(pair[0], "side") == 0) {
            parse_side(pair[1], rule);
        } else if (strcmp(pair[0], "adjust") == 0) {
            rule->adjustment = term(terms, RB_TERM_ADJUSTMENT, pair[1]);
        } else {
            ck_abort_msg("a rule has no \"%s\"", words[i]);
        }
    }
    g_ptr_array_add(concept->rules, rule);
}

static void parse_pick(const char *text, RbConcept *concept)
{
    g_auto(GStrv) halves = g_strsplit(text, ":", 2);
    RbPick pick = { (RbPickKind)word(&rb_pick_words, halves[0]), 0 };
    pick.cushion_tenths = halves[1] != NULL ? thousandths(halves[1]) / 100 : 0;
    g_array_append_val(concept->picks, pick);
}

static void free_concept(void *concept)
{
    rb_concept_free(concept);
}

/* The words of a line, without the empty ones that indentation and alignment leave. */
static GStrv words_of(const char *line)
{
    g_autoptr(GStrvBuilder) builder = g_strv_builder_new();
    g_auto(GStrv) pieces = g_strsplit_set(line, " \t", -1);
    for (int i = 0; pieces[i] != NULL; i++) {
        if (pieces[i][0] != '\0') {
            g_strv_builder_add(builder, pieces[i]);
        }
    }
    return g_strv_builder_end(builder);
}

GPtrArray *test_playbook_parse(const char *text, const GPtrArray *terms)
{
    GPtrArray *concepts = g_ptr_array_new_with_free_func(free_concept);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    RbConcept *concept = NULL;
    for (int i = 0; lines[i] != NULL; i++) {
        g_auto(GStrv) words = words_of(lines[i]);
        if (words[0] == NULL || words[0][0] == '#') {
            continue;
        }
        if (strcmp(words[0], "concept") == 0) {
            concept = rb_concept_new(words[1], words[1]);
            concept->full_field = words[2] != NULL;
            g_ptr_array_add(concepts, concept);
        } else if (strcmp(words[0], "read") == 0) {
            parse_read(words, concept);
        } else if (strcmp(words[0], "rule") == 0) {
            parse_rule(words, terms, concept);
        } else if (strcmp(words[0], "pick") == 0) {
            parse_pick(words[1], concept);
        } else {
            ck_abort_msg("line %d: \"%s\" is not understood", i + 1, words[0]);
        }
    }
    return concepts;
}

const RbConcept *test_playbook_find(const GPtrArray *concepts, const char *token)
{
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = g_ptr_array_index(concepts, i);
        if (strcmp(concept->token, token) == 0) {
            return concept;
        }
    }
    ck_abort_msg("no concept is called \"%s\"", token);
    return NULL;
}
