/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <stdarg.h>

#include "chain-private.h"

void rb_chain_add(GPtrArray *findings, const RbSnap *snap, RbChainField field,
                  int64_t expected, int64_t found, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    g_autofree char *text = g_strdup_vprintf(g_dgettext(GETTEXT_PACKAGE, format), args);
    va_end(args);
    RbFinding *finding = g_new0(RbFinding, 1);
    finding->snap = snap->id;
    finding->number = snap->number;
    finding->field = field;
    finding->expected = expected;
    finding->found = found;
    finding->sentence = g_strdup_printf(_("Snap %d: %s."), snap->number, text);
    g_ptr_array_add(findings, finding);
}

static void add_value(GPtrArray *findings, const RbChainLink *link, const char *what,
                      int64_t expected, int64_t found)
{
    rb_chain_add(findings, link->snap, RB_CHAIN_VALUE, expected, found,
                 "the %s cannot be %d; the nearest it can be is %d", what, (int)found,
                 (int)expected);
}

/* A field with its range and the value that says that it is not known. */
static void check_range(GPtrArray *findings, const RbChainLink *link, const char *what,
                        int *value, int low, int high, int unknown)
{
    if (*value == unknown || (*value >= low && *value <= high)) {
        return;
    }
    add_value(findings, link, what, CLAMP(*value, low, high), *value);
    *value = unknown;
}

static void check_ranges(RbChainLink *link, RbRules rules, GPtrArray *findings)
{
    RbSituation *s = &link->facts.situation;
    /* Quarters of 12 minutes in high school, 15 otherwise: the codes' rule 3, from memory. */
    const int clock_max = rules == RB_RULES_HIGH_SCHOOL ? 720 : 900;
    const bool has_downs = s->phase == RB_PHASE_SCRIMMAGE;
    check_range(findings, link, _("quarter"), &s->quarter, 1, 14, 0);
    check_range(findings, link, _("clock in seconds"), &s->clock_s, 0, clock_max, -1);
    if (has_downs) {
        check_range(findings, link, _("down"), &s->down, 1, 4, 0);
        check_range(findings, link, _("distance"), &s->distance, 1, 99, 0);
    } else {
        check_range(findings, link, _("down of a try or free kick"), &s->down, 0, 0, 0);
    }
    check_range(findings, link, _("spot in yards to goal"), &s->yards_to_goal, 1, 99, 0);
    check_range(findings, link, _("offense's score"), &s->score_offense, 0, 250, -1);
    check_range(findings, link, _("defense's score"), &s->score_defense, 0, 250, -1);
    check_range(findings, link, _("number of time-outs"), &link->facts.timeouts_offense,
                0, 3, -1);
    check_range(findings, link, _("number of time-outs"), &link->facts.timeouts_defense,
                0, 3, -1);
    if (link->snap->number < 1) {
        add_value(findings, link, _("number"), 1, link->snap->number);
    }
}

static void check_penalties(const RbChainLink *link, GPtrArray *findings)
{
    const GArray *penalties = link->snap->penalties;
    for (guint i = 0; i < penalties->len; i++) {
        RbPenalty penalty = g_array_index(penalties, RbPenalty, i);
        check_range(findings, link, _("yards of a penalty"), &penalty.yards, 0, 99, 0);
        check_range(findings, link, _("spot of a foul"), &penalty.spot, 1, 99, 0);
    }
}

#define BIT(result) (1u << (result))

/* The results a kind of play can have; all bits where anything goes. */
static unsigned allowed_results(RbPlay play)
{
    const unsigned always = BIT(RB_RESULT_UNKNOWN) | BIT(RB_RESULT_NO_PLAY);
    const unsigned pass = always | BIT(RB_RESULT_COMPLETE) | BIT(RB_RESULT_INCOMPLETE) |
                          BIT(RB_RESULT_INTERCEPTED) | BIT(RB_RESULT_SACK) |
                          BIT(RB_RESULT_SCRAMBLE) | BIT(RB_RESULT_THROWN_AWAY);
    switch (play) {
    case RB_PLAY_DROPBACK:
    case RB_PLAY_QUICK:
    case RB_PLAY_ACTION:
    case RB_PLAY_BOOT:
    case RB_PLAY_SPRINT_OUT:
    case RB_PLAY_SCREEN:
        return pass;
    case RB_PLAY_RUN_PASS_OPTION:
        return pass | BIT(RB_RESULT_RUN);
    case RB_PLAY_RUN:
    case RB_PLAY_KNEEL:
        return always | BIT(RB_RESULT_RUN);
    case RB_PLAY_SPIKE:
        return always | BIT(RB_RESULT_INCOMPLETE);
    case RB_PLAY_PUNT:
        return always | BIT(RB_RESULT_KICKED);
    case RB_PLAY_KICKOFF:
        return always | BIT(RB_RESULT_KICKED);
    case RB_PLAY_FIELD_GOAL:
        return always | BIT(RB_RESULT_KICK_GOOD) | BIT(RB_RESULT_KICK_MISSED);
    case RB_PLAY_UNKNOWN:
    case RB_PLAY_OTHER:
        break;
    }
    return ~0u;
}

