/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/words.h"

#include <glib.h>
#include <string.h>

/* Tokens are in the database and in files: never change one once it is released. Labels are
 * the trade's common words. */
#define WORDS(ident, title, ...)                                                         \
    static const RbWord ident##_table[] = { __VA_ARGS__ };                               \
    const RbWords rb_##ident##_words = { title, ident##_table,                           \
                                         G_N_ELEMENTS(ident##_table) }

#define UNKNOWN [0] = { "unknown", "Not known" }

/* clang-format off */
WORDS(side, "side",
    UNKNOWN,
    [RB_SIDE_LEFT] = { "left", "Left" },
    [RB_SIDE_RIGHT] = { "right", "Right" });

WORDS(strong, "strong side",
    UNKNOWN,
    [RB_STRONG_LEFT] = { "left", "Left" },
    [RB_STRONG_RIGHT] = { "right", "Right" },
    [RB_STRONG_EVEN] = { "even", "Even" });

WORDS(hash, "hash",
    UNKNOWN,
    [RB_HASH_LEFT] = { "left", "Left hash" },
    [RB_HASH_MIDDLE] = { "middle", "Middle" },
    [RB_HASH_RIGHT] = { "right", "Right hash" });

WORDS(angle, "angle",
    [RB_ANGLE_WIDE] = { "wide", "Wide" },
    [RB_ANGLE_TIGHT] = { "tight", "Tight" },
    [RB_ANGLE_OTHER] = { "other", "Other angle" });

WORDS(game_kind, "kind of game",
    [RB_GAME_GAME] = { "game", "Game" },
    [RB_GAME_PRACTICE] = { "practice", "Practice" },
    [RB_GAME_SEVEN] = { "seven-on-seven", "7-on-7" });

WORDS(rules, "rule code",
    [RB_RULES_HIGH_SCHOOL] = { "high-school", "High school" },
    [RB_RULES_COLLEGE] = { "college", "College" },
    [RB_RULES_PRO] = { "pro", "Professional" });

WORDS(phase, "phase",
    [RB_PHASE_SCRIMMAGE] = { "scrimmage", "Scrimmage" },
    [RB_PHASE_TRY] = { "try", "Try" },
    [RB_PHASE_FREE_KICK] = { "free-kick", "Free kick" });

WORDS(play, "play kind",
    UNKNOWN,
    [RB_PLAY_DROPBACK] = { "dropback", "Dropback" },
    [RB_PLAY_QUICK] = { "quick", "Quick" },
    [RB_PLAY_ACTION] = { "play-action", "Play action" },
    [RB_PLAY_BOOT] = { "boot", "Boot or naked" },
    [RB_PLAY_SPRINT_OUT] = { "sprint-out", "Sprint-out" },
    [RB_PLAY_SCREEN] = { "screen", "Screen" },
    [RB_PLAY_RUN_PASS_OPTION] = { "run-pass-option", "Run-pass option" },
    [RB_PLAY_RUN] = { "run", "Run" },
    [RB_PLAY_SPIKE] = { "spike", "Spike" },
    [RB_PLAY_KNEEL] = { "kneel", "Kneel" },
    [RB_PLAY_PUNT] = { "punt", "Punt" },
    [RB_PLAY_FIELD_GOAL] = { "field-goal", "Field goal" },
    [RB_PLAY_KICKOFF] = { "kickoff", "Kickoff" },
    [RB_PLAY_OTHER] = { "other", "Other" });

WORDS(result, "result",
    UNKNOWN,
    [RB_RESULT_COMPLETE] = { "complete", "Complete" },
    [RB_RESULT_INCOMPLETE] = { "incomplete", "Incomplete" },
    [RB_RESULT_INTERCEPTED] = { "intercepted", "Intercepted" },
    [RB_RESULT_SACK] = { "sack", "Sack" },
    [RB_RESULT_SCRAMBLE] = { "scramble", "Scramble" },
    [RB_RESULT_THROWN_AWAY] = { "thrown-away", "Thrown away" },
    [RB_RESULT_RUN] = { "run", "Run" },
    [RB_RESULT_KICK_GOOD] = { "kick-good", "Kick good" },
    [RB_RESULT_KICK_MISSED] = { "kick-missed", "Kick missed" },
    [RB_RESULT_KICKED] = { "kicked", "Kicked away" },
    [RB_RESULT_NO_PLAY] = { "no-play", "No play" });

WORDS(ending, "ending",
    [RB_ENDING_NONE] = { "none", "Dead ball" },
    [RB_ENDING_TOUCHDOWN] = { "touchdown", "Touchdown" },
    [RB_ENDING_SAFETY] = { "safety", "Safety" },
    [RB_ENDING_FUMBLE_LOST] = { "fumble-lost", "Fumble lost" },
    [RB_ENDING_TOUCHDOWN_AGAINST] = { "touchdown-against", "Touchdown against" });

WORDS(foul_side, "side of a foul",
    [RB_FOUL_OFFENSE] = { "offense", "Offense" },
    [RB_FOUL_DEFENSE] = { "defense", "Defense" });

WORDS(ruling, "ruling",
    [RB_RULING_ACCEPTED] = { "accepted", "Accepted" },
    [RB_RULING_DECLINED] = { "declined", "Declined" },
    [RB_RULING_OFFSET] = { "offset", "Offset" });

WORDS(enforced, "spot of enforcement",
    [RB_ENFORCED_PREVIOUS_SPOT] = { "previous-spot", "Previous spot" },
    [RB_ENFORCED_DEAD_BALL] = { "dead-ball", "Dead-ball spot" },
    [RB_ENFORCED_SPOT_OF_FOUL] = { "spot-of-foul", "Spot of the foul" });

WORDS(mark, "mark",
    [RB_MARK_SET] = { "set", "Set" },
    [RB_MARK_SNAP] = { "snap", "Snap" },
    [RB_MARK_TOP] = { "top", "Top of the drop" },
    [RB_MARK_RELEASE] = { "release", "Release" },
    [RB_MARK_ARRIVAL] = { "arrival", "Arrival" },
    [RB_MARK_END] = { "end", "End" });

WORDS(shell, "shell",
    UNKNOWN,
    [RB_SHELL_NONE_DEEP] = { "none-deep", "No deep safety" },
    [RB_SHELL_ONE_HIGH] = { "one-high", "One high" },
    [RB_SHELL_TWO_HIGH] = { "two-high", "Two high" },
    [RB_SHELL_THREE_HIGH] = { "three-high", "Three high" },
    [RB_SHELL_UNCLEAR] = { "unclear", "Unclear" });

WORDS(technique, "corner technique",
    UNKNOWN,
    [RB_TECHNIQUE_PRESS] = { "press", "Press" },
    [RB_TECHNIQUE_OFF] = { "off", "Off" },
    [RB_TECHNIQUE_BAIL] = { "bail", "Bail" },
    [RB_TECHNIQUE_SQUAT] = { "squat", "Squat" },
    [RB_TECHNIQUE_HARD] = { "hard", "Hard" });

WORDS(leverage, "leverage",
    UNKNOWN,
    [RB_LEVERAGE_INSIDE] = { "inside", "Inside" },
    [RB_LEVERAGE_OUTSIDE] = { "outside", "Outside" },
    [RB_LEVERAGE_HEAD_UP] = { "head-up", "Head up" });

WORDS(rotation, "rotation",
    UNKNOWN,
    [RB_ROTATION_NONE] = { "none", "No rotation" },
    [RB_ROTATION_LEFT] = { "left", "To the left" },
    [RB_ROTATION_RIGHT] = { "right", "To the right" });

WORDS(yes_no, "yes or no",
    UNKNOWN,
    [RB_NO] = { "no", "No" },
    [RB_YES] = { "yes", "Yes" });

WORDS(family, "family of coverages",
    UNKNOWN,
    [RB_FAMILY_MAN] = { "man", "Man" },
    [RB_FAMILY_ZONE] = { "zone", "Zone" },
    [RB_FAMILY_MATCH] = { "match", "Match" });

WORDS(width, "width",
    UNKNOWN,
    [RB_WIDTH_NORMAL] = { "normal", "Normal splits" },
    [RB_WIDTH_CONDENSED] = { "condensed", "Condensed" },
    [RB_WIDTH_STACK] = { "stack", "Stack or bunch" });

WORDS(look, "read state",
    UNKNOWN,
    [RB_LOOK_OPEN] = { "open", "Open" },
    [RB_LOOK_COVERED] = { "covered", "Covered" },
    [RB_LOOK_CANT_TELL] = { "cant-tell", "Can't tell" });

WORDS(ball, "ball",
    UNKNOWN,
    [RB_BALL_READ] = { "read", "To a read" },
    [RB_BALL_HOT] = { "hot", "Hot" },
    [RB_BALL_OFF_SCRIPT] = { "off-script", "Off script" },
    [RB_BALL_SCRAMBLE] = { "scramble", "Scramble" },
    [RB_BALL_SACK] = { "sack", "Sack" },
    [RB_BALL_THROWN_AWAY] = { "thrown-away", "Thrown away" });

WORDS(pressure, "pressure",
    UNKNOWN,
    [RB_PRESSURE_NONE] = { "none", "No pressure" },
    [RB_PRESSURE_CAME] = { "came", "Pressure" });

WORDS(movement, "movement",
    UNKNOWN,
    [RB_MOVEMENT_NONE] = { "none", "No movement" },
    [RB_MOVEMENT_DESIGNED] = { "designed", "Designed" },
    [RB_MOVEMENT_FORCED] = { "forced", "Forced" });

WORDS(contact, "contact",
    UNKNOWN,
    [RB_CONTACT_NONE] = { "none", "No contact" },
    [RB_CONTACT_HIT] = { "hit", "Hit during the throw" },
    [RB_CONTACT_SACKED] = { "sacked", "Sacked" });

WORDS(throw, "throw",
    UNKNOWN,
    [RB_THROW_NONE] = { "none", "No throw" },
    [RB_THROW_ON_TARGET] = { "on-target", "On target" },
    [RB_THROW_CATCHABLE] = { "catchable", "Catchable" },
    [RB_THROW_NOT_CATCHABLE] = { "not-catchable", "Not catchable" },
    [RB_THROW_TIPPED] = { "tipped", "Tipped at the line" });

WORDS(catch, "catch",
    UNKNOWN,
    [RB_CATCH_NONE] = { "none", "Nothing to catch" },
    [RB_CATCH_CAUGHT] = { "caught", "Caught" },
    [RB_CATCH_DROPPED] = { "dropped", "Dropped" },
    [RB_CATCH_BROKEN_UP] = { "broken-up", "Broken up" },
    [RB_CATCH_INTERCEPTED] = { "intercepted", "Intercepted" },
    [RB_CATCH_OUT_OF_BOUNDS] = { "out-of-bounds", "Out of bounds" });

WORDS(fault, "fault outside his control",
    UNKNOWN,
    [RB_FAULT_NONE] = { "none", "None" },
    [RB_FAULT_WRONG_ROUTE] = { "wrong-route", "Wrong route" },
    [RB_FAULT_WRONG_CALL] = { "wrong-call", "Wrong call heard" },
    [RB_FAULT_PROTECTION] = { "protection", "Protection bust" },
    [RB_FAULT_SLIP] = { "slip", "Slip" });

WORDS(call, "kind of call",
    UNKNOWN,
    [RB_CALL_SINGLE] = { "single", "One concept" },
    [RB_CALL_MIRRORED] = { "mirrored", "Mirrored" },
    [RB_CALL_SPLIT] = { "split", "Split" },
    [RB_CALL_ACROSS] = { "across", "Across" });

WORDS(route, "route",
    UNKNOWN,
    [RB_ROUTE_HITCH] = { "hitch", "Hitch" },
    [RB_ROUTE_STOP] = { "stop", "Stop" },
    [RB_ROUTE_SLANT] = { "slant", "Slant" },
    [RB_ROUTE_QUICK_OUT] = { "quick-out", "Quick out" },
    [RB_ROUTE_SPEED_OUT] = { "speed-out", "Speed out" },
    [RB_ROUTE_OUT] = { "out", "Out" },
    [RB_ROUTE_COMEBACK] = { "comeback", "Comeback" },
    [RB_ROUTE_CURL] = { "curl", "Curl" },
    [RB_ROUTE_DIG] = { "dig", "Dig" },
    [RB_ROUTE_POST] = { "post", "Post" },
    [RB_ROUTE_CORNER] = { "corner", "Corner" },
    [RB_ROUTE_GO] = { "go", "Go" },
    [RB_ROUTE_FADE] = { "fade", "Fade" },
    [RB_ROUTE_SEAM] = { "seam", "Seam" },
    [RB_ROUTE_DRAG] = { "drag", "Drag" },
    [RB_ROUTE_SHALLOW] = { "shallow", "Shallow" },
    [RB_ROUTE_OVER] = { "over", "Over" },
    [RB_ROUTE_FLAT] = { "flat", "Flat" },
    [RB_ROUTE_PIVOT] = { "pivot", "Pivot" },
    [RB_ROUTE_ANGLE] = { "angle", "Angle" },
    [RB_ROUTE_SWING] = { "swing", "Swing" },
    [RB_ROUTE_WHEEL] = { "wheel", "Wheel" },
    [RB_ROUTE_SAIL] = { "sail", "Sail" },
    [RB_ROUTE_SIT] = { "sit", "Sit" },
    [RB_ROUTE_SCREEN] = { "screen", "Screen" },
    [RB_ROUTE_CHECK_DOWN] = { "check-down", "Check-down" },
    [RB_ROUTE_DRAWN] = { "drawn", "As drawn" });

WORDS(verdict, "verdict",
    [RB_VERDICT_UNGRADED] = { "ungraded", "Ungraded" },
    [RB_VERDICT_SPOILED] = { "spoiled", "Spoiled" },
    [RB_VERDICT_MISSED_ADJUSTMENT] = { "missed-adjustment", "Missed adjustment" },
    [RB_VERDICT_WRONG_SIDE] = { "wrong-side", "Wrong side" },
    [RB_VERDICT_MISSED_HOT] = { "missed-hot", "Missed hot" },
    [RB_VERDICT_FORCED] = { "forced", "Forced" },
    [RB_VERDICT_ON_READ] = { "on-read", "On the read" },
    [RB_VERDICT_LATE] = { "late", "Late" },
    [RB_VERDICT_NO_TIME] = { "no-time", "No time" },
    [RB_VERDICT_PASSED_UP] = { "passed-up", "Passed up" },
    [RB_VERDICT_HELD] = { "held", "Held" },
    [RB_VERDICT_BAILED] = { "bailed", "Bailed" },
    [RB_VERDICT_SOUND] = { "sound", "Sound" });

WORDS(stage, "stage",
    [RB_STAGE_NOT_JUDGED] = { "not-judged", "Not judged" },
    [RB_STAGE_SUCCESS] = { "success", "Success" },
    [RB_STAGE_BEFORE_SNAP] = { "before-the-snap", "Before the snap" },
    [RB_STAGE_TIPPED] = { "tipped", "Tipped" },
    [RB_STAGE_PROTECTION] = { "protection", "Protection" },
    [RB_STAGE_EYES] = { "eyes", "Eyes" },
    [RB_STAGE_COVERED] = { "covered", "Covered" },
    [RB_STAGE_CLOCK] = { "clock", "Clock" },
    [RB_STAGE_THROW] = { "throw", "Throw" },
    [RB_STAGE_CATCH] = { "catch", "Catch" },
    [RB_STAGE_AFTER] = { "after", "After the catch" });

WORDS(term_kind, "kind of term",
    [RB_TERM_COVERAGE] = { "coverage", "Coverage" },
    [RB_TERM_FORMATION] = { "formation", "Formation" },
    [RB_TERM_PERSONNEL] = { "personnel", "Personnel" },
    [RB_TERM_MOTION] = { "motion", "Motion" },
    [RB_TERM_ADJUSTMENT] = { "adjustment", "Adjustment" },
    [RB_TERM_PROTECTION] = { "protection", "Protection" },
    [RB_TERM_FOUL] = { "foul", "Foul" });
/* clang-format on */

static const RbWord *word_at(const RbWords *words, int value)
{
    g_assert(value >= 0 && value < words->n);
    return &words->words[value];
}

const char *rb_words_token(const RbWords *words, int value)
{
    return word_at(words, value)->token;
}

const char *rb_words_label(const RbWords *words, int value)
{
    return word_at(words, value)->label;
}

bool rb_words_parse(const RbWords *words, const char *token, int *value)
{
    for (int i = 0; token != NULL && i < words->n; i++) {
        if (strcmp(words->words[i].token, token) == 0) {
            *value = i;
            return true;
        }
    }
    return false;
}

char *rb_words_list(const RbWords *words)
{
    GString *text = g_string_new(NULL);
    for (int i = 0; i < words->n; i++) {
        if (strcmp(words->words[i].token, "unknown") == 0) {
            continue;
        }
        if (text->len > 0) {
            g_string_append(text, i == words->n - 1 ? " or " : ", ");
        }
        g_string_append(text, words->words[i].token);
    }
    return g_string_free(text, FALSE);
}

RbSide rb_strong_side(RbStrong strong)
{
    switch (strong) {
    case RB_STRONG_LEFT:
        return RB_SIDE_LEFT;
    case RB_STRONG_RIGHT:
        return RB_SIDE_RIGHT;
    case RB_STRONG_UNKNOWN:
    case RB_STRONG_EVEN:
        break;
    }
    return RB_SIDE_UNKNOWN;
}

RbStrong rb_strong_of_counts(int left, int right)
{
    return left == right  ? RB_STRONG_EVEN
           : left > right ? RB_STRONG_LEFT
                          : RB_STRONG_RIGHT;
}

RbSide rb_side_other(RbSide side)
{
    switch (side) {
    case RB_SIDE_LEFT:
        return RB_SIDE_RIGHT;
    case RB_SIDE_RIGHT:
        return RB_SIDE_LEFT;
    case RB_SIDE_UNKNOWN:
        break;
    }
    return side;
}

RbSide rb_hash_boundary(RbHash hash)
{
    switch (hash) {
    case RB_HASH_LEFT:
        return RB_SIDE_LEFT;
    case RB_HASH_RIGHT:
        return RB_SIDE_RIGHT;
    case RB_HASH_UNKNOWN:
    case RB_HASH_MIDDLE:
        break;
    }
    return RB_SIDE_UNKNOWN;
}

bool rb_play_is_pass(RbPlay play)
{
    return rb_play_is_in_ladder(play) || play == RB_PLAY_SCREEN ||
           play == RB_PLAY_RUN_PASS_OPTION;
}

bool rb_play_is_in_ladder(RbPlay play)
{
    return play >= RB_PLAY_DROPBACK && play <= RB_PLAY_SPRINT_OUT;
}
