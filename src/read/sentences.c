/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reasons and tags in English. */
#include <string.h>

#include "inquiry.h"

/* clang-format off */
static const RbWord tag_table[] = {
    [RB_TAG_NONE] = { "none", "nothing" },
    [RB_TAG_CONCEPT] = { "concept", "the concept called" },
    [RB_TAG_SIDE_WORKED] = { "side-worked", "the side worked" },
    [RB_TAG_SHELL] = { "shell", "the shell shown" },
    [RB_TAG_ROTATION_SHOWN] = { "rotation-shown", "the rotation hinted" },
    [RB_TAG_TECHNIQUE_SHOWN] = { "technique-shown", "corner's technique shown" },
    [RB_TAG_CUSHION] = { "cushion", "corner's cushion" },
    [RB_TAG_LEVERAGE] = { "leverage", "corner's leverage" },
    [RB_TAG_COVERAGE] = { "coverage", "the coverage" },
    [RB_TAG_ROTATION_PLAYED] = { "rotation-played", "the rotation played" },
    [RB_TAG_TECHNIQUE_PLAYED] = { "technique-played", "corner's technique" },
    [RB_TAG_SAFETY_OVER] = { "safety-over", "half-field safety" },
    [RB_TAG_RUSHERS] = { "rushers", "the number of rushers" },
    [RB_TAG_UNBLOCKED] = { "unblocked", "the unblocked rusher" },
    [RB_TAG_ADJUSTMENT] = { "adjustment", "the adjustment made" },
    [RB_TAG_LOOK] = { "look", "open or covered" },
    [RB_TAG_BALL] = { "ball", "where the ball went" },
    [RB_TAG_RELEASE] = { "release", "the release time" },
    [RB_TAG_PRESSURE] = { "pressure", "the pressure" },
    [RB_TAG_CONTACT] = { "contact", "the contact" },
    [RB_TAG_MOVEMENT] = { "movement", "the movement" },
    [RB_TAG_THROW] = { "throw", "the throw" },
    [RB_TAG_CATCH] = { "catch", "the catch" },
    [RB_TAG_FAULT] = { "fault", "whether anything was outside his control" },
    [RB_TAG_HASH] = { "hash", "the hash" },
    [RB_TAG_DOWN] = { "down", "the down" },
    [RB_TAG_DISTANCE] = { "distance", "the distance" },
    [RB_TAG_WIDTH] = { "width", "the width of the formation" },
    [RB_TAG_FORMATION] = { "formation", "the formation" },
    [RB_TAG_STRONG] = { "strong", "the strong side" },
};
/* clang-format on */
const RbWords rb_tag_words = { "tag", tag_table, G_N_ELEMENTS(tag_table) };

char *rb_tag_text(const RbTag *tag)
{
    const char *label = rb_words_label(&rb_tag_words, (int)tag->kind);
    if (tag->kind == RB_TAG_LOOK) {
        return g_strdup_printf("whether read %d was open", tag->slot);
    }
    if (tag->side == RB_SIDE_UNKNOWN) {
        return g_strdup(label);
    }
    const char *side = tag->side == RB_SIDE_LEFT ? "left" : "right";
    return g_strdup_printf("the %s %s", side, label);
}

static const RbRung *rung_of(const RbOrder *order, int slot)
{
    for (int i = 0; i < order->n; i++) {
        if (order->rungs[i].slot == slot) {
            return &order->rungs[i];
        }
    }
    return NULL;
}

/* "read 2 (dig)". Returns: (transfer full). */
static char *read_text(const RbJudgment *judgment, int slot)
{
    const RbRung *rung = rung_of(&judgment->order, slot);
    if (rung == NULL || rung->route == RB_ROUTE_UNKNOWN) {
        return g_strdup_printf("read %d", slot);
    }
    g_autofree char *route =
        g_ascii_strdown(rb_words_label(&rb_route_words, (int)rung->route), -1);
    return g_strdup_printf("read %d (%s)", slot, route);
}

/* A split call worked to the second concept reads none of the first's. */
static bool reads_first(const RbReadContext *context, const RbOrder *order)
{
    for (int i = 0; i < order->n && context->first != NULL; i++) {
        const RbRead *read = order->rungs[i].read;
        if (rb_concept_find_read(context->first, read->number) == read) {
            return true;
        }
    }
    return false;
}

const RbRule *rb_order_rule(const RbReadContext *context, const RbOrder *order, int index,
                            const RbConcept **owner, int *number)
{
    const RbConcept *concepts[] = { context->first, context->second };
    for (int c = reads_first(context, order) ? 0 : 1; c < 2; c++) {
        const int rules = concepts[c] != NULL ? (int)concepts[c]->rules->len : 0;
        if (index >= rules) {
            index -= rules;
            continue;
        }
        if (owner != NULL) {
            *owner = concepts[c];
        }
        if (number != NULL) {
            *number = index + 1;
        }
        return g_ptr_array_index(concepts[c]->rules, index);
    }
    return NULL;
}

static char *rule_text(const RbReadContext *context, const RbJudgment *judgment,
                       const RbReason *reason)
{
    const RbConcept *owner = NULL;
    const RbRule *rule =
        rb_order_rule(context, &judgment->order, reason->index, &owner, NULL);
    if (rule == NULL) {
        return g_strdup_printf("Rule %d applied.", reason->index + 1);
    }
    if (rule->name[0] != '\0') {
        return g_strdup_printf("The rule \"%s\" applied.", rule->name);
    }
    g_autofree char *action =
        g_ascii_strdown(rb_words_label(&rb_action_words, (int)rule->action), -1);
    return rule->read != 0
               ? g_strdup_printf("A rule of %s applied to read %d: %s.", owner->name,
                                 rule->read, action)
               : g_strdup_printf("A rule of %s applied: %s.", owner->name, action);
}