static void check_result(RbChainLink *link, GPtrArray *findings)
{
    RbSnap *facts = &link->facts;
    if ((allowed_results(facts->play) & BIT(facts->result)) != 0) {
        return;
    }
    rb_chain_add(
        findings, link->snap, RB_CHAIN_VALUE, RB_RESULT_UNKNOWN, facts->result,
        "a play of kind \"%s\" cannot have the result \"%s\"; correct one of them",
        rb_words_label(&rb_play_words, (int)facts->play),
        rb_words_label(&rb_result_words, (int)facts->result));
    facts->result = RB_RESULT_UNKNOWN;
}

static bool can_score_with(RbResult result)
{
    const unsigned no = BIT(RB_RESULT_INCOMPLETE) | BIT(RB_RESULT_INTERCEPTED) |
                        BIT(RB_RESULT_SACK) | BIT(RB_RESULT_THROWN_AWAY) |
                        BIT(RB_RESULT_KICK_GOOD);
    return (no & BIT(result)) == 0;
}

static bool ran_or_caught(RbResult result)
{
    return result == RB_RESULT_COMPLETE || result == RB_RESULT_RUN ||
           result == RB_RESULT_SCRAMBLE;
}

static void add_gain(RbChainLink *link, GPtrArray *findings, int expected,
                     const char *why)
{
    rb_chain_add(findings, link->snap, RB_CHAIN_VALUE, expected, link->facts.gain,
                 "the gain should be %d %s, but is %d", expected, why, link->facts.gain);
    link->facts.gain = expected;
}

/* The gain against the result and the ending. A lost ball or a kick can end anywhere. */
static void check_gain(RbChainLink *link, GPtrArray *findings)
{
    RbSnap *facts = &link->facts;
    const int spot = facts->situation.yards_to_goal;
    const bool lost = facts->ending == RB_ENDING_FUMBLE_LOST ||
                      facts->ending == RB_ENDING_TOUCHDOWN_AGAINST;
    if (facts->has_gain != RB_YES) {
        return;
    }
    if (facts->result == RB_RESULT_INCOMPLETE || facts->result == RB_RESULT_THROWN_AWAY) {
        if (facts->gain != 0) {
            add_gain(link, findings, 0, _("on a pass that was not caught"));
        }
    } else if (facts->result == RB_RESULT_SACK && facts->gain > 0) {
        add_gain(link, findings, 0, _("or less on a sack"));
        facts->has_gain = RB_NO;
    } else if (spot == 0 || lost || facts->situation.phase != RB_PHASE_SCRIMMAGE) {
        return;
    } else if (ran_or_caught(facts->result) && facts->gain != spot &&
               (facts->ending == RB_ENDING_TOUCHDOWN || facts->gain > spot)) {
        add_gain(link, findings, spot, _("to the goal line"));
        facts->ending = RB_ENDING_TOUCHDOWN;
    }
}

static void add_ending(RbChainLink *link, GPtrArray *findings, RbEnding expected,
                       const char *why)
{
    rb_chain_add(findings, link->snap, RB_CHAIN_VALUE, expected, link->facts.ending,
                 "the ending should be \"%s\" %s, but is \"%s\"",
                 rb_words_label(&rb_ending_words, (int)expected), why,
                 rb_words_label(&rb_ending_words, (int)link->facts.ending));
    link->facts.ending = expected;
}

static void check_ending(RbChainLink *link, GPtrArray *findings)
{
    RbSnap *facts = &link->facts;
    if (facts->ending == RB_ENDING_TOUCHDOWN && !can_score_with(facts->result)) {
        rb_chain_add(findings, link->snap, RB_CHAIN_VALUE, RB_ENDING_NONE, facts->ending,
                     "the offense cannot score a touchdown with the result \"%s\"; "
                     "correct one of them",
                     rb_words_label(&rb_result_words, (int)facts->result));
        facts->result = RB_RESULT_UNKNOWN;
        return;
    }
    const int spot = facts->situation.yards_to_goal;
    if (spot == 0 || facts->has_gain != RB_YES || facts->ending != RB_ENDING_NONE ||
        facts->situation.phase != RB_PHASE_SCRIMMAGE || rb_snap_is_wiped_out(facts)) {
        return;
    }
    if (ran_or_caught(facts->result) && facts->gain == spot) {
        add_ending(link, findings, RB_ENDING_TOUCHDOWN,
                   _("after a gain to the goal line"));
    } else if ((ran_or_caught(facts->result) || facts->result == RB_RESULT_SACK) &&
               spot - facts->gain >= 100) {
        add_ending(link, findings, RB_ENDING_SAFETY,
                   _("after a loss behind the own goal line"));
    }
}

void rb_chain_check_values(RbChainLink *link, RbRules rules, GPtrArray *findings)
{
    check_ranges(link, rules, findings);
    check_penalties(link, findings);
    check_result(link, findings);
    check_gain(link, findings);
    check_ending(link, findings);
}
