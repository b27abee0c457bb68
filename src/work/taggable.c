/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <stddef.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/tagging.h"

/* A call without a concept is no call; a concept without a kind of call is called alone. */
static void after_concept(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    if (chart->call.first.value == 0) {
        chart->call = (RbCall){ 0 };
    } else if (chart->call.kind == RB_CALL_UNKNOWN) {
        chart->call.kind = RB_CALL_SINGLE;
    }
}

static void after_call_kind(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    if (chart->call.kind == RB_CALL_SINGLE || chart->call.kind == RB_CALL_MIRRORED) {
        chart->call.second.value = 0;
    }
}

static void after_adjusted(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    if (chart->adjusted != RB_YES) {
        chart->adjustment.value = 0;
    }
}

static void after_adjustment(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    if (chart->adjustment.value != 0) {
        chart->adjusted = RB_YES;
    }
}

/* What a person says in place of a measure is not off by the measure's error. */
static void after_left_cushion(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    chart->shown.left.cushion_pm_tenths = 0;
}

static void after_right_cushion(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    chart->shown.right.cushion_pm_tenths = 0;
}

static void after_left_split(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    chart->shown.left.split_pm_tenths = 0;
}

static void after_right_split(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    chart->shown.right.split_pm_tenths = 0;
}

static void after_fault(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    if (chart->fault <= RB_FAULT_NONE) {
        chart->fault_read = 0;
    }
}

static void after_pressure(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    if (chart->pressure != RB_PRESSURE_CAME) {
        chart->pressure_ms = -1;
    }
}

static void after_unblocked(RbSnap *snap, RbChart *chart)
{
    (void)snap;
    if (chart->played.unblocked != RB_YES) {
        chart->played.unblocked_side = RB_SIDE_UNKNOWN;
    }
}

#define FACT(member) .is_fact = true, .offset = offsetof(RbSnap, member)
#define MINE(member) .offset = offsetof(RbChart, member)
#define WORD(set) .kind = RB_VALUE_WORD, .words = &(set)
#define TERM(term_kind) .kind = RB_VALUE_TERM, .terms = (term_kind)
#define RANGE(value_kind, from, to, none)                                                \
    .kind = (value_kind), .low = (from), .high = (to), .unknown = (none)
#define LOOK(n, title)                                                                   \
    {                                                                                    \
        "read-" #n, title, RB_GROUP_READS, MINE(looks[(n)-1]), WORD(rb_look_words),      \
            .slot = (n)                                                                  \
    }

