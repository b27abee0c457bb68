/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reasons and tags in words: whole sentences with gaps, so that a translation can order them as its
 * grammar wants. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/text.h"

#include "inquiry.h"

/* clang-format off */
static const RbWord tag_table[] = {
    [RB_TAG_NONE] = { "none", N_("nothing") },
    [RB_TAG_CONCEPT] = { "concept", N_("the concept called") },
    [RB_TAG_SIDE_WORKED] = { "side-worked", N_("the side worked") },
    [RB_TAG_SHELL] = { "shell", N_("the shell shown") },
    [RB_TAG_ROTATION_SHOWN] = { "rotation-shown", N_("the rotation hinted") },
    [RB_TAG_TECHNIQUE_SHOWN] = { "technique-shown", N_("corner's technique shown") },
    [RB_TAG_CUSHION] = { "cushion", N_("corner's cushion") },
    [RB_TAG_SPLIT] = { "split", N_("outside receiver's split") },
    [RB_TAG_LEVERAGE] = { "leverage", N_("corner's leverage") },
    [RB_TAG_COVERAGE] = { "coverage", N_("the coverage") },
    [RB_TAG_ROTATION_PLAYED] = { "rotation-played", N_("the rotation played") },
    [RB_TAG_TECHNIQUE_PLAYED] = { "technique-played", N_("corner's technique") },
    [RB_TAG_SAFETY_OVER] = { "safety-over", N_("half-field safety") },
    [RB_TAG_RUSHERS] = { "rushers", N_("the number of rushers") },
    [RB_TAG_UNBLOCKED] = { "unblocked", N_("the unblocked rusher") },
    [RB_TAG_ADJUSTMENT] = { "adjustment", N_("the adjustment made") },
    [RB_TAG_LOOK] = { "look", N_("open or covered") },
    [RB_TAG_BALL] = { "ball", N_("where the ball went") },
    [RB_TAG_RELEASE] = { "release", N_("the release time") },
    [RB_TAG_PRESSURE] = { "pressure", N_("the pressure") },
    [RB_TAG_CONTACT] = { "contact", N_("the contact") },
    [RB_TAG_MOVEMENT] = { "movement", N_("the movement") },
    [RB_TAG_THROW] = { "throw", N_("the throw") },
    [RB_TAG_CATCH] = { "catch", N_("the catch") },
    [RB_TAG_FAULT] = { "fault", N_("whether anything was outside his control") },
    [RB_TAG_HASH] = { "hash", N_("the hash") },
    [RB_TAG_DOWN] = { "down", N_("the down") },
    [RB_TAG_DISTANCE] = { "distance", N_("the distance") },
    [RB_TAG_WIDTH] = { "width", N_("the width of the formation") },
    [RB_TAG_FORMATION] = { "formation", N_("the formation") },
    [RB_TAG_STRONG] = { "strong", N_("the strong side") },
};
/* clang-format on */
const RbWords rb_tag_words = { N_("tag"), tag_table, G_N_ELEMENTS(tag_table) };

/* Of the tags that either side has one of: left, right. */
static const char *side_label(const RbTag *tag)
{
    const bool left = tag->side == RB_SIDE_LEFT;
    switch ((int)tag->kind) {
    case RB_TAG_TECHNIQUE_SHOWN:
        return left ? _("the left corner's technique shown")
                    : _("the right corner's technique shown");
    case RB_TAG_CUSHION:
        return left ? _("the left corner's cushion") : _("the right corner's cushion");
    case RB_TAG_SPLIT:
        return left ? _("the split of the outside receiver on the left")
                    : _("the split of the outside receiver on the right");
    case RB_TAG_LEVERAGE:
        return left ? _("the left corner's leverage") : _("the right corner's leverage");
    case RB_TAG_TECHNIQUE_PLAYED:
        return left ? _("the left corner's technique")
                    : _("the right corner's technique");
    default: /* RB_TAG_SAFETY_OVER */
        return left ? _("the left half-field safety") : _("the right half-field safety");
    }
}