static char *order_text(const RbJudgment *judgment)
{
    g_autoptr(GString) text = g_string_new("The order in force was ");
    const RbOrder *order = &judgment->order;
    for (int i = 0; i < order->live; i++) {
        g_autofree char *read = read_text(judgment, order->rungs[i].slot);
        g_string_append_printf(text, "%s%s", i > 0 ? ", " : "", read);
        if (order->rungs[i].outlet) {
            g_string_append(text, ", the outlet");
        }
    }
    g_string_append_c(text, '.');
    return g_strdup(text->str);
}

/* "2.43 s", or "an unknown time". Returns: (transfer full). */
static char *seconds(int ms)
{
    if (ms < 0) {
        return g_strdup("a time not tagged");
    }
    return g_strdup_printf("%d.%02d s", ms / 1000, ms % 1000 / 10);
}

static char *release_text(const RbReason *reason)
{
    g_autofree char *at = seconds(reason->ms);
    if (reason->ms < 0 || reason->extra_ms <= 0) {
        return g_steal_pointer(&at);
    }
    return g_strdup_printf("%s, give or take %d.%02d s", at, reason->extra_ms / 1000,
                           reason->extra_ms % 1000 / 10);
}

static char *ball_other_text(const RbReason *reason)
{
    static const char *const went[] = {
        [RB_BALL_READ] = "The ball went to a read that the call does not have",
        [RB_BALL_HOT] = "The ball went hot, though the playbook names no hot read",
        [RB_BALL_OFF_SCRIPT] = "The ball went off script",
        [RB_BALL_SCRAMBLE] = "He ran with it",
        [RB_BALL_SACK] = "He was sacked",
        [RB_BALL_THROWN_AWAY] = "He threw it away",
    };
    if (reason->ms < 0) {
        return g_strdup_printf("%s.", went[reason->value]);
    }
    g_autofree char *at = release_text(reason);
    return g_strdup_printf("%s at %s.", went[reason->value], at);
}

static char *clock_text(const RbJudgment *judgment, const RbReason *reason)
{
    g_autofree char *read = read_text(judgment, reason->slot);
    g_autofree char *at = seconds(reason->ms);
    g_autofree char *extra = seconds(reason->extra_ms);
    return g_strdup_printf("The ball should leave for %s by %s, with a tolerance of %s.",
                           read, at, extra);
}

static char *fault_text(const RbJudgment *judgment, const RbReason *reason)
{
    g_autofree char *fault =
        g_ascii_strdown(rb_words_label(&rb_fault_words, reason->value), -1);
    if (reason->slot == 0) {
        return g_strdup_printf("Outside his control: %s.", fault);
    }
    g_autofree char *read = read_text(judgment, reason->slot);
    return g_strdup_printf("Outside his control: %s on %s.", fault, read);
}

/* Sentences of one read: "%s" is the read. */
static const char *read_sentence(RbReasonKind kind)
{
    switch ((int)kind) {
    case RB_REASON_OPEN:
        return "%s was open.";
    case RB_REASON_COVERED:
        return "%s was covered.";
    case RB_REASON_DEAD:
        return "%s was not to be thrown against this picture.";
    default: /* RB_REASON_HOT */
        return "%s was hot: a rusher was free.";
    }
}

static char *about_read(const RbJudgment *judgment, const RbReason *reason)
{
    g_autofree char *read = read_text(judgment, reason->slot);
    read[0] = g_ascii_toupper(read[0]);
    g_auto(GStrv) parts = g_strsplit(read_sentence(reason->kind), "%s", 2);
    return g_strconcat(parts[0], read, parts[1], NULL);
}

char *rb_reason_text(const RbReadContext *context, const RbJudgment *judgment,
                     const RbReason *reason)
{
    g_autofree char *part = NULL;
    g_autofree char *time = NULL;
    switch (reason->kind) {
    case RB_REASON_RULE:
        return rule_text(context, judgment, reason);
    case RB_REASON_ORDER:
        return order_text(judgment);
    case RB_REASON_OPEN:
    case RB_REASON_COVERED:
    case RB_REASON_DEAD:
    case RB_REASON_HOT:
        return about_read(judgment, reason);
    case RB_REASON_NOTHING_OPEN:
        return g_strdup("No read was open.");
    case RB_REASON_BALL:
        part = read_text(judgment, reason->slot);
        time = release_text(reason);
        return g_strdup_printf("The ball went to %s at %s.", part, time);
    case RB_REASON_BALL_OTHER:
        return ball_other_text(reason);
    case RB_REASON_CLOCK:
        return clock_text(judgment, reason);
    case RB_REASON_PRESSURE:
        time = seconds(reason->ms);
        return g_strdup_printf("Pressure came at %s.", time);
    case RB_REASON_ADJUSTMENT:
        return g_strdup_printf("The picture called for the adjustment \"%s\", and it was "
                               "not made.",
                               context->terms != NULL
                                   ? rb_vocabulary_name(context->terms, reason->term)
                                   : "?");
    case RB_REASON_SIDE:
        return g_strdup_printf("The picture shown picks the %s side.",
                               reason->side == RB_SIDE_LEFT ? "left" : "right");
    case RB_REASON_FAULT:
        return fault_text(judgment, reason);
    case RB_REASON_SETTLE:
        part = rb_tag_text(&reason->tag);
        return g_strdup_printf("Not enough is tagged: what would settle most is %s.",
                               part);
    case RB_REASON_NO_CONCEPT:
        break;
    }
    return g_strdup("No concept of the playbook is tagged.");
}