static const RbTaggable taggables[] = {
    { "phase", N_("Kind of down"), RB_GROUP_SITUATION, FACT(situation.phase),
      WORD(rb_phase_words), .always = true },
    { "offense", N_("Team with the ball"), RB_GROUP_SITUATION, FACT(situation.offense),
      .kind = RB_VALUE_TEAM },
    { "quarter", N_("Quarter"), RB_GROUP_SITUATION, FACT(situation.quarter),
      RANGE(RB_VALUE_NUMBER, 1, 12, 0) },
    { "clock", N_("Clock"), RB_GROUP_SITUATION, FACT(situation.clock_s),
      RANGE(RB_VALUE_CLOCK, 0, 900, -1) },
    { "down", N_("Down"), RB_GROUP_SITUATION, FACT(situation.down),
      RANGE(RB_VALUE_NUMBER, 1, 4, 0) },
    { "distance", N_("Distance"), RB_GROUP_SITUATION, FACT(situation.distance),
      RANGE(RB_VALUE_NUMBER, 1, 99, 0) },
    { "spot", N_("Spot"), RB_GROUP_SITUATION, FACT(situation.yards_to_goal),
      RANGE(RB_VALUE_YARDLINE, 1, 99, 0) },
    { "hash", N_("Hash"), RB_GROUP_SITUATION, FACT(situation.hash), WORD(rb_hash_words) },
    { "score-offense", N_("Offense's score"), RB_GROUP_SITUATION,
      FACT(situation.score_offense), RANGE(RB_VALUE_NUMBER, 0, 199, -1) },
    { "score-defense", N_("Defense's score"), RB_GROUP_SITUATION,
      FACT(situation.score_defense), RANGE(RB_VALUE_NUMBER, 0, 199, -1) },
    { "timeouts-offense", N_("Offense's time-outs"), RB_GROUP_SITUATION,
      FACT(timeouts_offense), RANGE(RB_VALUE_NUMBER, 0, 3, -1) },
    { "timeouts-defense", N_("Defense's time-outs"), RB_GROUP_SITUATION,
      FACT(timeouts_defense), RANGE(RB_VALUE_NUMBER, 0, 3, -1) },
    { "hurry", N_("In a hurry"), RB_GROUP_SITUATION, FACT(hurry), WORD(rb_yes_no_words) },

    { "quarterback", N_("Quarterback"), RB_GROUP_OFFENSE, FACT(quarterback),
      .kind = RB_VALUE_PLAYER },
    { "personnel", N_("Personnel"), RB_GROUP_OFFENSE, FACT(personnel),
      TERM(RB_TERM_PERSONNEL) },
    { "formation", N_("Formation"), RB_GROUP_OFFENSE, FACT(formation),
      TERM(RB_TERM_FORMATION) },
    { "motion", N_("Motion"), RB_GROUP_OFFENSE, FACT(motion), TERM(RB_TERM_MOTION) },
    { "strong", N_("Strong side"), RB_GROUP_OFFENSE, FACT(strong),
      WORD(rb_strong_words) },
    { "width", N_("Width"), RB_GROUP_OFFENSE, FACT(width), WORD(rb_width_words) },
    { "play", N_("Play"), RB_GROUP_OFFENSE, FACT(play), WORD(rb_play_words) },
    { "concept", N_("Concept"), RB_GROUP_OFFENSE, MINE(call.first),
      .kind = RB_VALUE_CONCEPT, .after = after_concept },
    { "call", N_("Call"), RB_GROUP_OFFENSE, MINE(call.kind), WORD(rb_call_words),
      .after = after_call_kind },
    { "concept-2", N_("Second concept"), RB_GROUP_OFFENSE, MINE(call.second),
      .kind = RB_VALUE_CONCEPT },
    { "concept-side", N_("Side of the concept"), RB_GROUP_OFFENSE, MINE(call.first_side),
      WORD(rb_side_words) },

    { "shell", N_("Shell"), RB_GROUP_SHOWN, MINE(shown.shell), WORD(rb_shell_words) },
    { "rotation-shown", N_("Rotation hinted"), RB_GROUP_SHOWN, MINE(shown.rotation),
      WORD(rb_rotation_words) },
    { "left-technique", N_("Left corner"), RB_GROUP_SHOWN, MINE(shown.left.technique),
      WORD(rb_technique_words) },
    { "left-cushion", N_("Left cushion"), RB_GROUP_SHOWN, MINE(shown.left.cushion_tenths),
      RANGE(RB_VALUE_TENTHS, 0, 250, -1), .after = after_left_cushion },
    { "left-cushion-error", N_("Left cushion, plus or minus"), RB_GROUP_SHOWN,
      MINE(shown.left.cushion_pm_tenths), RANGE(RB_VALUE_TENTHS, 0, 250, 0) },
    { "left-split", N_("Left split"), RB_GROUP_SHOWN, MINE(shown.left.split_tenths),
      RANGE(RB_VALUE_TENTHS, 0, 500, -1), .after = after_left_split },
    { "left-split-error", N_("Left split, plus or minus"), RB_GROUP_SHOWN,
      MINE(shown.left.split_pm_tenths), RANGE(RB_VALUE_TENTHS, 0, 500, 0) },
    { "left-leverage", N_("Left leverage"), RB_GROUP_SHOWN, MINE(shown.left.leverage),
      WORD(rb_leverage_words) },
    { "right-technique", N_("Right corner"), RB_GROUP_SHOWN, MINE(shown.right.technique),
      WORD(rb_technique_words) },
    { "right-cushion", N_("Right cushion"), RB_GROUP_SHOWN,
      MINE(shown.right.cushion_tenths), RANGE(RB_VALUE_TENTHS, 0, 250, -1),
      .after = after_right_cushion },
    { "right-cushion-error", N_("Right cushion, plus or minus"), RB_GROUP_SHOWN,
      MINE(shown.right.cushion_pm_tenths), RANGE(RB_VALUE_TENTHS, 0, 250, 0) },
    { "right-split", N_("Right split"), RB_GROUP_SHOWN, MINE(shown.right.split_tenths),
      RANGE(RB_VALUE_TENTHS, 0, 500, -1), .after = after_right_split },
    { "right-split-error", N_("Right split, plus or minus"), RB_GROUP_SHOWN,
      MINE(shown.right.split_pm_tenths), RANGE(RB_VALUE_TENTHS, 0, 500, 0) },
    { "right-leverage", N_("Right leverage"), RB_GROUP_SHOWN, MINE(shown.right.leverage),
      WORD(rb_leverage_words) },
    { "adjusted", N_("Adjusted"), RB_GROUP_SHOWN, MINE(adjusted), WORD(rb_yes_no_words),
      .after = after_adjusted },
    { "adjustment", N_("Adjustment"), RB_GROUP_SHOWN, MINE(adjustment),
      TERM(RB_TERM_ADJUSTMENT), .after = after_adjustment },
    { "side-worked", N_("Side worked"), RB_GROUP_SHOWN, MINE(side_worked),
      WORD(rb_side_words) },

    { "coverage", N_("Coverage"), RB_GROUP_PLAYED, MINE(played.coverage),
      TERM(RB_TERM_COVERAGE) },
    { "rotation-played", N_("Rotation"), RB_GROUP_PLAYED, MINE(played.rotation),
      WORD(rb_rotation_words) },
    { "left-technique-played", N_("Left corner, played"), RB_GROUP_PLAYED,
      MINE(played.left), WORD(rb_technique_words) },
    { "right-technique-played", N_("Right corner, played"), RB_GROUP_PLAYED,
      MINE(played.right), WORD(rb_technique_words) },
    { "safety-left", N_("Half-field safety left"), RB_GROUP_PLAYED,
      MINE(played.safety_left), WORD(rb_yes_no_words) },
    { "safety-right", N_("Half-field safety right"), RB_GROUP_PLAYED,
      MINE(played.safety_right), WORD(rb_yes_no_words) },
    { "rushers", N_("Rushers"), RB_GROUP_PLAYED, MINE(played.rushers),
      RANGE(RB_VALUE_NUMBER, 0, 11, -1) },
    { "unblocked", N_("Unblocked rusher"), RB_GROUP_PLAYED, MINE(played.unblocked),
      WORD(rb_yes_no_words), .after = after_unblocked },
    { "unblocked-side", N_("Unblocked from"), RB_GROUP_PLAYED,
      MINE(played.unblocked_side), WORD(rb_side_words) },

    LOOK(1, N_("Read 1")),
    LOOK(2, N_("Read 2")),
    LOOK(3, N_("Read 3")),
    LOOK(4, N_("Read 4")),
    LOOK(5, N_("Read 5")),
    LOOK(6, N_("Read 6")),
    LOOK(7, N_("Read 7")),
    LOOK(8, N_("Read 8")),
    { "ball", N_("Ball"), RB_GROUP_READS, MINE(ball), .kind = RB_VALUE_BALL },
    { "release", N_("Release"), RB_GROUP_READS, MINE(release_ms),
      RANGE(RB_VALUE_SECONDS, 0, 30000, -1) },
    { "release-error", N_("Release, plus or minus"), RB_GROUP_READS, MINE(release_pm_ms),
      RANGE(RB_VALUE_SECONDS, 0, 5000, 0) },

    { "pressure", N_("Pressure"), RB_GROUP_OUTCOME, MINE(pressure),
      WORD(rb_pressure_words), .after = after_pressure },
    { "pressure-time", N_("Pressure at"), RB_GROUP_OUTCOME, MINE(pressure_ms),
      RANGE(RB_VALUE_SECONDS, 0, 30000, -1) },
    { "movement", N_("Movement"), RB_GROUP_OUTCOME, MINE(movement),
      WORD(rb_movement_words) },
    { "contact", N_("Contact"), RB_GROUP_OUTCOME, MINE(contact), WORD(rb_contact_words) },
    { "throw", N_("Throw"), RB_GROUP_OUTCOME, MINE(throw_), WORD(rb_throw_words) },
    { "catch", N_("Catch"), RB_GROUP_OUTCOME, MINE(catch_), WORD(rb_catch_words) },
    { "fault", N_("Outside his control"), RB_GROUP_OUTCOME, MINE(fault),
      WORD(rb_fault_words), .after = after_fault },
    { "fault-read", N_("Read it touched"), RB_GROUP_OUTCOME, MINE(fault_read),
      RANGE(RB_VALUE_NUMBER, 1, RB_READS_MAX, 0) },
    { "result", N_("Result"), RB_GROUP_OUTCOME, FACT(result), WORD(rb_result_words) },
    { "ending", N_("Ending"), RB_GROUP_OUTCOME, FACT(ending), WORD(rb_ending_words),
      .always = true },
    { "gain", N_("Gain"), RB_GROUP_OUTCOME, FACT(gain),
      RANGE(RB_VALUE_GAIN, -99, 99, 0) },
    { "intended", N_("Intended for"), RB_GROUP_OUTCOME, FACT(intended),
      .kind = RB_VALUE_PLAYER },
    { "own-tags", N_("Own tags"), RB_GROUP_OUTCOME, FACT(own_tags),
      .kind = RB_VALUE_OWN_TAGS },
    { "note", N_("Note"), RB_GROUP_OUTCOME, MINE(note), .kind = RB_VALUE_TEXT },
    { "snap-note", N_("Note on the play"), RB_GROUP_OUTCOME, FACT(note),
      .kind = RB_VALUE_TEXT },
};