char *rb_tag_text(const RbTag *tag)
{
    if (tag->kind == RB_TAG_LOOK) {
        return g_strdup_printf(_("whether read %d was open"), tag->slot);
    }
    return g_strdup(tag->side == RB_SIDE_UNKNOWN
                        ? rb_words_label(&rb_tag_words, (int)tag->kind)
                        : side_label(tag));
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

/* "read 2 (dig)", or "Read 2 (dig)" where a sentence begins. Returns: (transfer full). */
static char *read_text(const RbJudgment *judgment, int slot, bool begins)
{
    const RbRung *rung = rung_of(&judgment->order, slot);
    g_autofree char *number = g_strdup_printf("%d", slot);
    if (rung == NULL || rung->route == RB_ROUTE_UNKNOWN) {
        return rb_text_fill(begins ? _("Read {slot}") : _("read {slot}"), "slot", number,
                            NULL);
    }
    return rb_text_fill(begins ? _("Read {slot} ({route})") : _("read {slot} ({route})"),
                        "slot", number, "route",
                        rb_words_said(&rb_route_words, (int)rung->route), NULL);
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
        return g_strdup_printf(_("Rule %d applied."), reason->index + 1);
    }
    if (rule->name[0] != '\0') {
        return rb_text_fill(_("The rule \"{name}\" applied."), "name", rule->name, NULL);
    }
    const char *action = rb_words_said(&rb_action_words, (int)rule->action);
    if (rule->read == 0) {
        return rb_text_fill(_("A rule of {concept} applied: {action}."), "concept",
                            owner->name, "action", action, NULL);
    }
    g_autofree char *read = g_strdup_printf("%d", rule->read);
    return rb_text_fill(_("A rule of {concept} applied to read {read}: {action}."),
                        "concept", owner->name, "read", read, "action", action, NULL);
}

static char *order_text(const RbJudgment *judgment)
{
    const RbOrder *order = &judgment->order;
    g_autofree char *reads = g_strdup("");
    for (int i = 0; i < order->live; i++) {
        g_autofree char *before = reads;
        g_autofree char *read = read_text(judgment, order->rungs[i].slot, false);
        g_autofree char *next =
            order->rungs[i].outlet
                ? rb_text_fill(_("{read}, the outlet"), "read", read, NULL)
                : g_steal_pointer(&read);
        reads = i == 0 ? g_steal_pointer(&next)
                       : rb_text_fill(_("{before}, {next}"), "before", before, "next",
                                      next, NULL);
    }
    return rb_text_fill(_("The order in force was {reads}."), "reads", reads, NULL);
}

/* "2.43 s". Returns: (transfer full). */
static char *seconds(int ms)
{
    return g_strdup_printf(_("%d.%02d s"), ms / 1000, ms % 1000 / 10);
}

/* "2.43 s, give or take 0.05 s". Returns: (transfer full) (nullable): NULL when not tagged. */
static char *release_text(const RbReason *reason)
{
    if (reason->ms < 0) {
        return NULL;
    }
    g_autofree char *at = seconds(reason->ms);
    if (reason->extra_ms <= 0) {
        return g_steal_pointer(&at);
    }
    g_autofree char *extra = seconds(reason->extra_ms);
    return rb_text_fill(_("{time}, give or take {extra}"), "time", at, "extra", extra,
                        NULL);
}

static char *ball_text(const RbJudgment *judgment, const RbReason *reason)
{
    g_autofree char *read = read_text(judgment, reason->slot, false);
    g_autofree char *time = release_text(reason);
    return time == NULL ? rb_text_fill(_("The ball went to {read}; when is not tagged."),
                                       "read", read, NULL)
                        : rb_text_fill(_("The ball went to {read} at {time}."), "read",
                                       read, "time", time, NULL);
}

static char *ball_other_text(const RbReason *reason)
{
    /* With the time, then without. */
    static const char *const went[][2] = {
        [RB_BALL_READ] = { N_("The ball went to a read that the call does not have at "
                              "{time}."),
                           N_("The ball went to a read that the call does not have.") },
        [RB_BALL_HOT] = { N_("The ball went hot at {time}, though the playbook names no "
                             "hot read."),
                          N_("The ball went hot, though the playbook names no hot "
                             "read.") },
        [RB_BALL_OFF_SCRIPT] = { N_("The ball went off script at {time}."),
                                 N_("The ball went off script.") },
        [RB_BALL_SCRAMBLE] = { N_("He ran with it at {time}."), N_("He ran with it.") },
        [RB_BALL_SACK] = { N_("He was sacked at {time}."), N_("He was sacked.") },
        [RB_BALL_THROWN_AWAY] = { N_("He threw it away at {time}."),
                                  N_("He threw it away.") },
    };
    g_autofree char *time = release_text(reason);
    return rb_text_fill(_(went[reason->value][time == NULL]), "time",
                        time != NULL ? time : "", NULL);
}

static char *clock_text(const RbJudgment *judgment, const RbReason *reason)
{
    g_autofree char *read = read_text(judgment, reason->slot, false);
    g_autofree char *at = seconds(reason->ms);
    g_autofree char *extra = seconds(reason->extra_ms);
    return rb_text_fill(
        _("The ball should leave for {read} by {time}, with a tolerance of "
          "{extra}."),
        "read", read, "time", at, "extra", extra, NULL);
}

static char *pressure_text(const RbReason *reason)
{
    if (reason->ms < 0) {
        return g_strdup(_("Pressure came; when is not tagged."));
    }
    g_autofree char *time = seconds(reason->ms);
    return rb_text_fill(_("Pressure came at {time}."), "time", time, NULL);
}

static char *fault_text(const RbJudgment *judgment, const RbReason *reason)
{
    const char *fault = rb_words_said(&rb_fault_words, reason->value);
    if (reason->slot == 0) {
        return rb_text_fill(_("Outside his control: {fault}."), "fault", fault, NULL);
    }
    g_autofree char *read = read_text(judgment, reason->slot, false);
    return rb_text_fill(_("Outside his control: {fault} on {read}."), "fault", fault,
                        "read", read, NULL);
}

/* Sentences that begin with a read. */
static const char *read_sentence(RbReasonKind kind)
{
    switch ((int)kind) {
    case RB_REASON_OPEN:
        return _("{read} was open.");
    case RB_REASON_COVERED:
        return _("{read} was covered.");
    case RB_REASON_DEAD:
        return _("{read} was not to be thrown against this picture.");
    default: /* RB_REASON_HOT */
        return _("{read} was hot: a rusher was free.");
    }
}

static char *about_read(const RbJudgment *judgment, const RbReason *reason)
{
    g_autofree char *read = read_text(judgment, reason->slot, true);
    return rb_text_fill(read_sentence(reason->kind), "read", read, NULL);
}

static char *adjustment_text(const RbReadContext *context, const RbReason *reason)
{
    const char *name =
        context->terms != NULL ? rb_vocabulary_name(context->terms, reason->term) : "?";
    return rb_text_fill(
        _("The picture called for the adjustment \"{name}\", and it was not "
          "made."),
        "name", name, NULL);
}

const char *rb_picked_text(RbSide side, RbPickedBy by)
{
    /* Left, then right. */
    static const char *const picked[][2] = {
        [RB_PICKED_BY_NOTHING] = { N_("The picture shown picks the left side."),
                                   N_("The picture shown picks the right side.") },
        [RB_PICKED_BY_RULE] = { N_("A rule of the playbook picks the left side."),
                                N_("A rule of the playbook picks the right side.") },
        [RB_PICKED_BY_FREE_ACCESS] = { N_("The picture shown picks the left side: free "
                                          "access there alone."),
                                       N_("The picture shown picks the right side: free "
                                          "access there alone.") },
        [RB_PICKED_BY_ROTATION] = { N_("The picture shown picks the left side: away from "
                                       "the rotation."),
                                    N_("The picture shown picks the right side: away from "
                                       "the rotation.") },
        [RB_PICKED_BY_FIELD] = { N_("The picture shown picks the left side: the field."),
                                 N_("The picture shown picks the right side: the field.") },
        [RB_PICKED_BY_BOUNDARY] = { N_("The picture shown picks the left side: the "
                                       "boundary."),
                                    N_("The picture shown picks the right side: the "
                                       "boundary.") },
    };
    return _(picked[by][side == RB_SIDE_RIGHT]);
}