const RbTaggable *rb_taggables(int *n)
{
    *n = G_N_ELEMENTS(taggables);
    return taggables;
}

static const RbTaggable *find_token(const char *token)
{
    for (size_t i = 0; i < G_N_ELEMENTS(taggables); i++) {
        if (strcmp(taggables[i].token, token) == 0) {
            return &taggables[i];
        }
    }
    return NULL;
}

const RbTaggable *rb_taggable_parse(const char *token, GError **error)
{
    const RbTaggable *field = find_token(token);
    if (field == NULL) {
        g_autoptr(GString) list = g_string_new(NULL);
        for (size_t i = 0; i < G_N_ELEMENTS(taggables); i++) {
            g_string_append(list, i == 0 ? "" : ", ");
            g_string_append(list, taggables[i].token);
        }
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("A snap has no tag \"%s\": the tags are %s."), token, list->str);
    }
    return field;
}

/* Token of the field behind a tag; sided tags by side. */
static const char *token_for(const RbTag *tag)
{
    const bool left = tag->side != RB_SIDE_RIGHT;
    switch (tag->kind) {
    case RB_TAG_NONE:
    case RB_TAG_LOOK:
        return NULL;
    case RB_TAG_CONCEPT:
        return "concept";
    case RB_TAG_SIDE_WORKED:
        return "side-worked";
    case RB_TAG_SHELL:
        return "shell";
    case RB_TAG_ROTATION_SHOWN:
        return "rotation-shown";
    case RB_TAG_TECHNIQUE_SHOWN:
        return left ? "left-technique" : "right-technique";
    case RB_TAG_CUSHION:
        return left ? "left-cushion" : "right-cushion";
    case RB_TAG_SPLIT:
        return left ? "left-split" : "right-split";
    case RB_TAG_LEVERAGE:
        return left ? "left-leverage" : "right-leverage";
    case RB_TAG_COVERAGE:
        return "coverage";
    case RB_TAG_ROTATION_PLAYED:
        return "rotation-played";
    case RB_TAG_TECHNIQUE_PLAYED:
        return left ? "left-technique-played" : "right-technique-played";
    case RB_TAG_SAFETY_OVER:
        return left ? "safety-left" : "safety-right";
    case RB_TAG_RUSHERS:
        return "rushers";
    case RB_TAG_UNBLOCKED:
        return "unblocked";
    case RB_TAG_ADJUSTMENT:
        return "adjusted";
    case RB_TAG_BALL:
        return "ball";
    case RB_TAG_RELEASE:
        return "release";
    case RB_TAG_PRESSURE:
        return "pressure";
    case RB_TAG_CONTACT:
        return "contact";
    case RB_TAG_MOVEMENT:
        return "movement";
    case RB_TAG_THROW:
        return "throw";
    case RB_TAG_CATCH:
        return "catch";
    case RB_TAG_FAULT:
        return "fault";
    case RB_TAG_HASH:
        return "hash";
    case RB_TAG_DOWN:
        return "down";
    case RB_TAG_DISTANCE:
        return "distance";
    case RB_TAG_WIDTH:
        return "width";
    case RB_TAG_FORMATION:
        return "formation";
    case RB_TAG_STRONG:
        return "strong";
    }
    return NULL;
}

const RbTaggable *rb_taggable_for(const RbTag *tag)
{
    if (tag->kind == RB_TAG_LOOK) {
        g_autofree char *token = g_strdup_printf("read-%d", tag->slot);
        return find_token(token);
    }
    const char *token = token_for(tag);
    return token != NULL ? find_token(token) : NULL;
}