/* "6.2 ± 0.4 yd". Returns: (transfer full). */
static char *measured_text(const RbReason *reason)
{
    return g_strdup_printf(_("%d.%d ± %d.%d yd"), reason->value / 10, reason->value % 10,
                           reason->extra / 10, reason->extra % 10);
}

/* Of a side: left, then right. */
static char *fill_measured(const char *const patterns[2], RbSide side,
                           const RbReason *reason)
{
    g_autofree char *measured = measured_text(reason);
    return rb_text_fill(_(patterns[side == RB_SIDE_RIGHT]), "measured", measured, NULL);
}

static char *cushion_text(const RbReason *reason)
{
    static const char *const patterns[] = {
        N_("The left corner's cushion was measured {measured}."),
        N_("The right corner's cushion was measured {measured}."),
    };
    return fill_measured(patterns, reason->side, reason);
}

static char *split_text(const RbReason *reason)
{
    static const char *const patterns[] = {
        N_("The split of the outside receiver on the left was measured {measured}."),
        N_("The split of the outside receiver on the right was measured {measured}."),
    };
    return fill_measured(patterns, reason->side, reason);
}

/* A limit of the playbook lies inside the plus or minus. */
static char *settle_measured_text(const RbReason *reason)
{
    static const char *const cushions[] = {
        N_("The left corner's cushion was measured {measured}, and a limit of the "
           "playbook lies within that: the verdict waits for a person to say."),
        N_("The right corner's cushion was measured {measured}, and a limit of the "
           "playbook lies within that: the verdict waits for a person to say."),
    };
    static const char *const splits[] = {
        N_("The split of the outside receiver on the left was measured {measured}, and a "
           "limit of the playbook lies within that: the verdict waits for a person to "
           "say."),
        N_("The split of the outside receiver on the right was measured {measured}, and a "
           "limit of the playbook lies within that: the verdict waits for a person to "
           "say."),
    };
    return fill_measured(reason->tag.kind == RB_TAG_CUSHION ? cushions : splits,
                         reason->tag.side, reason);
}

static char *settle_text(const RbReason *reason)
{
    const bool in_yards =
        reason->tag.kind == RB_TAG_CUSHION || reason->tag.kind == RB_TAG_SPLIT;
    if (in_yards && reason->extra > 0) {
        return settle_measured_text(reason);
    }
    g_autofree char *tag = rb_tag_text(&reason->tag);
    return rb_text_fill(_("Not enough is tagged: what would settle most is {tag}."),
                        "tag", tag, NULL);
}

char *rb_reason_text(const RbReadContext *context, const RbJudgment *judgment,
                     const RbReason *reason)
{
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
        return g_strdup(_("No read was open."));
    case RB_REASON_BALL:
        return ball_text(judgment, reason);
    case RB_REASON_BALL_OTHER:
        return ball_other_text(reason);
    case RB_REASON_CLOCK:
        return clock_text(judgment, reason);
    case RB_REASON_PRESSURE:
        return pressure_text(reason);
    case RB_REASON_ADJUSTMENT:
        return adjustment_text(context, reason);
    case RB_REASON_SIDE:
        return g_strdup(rb_picked_text(reason->side, (RbPickedBy)reason->value));
    case RB_REASON_FAULT:
        return fault_text(judgment, reason);
    case RB_REASON_CUSHION:
        return cushion_text(reason);
    case RB_REASON_SPLIT:
        return split_text(reason);
    case RB_REASON_SETTLE:
        return settle_text(reason);
    case RB_REASON_NO_CONCEPT:
        break;
    }
    return g_strdup(_("No concept of the playbook is tagged."));
}
