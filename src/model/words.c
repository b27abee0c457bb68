/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/words.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/told.h"

/* Tokens are in the database and in files: never change one once it is released. Labels are
 * the trade's common words. */
#define WORDS(ident, title, ...)                                                         \
    static const RbWord ident##_table[] = { __VA_ARGS__ };                               \
    const RbWords rb_##ident##_words = { title, ident##_table,                           \
                                         G_N_ELEMENTS(ident##_table) }

#define UNKNOWN [0] = { "unknown", N_("Not known"), NC_("in a sentence", "not known") }

/* clang-format off */
WORDS(side, N_("side"),
    UNKNOWN,
    [RB_SIDE_LEFT] = { "left", N_("Left") },
    [RB_SIDE_RIGHT] = { "right", N_("Right") });

WORDS(strong, N_("strong side"),
    UNKNOWN,
    [RB_STRONG_LEFT] = { "left", N_("Left") },
    [RB_STRONG_RIGHT] = { "right", N_("Right") },
    [RB_STRONG_EVEN] = { "even", N_("Even") });

WORDS(hash, N_("hash"),
    UNKNOWN,
    [RB_HASH_LEFT] = { "left", N_("Left hash"), NC_("in a sentence", "on the left hash") },
    [RB_HASH_MIDDLE] = { "middle", N_("Middle"), NC_("in a sentence", "in the middle") },
    [RB_HASH_RIGHT] = { "right", N_("Right hash"), NC_("in a sentence", "on the right hash") });

WORDS(angle, N_("angle"),
    [RB_ANGLE_WIDE] = { "wide", N_("Wide") },
    [RB_ANGLE_TIGHT] = { "tight", N_("Tight") },
    [RB_ANGLE_OTHER] = { "other", N_("Other angle") });

WORDS(game_kind, N_("kind of game"),
    [RB_GAME_GAME] = { "game", N_("Game") },
    [RB_GAME_PRACTICE] = { "practice", N_("Practice") },
    [RB_GAME_SEVEN] = { "seven-on-seven", N_("7-on-7") });

WORDS(rules, N_("rule code"),
    [RB_RULES_HIGH_SCHOOL] = { "high-school", N_("High school") },
    [RB_RULES_COLLEGE] = { "college", N_("College") },
    [RB_RULES_PRO] = { "pro", N_("Professional") });

WORDS(phase, N_("phase"),
    [RB_PHASE_SCRIMMAGE] = { "scrimmage", N_("Scrimmage") },
    [RB_PHASE_TRY] = { "try", N_("Try") },
    [RB_PHASE_FREE_KICK] = { "free-kick", N_("Free kick") });

WORDS(play, N_("play kind"),
    UNKNOWN,
    [RB_PLAY_DROPBACK] = { "dropback", N_("Dropback") },
    [RB_PLAY_QUICK] = { "quick", N_("Quick") },
    [RB_PLAY_ACTION] = { "play-action", N_("Play action") },
    [RB_PLAY_BOOT] = { "boot", N_("Boot or naked") },
    [RB_PLAY_SPRINT_OUT] = { "sprint-out", N_("Sprint-out") },
    [RB_PLAY_SCREEN] = { "screen", N_("Screen") },
    [RB_PLAY_RUN_PASS_OPTION] = { "run-pass-option", N_("Run-pass option") },
    [RB_PLAY_RUN] = { "run", N_("Run") },
    [RB_PLAY_SPIKE] = { "spike", N_("Spike") },
    [RB_PLAY_KNEEL] = { "kneel", N_("Kneel") },
    [RB_PLAY_PUNT] = { "punt", N_("Punt") },
    [RB_PLAY_FIELD_GOAL] = { "field-goal", N_("Field goal") },
    [RB_PLAY_KICKOFF] = { "kickoff", N_("Kickoff") },
    [RB_PLAY_OTHER] = { "other", N_("Other") });

WORDS(result, N_("result"),
    UNKNOWN,
    [RB_RESULT_COMPLETE] = { "complete", N_("Complete") },
    [RB_RESULT_INCOMPLETE] = { "incomplete", N_("Incomplete") },
    [RB_RESULT_INTERCEPTED] = { "intercepted", N_("Intercepted") },
    [RB_RESULT_SACK] = { "sack", N_("Sack") },
    [RB_RESULT_SCRAMBLE] = { "scramble", N_("Scramble") },
    [RB_RESULT_THROWN_AWAY] = { "thrown-away", N_("Thrown away") },
    [RB_RESULT_RUN] = { "run", N_("Run") },
    [RB_RESULT_KICK_GOOD] = { "kick-good", N_("Kick good") },
    [RB_RESULT_KICK_MISSED] = { "kick-missed", N_("Kick missed") },
    [RB_RESULT_KICKED] = { "kicked", N_("Kicked away") },
    [RB_RESULT_NO_PLAY] = { "no-play", N_("No play") });

WORDS(ending, N_("ending"),
    [RB_ENDING_NONE] = { "none", N_("Dead ball") },
    [RB_ENDING_TOUCHDOWN] = { "touchdown", N_("Touchdown") },
    [RB_ENDING_SAFETY] = { "safety", N_("Safety") },
    [RB_ENDING_FUMBLE_LOST] = { "fumble-lost", N_("Fumble lost") },
    [RB_ENDING_TOUCHDOWN_AGAINST] = { "touchdown-against", N_("Touchdown against") });

WORDS(foul_side, N_("side of a foul"),
    [RB_FOUL_OFFENSE] = { "offense", N_("Offense") },
    [RB_FOUL_DEFENSE] = { "defense", N_("Defense") });

WORDS(ruling, N_("ruling"),
    [RB_RULING_ACCEPTED] = { "accepted", N_("Accepted") },
    [RB_RULING_DECLINED] = { "declined", N_("Declined") },
    [RB_RULING_OFFSET] = { "offset", N_("Offset") });

WORDS(enforced, N_("spot of enforcement"),
    [RB_ENFORCED_PREVIOUS_SPOT] = { "previous-spot", N_("Previous spot") },
    [RB_ENFORCED_DEAD_BALL] = { "dead-ball", N_("Dead-ball spot") },
    [RB_ENFORCED_SPOT_OF_FOUL] = { "spot-of-foul", N_("Spot of the foul") });

WORDS(mark, N_("mark"),
    [RB_MARK_SET] = { "set", N_("Set") },
    [RB_MARK_SNAP] = { "snap", N_("Snap") },
    [RB_MARK_TOP] = { "top", N_("Top of the drop") },
    [RB_MARK_RELEASE] = { "release", N_("Release") },
    [RB_MARK_ARRIVAL] = { "arrival", N_("Arrival") },
    [RB_MARK_END] = { "end", N_("End") });

WORDS(shell, N_("shell"),
    UNKNOWN,
    [RB_SHELL_NONE_DEEP] = { "none-deep", N_("No deep safety"), NC_("in a sentence", "no deep safety") },
    [RB_SHELL_ONE_HIGH] = { "one-high", N_("One high"), NC_("in a sentence", "one high") },
    [RB_SHELL_TWO_HIGH] = { "two-high", N_("Two high"), NC_("in a sentence", "two high") },
    [RB_SHELL_THREE_HIGH] = { "three-high", N_("Three high"), NC_("in a sentence", "three high") },
    [RB_SHELL_UNCLEAR] = { "unclear", N_("Unclear"), NC_("in a sentence", "unclear") });

WORDS(technique, N_("corner technique"),
    UNKNOWN,
    [RB_TECHNIQUE_PRESS] = { "press", N_("Press"), NC_("in a sentence", "press") },
    [RB_TECHNIQUE_OFF] = { "off", N_("Off"), NC_("in a sentence", "off") },
    [RB_TECHNIQUE_BAIL] = { "bail", N_("Bail"), NC_("in a sentence", "bail") },
    [RB_TECHNIQUE_SQUAT] = { "squat", N_("Squat"), NC_("in a sentence", "squat") },
    [RB_TECHNIQUE_HARD] = { "hard", N_("Hard"), NC_("in a sentence", "hard") });

WORDS(leverage, N_("leverage"),
    UNKNOWN,
    [RB_LEVERAGE_INSIDE] = { "inside", N_("Inside"), NC_("in a sentence", "inside") },
    [RB_LEVERAGE_OUTSIDE] = { "outside", N_("Outside"), NC_("in a sentence", "outside") },
    [RB_LEVERAGE_HEAD_UP] = { "head-up", N_("Head up"), NC_("in a sentence", "head up") });

WORDS(rotation, N_("rotation"),
    UNKNOWN,
    [RB_ROTATION_NONE] = { "none", N_("No rotation") },
    [RB_ROTATION_LEFT] = { "left", N_("To the left") },
    [RB_ROTATION_RIGHT] = { "right", N_("To the right") });

WORDS(yes_no, N_("yes-or-no answer"),
    UNKNOWN,
    [RB_NO] = { "no", N_("No") },
    [RB_YES] = { "yes", N_("Yes") });

WORDS(family, N_("family of coverages"),
    UNKNOWN,
    [RB_FAMILY_MAN] = { "man", N_("Man"), NC_("in a sentence", "man") },
    [RB_FAMILY_ZONE] = { "zone", N_("Zone"), NC_("in a sentence", "zone") },
    [RB_FAMILY_MATCH] = { "match", N_("Match"), NC_("in a sentence", "match") });

WORDS(width, N_("width"),
    UNKNOWN,
    [RB_WIDTH_NORMAL] = { "normal", N_("Normal splits"), NC_("in a sentence", "normal splits") },
    [RB_WIDTH_CONDENSED] = { "condensed", N_("Condensed"), NC_("in a sentence", "condensed") },
    [RB_WIDTH_STACK] = { "stack", N_("Stack or bunch"), NC_("in a sentence", "stack or bunch") });

WORDS(look, N_("read state"),
    UNKNOWN,
    [RB_LOOK_OPEN] = { "open", N_("Open") },
    [RB_LOOK_COVERED] = { "covered", N_("Covered") },
    [RB_LOOK_CANT_TELL] = { "cant-tell", N_("Can't tell") });

WORDS(ball, N_("ball"),
    UNKNOWN,
    [RB_BALL_READ] = { "read", N_("To a read") },
    [RB_BALL_HOT] = { "hot", N_("Hot") },
    [RB_BALL_OFF_SCRIPT] = { "off-script", N_("Off script") },
    [RB_BALL_SCRAMBLE] = { "scramble", N_("Scramble") },
    [RB_BALL_SACK] = { "sack", N_("Sack") },
    [RB_BALL_THROWN_AWAY] = { "thrown-away", N_("Thrown away") });

WORDS(pressure, N_("pressure"),
    UNKNOWN,
    [RB_PRESSURE_NONE] = { "none", N_("No pressure") },
    [RB_PRESSURE_CAME] = { "came", N_("Pressure") });

WORDS(movement, N_("movement"),
    UNKNOWN,
    [RB_MOVEMENT_NONE] = { "none", N_("No movement") },
    [RB_MOVEMENT_DESIGNED] = { "designed", N_("Designed") },
    [RB_MOVEMENT_FORCED] = { "forced", N_("Forced") });

WORDS(contact, N_("contact"),
    UNKNOWN,
    [RB_CONTACT_NONE] = { "none", N_("No contact") },
    [RB_CONTACT_HIT] = { "hit", N_("Hit during the throw") },
    [RB_CONTACT_SACKED] = { "sacked", N_("Sacked") });

WORDS(throw, N_("throw"),
    UNKNOWN,
    [RB_THROW_NONE] = { "none", N_("No throw") },
    [RB_THROW_ON_TARGET] = { "on-target", N_("On target") },
    [RB_THROW_CATCHABLE] = { "catchable", N_("Catchable") },
    [RB_THROW_NOT_CATCHABLE] = { "not-catchable", N_("Not catchable") },
    [RB_THROW_TIPPED] = { "tipped", N_("Tipped at the line") });

WORDS(catch, N_("catch"),
    UNKNOWN,
    [RB_CATCH_NONE] = { "none", N_("Nothing to catch") },
    [RB_CATCH_CAUGHT] = { "caught", N_("Caught") },
    [RB_CATCH_DROPPED] = { "dropped", N_("Dropped") },
    [RB_CATCH_BROKEN_UP] = { "broken-up", N_("Broken up") },
    [RB_CATCH_INTERCEPTED] = { "intercepted", N_("Intercepted") },
    [RB_CATCH_OUT_OF_BOUNDS] = { "out-of-bounds", N_("Out of bounds") });

WORDS(fault, N_("fault outside his control"),
    UNKNOWN,
    [RB_FAULT_NONE] = { "none", N_("None"), NC_("in a sentence", "none") },
    [RB_FAULT_WRONG_ROUTE] = { "wrong-route", N_("Wrong route"), NC_("in a sentence", "wrong route") },
    [RB_FAULT_WRONG_CALL] = { "wrong-call", N_("Wrong call heard"), NC_("in a sentence", "wrong call heard") },
    [RB_FAULT_PROTECTION] = { "protection", N_("Protection bust"), NC_("in a sentence", "protection bust") },
    [RB_FAULT_SLIP] = { "slip", N_("Slip"), NC_("in a sentence", "slip") });

WORDS(call, N_("kind of call"),
    UNKNOWN,
    [RB_CALL_SINGLE] = { "single", N_("One concept"), NC_("in a sentence", "one concept") },
    [RB_CALL_MIRRORED] = { "mirrored", N_("Mirrored"), NC_("in a sentence", "mirrored") },
    [RB_CALL_SPLIT] = { "split", N_("Split"), NC_("in a sentence", "split") },
    [RB_CALL_ACROSS] = { "across", N_("Across"), NC_("in a sentence", "across") });

WORDS(route, N_("route"),
    UNKNOWN,
    [RB_ROUTE_HITCH] = { "hitch", N_("Hitch"), NC_("in a sentence", "hitch") },
    [RB_ROUTE_STOP] = { "stop", N_("Stop"), NC_("in a sentence", "stop") },
    [RB_ROUTE_SLANT] = { "slant", N_("Slant"), NC_("in a sentence", "slant") },
    [RB_ROUTE_QUICK_OUT] = { "quick-out", N_("Quick out"), NC_("in a sentence", "quick out") },
    [RB_ROUTE_SPEED_OUT] = { "speed-out", N_("Speed out"), NC_("in a sentence", "speed out") },
    [RB_ROUTE_OUT] = { "out", N_("Out"), NC_("in a sentence", "out") },
    [RB_ROUTE_COMEBACK] = { "comeback", N_("Comeback"), NC_("in a sentence", "comeback") },
    [RB_ROUTE_CURL] = { "curl", N_("Curl"), NC_("in a sentence", "curl") },
    [RB_ROUTE_DIG] = { "dig", N_("Dig"), NC_("in a sentence", "dig") },
    [RB_ROUTE_POST] = { "post", N_("Post"), NC_("in a sentence", "post") },
    [RB_ROUTE_CORNER] = { "corner", N_("Corner"), NC_("in a sentence", "corner") },
    [RB_ROUTE_GO] = { "go", N_("Go"), NC_("in a sentence", "go") },
    [RB_ROUTE_FADE] = { "fade", N_("Fade"), NC_("in a sentence", "fade") },
    [RB_ROUTE_SEAM] = { "seam", N_("Seam"), NC_("in a sentence", "seam") },
    [RB_ROUTE_DRAG] = { "drag", N_("Drag"), NC_("in a sentence", "drag") },
    [RB_ROUTE_SHALLOW] = { "shallow", N_("Shallow"), NC_("in a sentence", "shallow") },
    [RB_ROUTE_OVER] = { "over", N_("Over"), NC_("in a sentence", "over") },
    [RB_ROUTE_FLAT] = { "flat", N_("Flat"), NC_("in a sentence", "flat") },
    [RB_ROUTE_PIVOT] = { "pivot", N_("Pivot"), NC_("in a sentence", "pivot") },
    [RB_ROUTE_ANGLE] = { "angle", N_("Angle"), NC_("in a sentence", "angle") },
    [RB_ROUTE_SWING] = { "swing", N_("Swing"), NC_("in a sentence", "swing") },
    [RB_ROUTE_WHEEL] = { "wheel", N_("Wheel"), NC_("in a sentence", "wheel") },
    [RB_ROUTE_SAIL] = { "sail", N_("Sail"), NC_("in a sentence", "sail") },
    [RB_ROUTE_SIT] = { "sit", N_("Sit"), NC_("in a sentence", "sit") },
    [RB_ROUTE_SCREEN] = { "screen", N_("Screen"), NC_("in a sentence", "screen") },
    [RB_ROUTE_CHECK_DOWN] = { "check-down", N_("Check-down"), NC_("in a sentence", "check-down") },
    [RB_ROUTE_DRAWN] = { "drawn", N_("As drawn"), NC_("in a sentence", "as drawn") });

WORDS(verdict, N_("verdict"),
    [RB_VERDICT_UNGRADED] = { "ungraded", N_("Ungraded") },
    [RB_VERDICT_SPOILED] = { "spoiled", N_("Spoiled") },
    [RB_VERDICT_MISSED_ADJUSTMENT] = { "missed-adjustment", N_("Missed adjustment") },
    [RB_VERDICT_WRONG_SIDE] = { "wrong-side", N_("Wrong side") },
    [RB_VERDICT_MISSED_HOT] = { "missed-hot", N_("Missed hot") },
    [RB_VERDICT_FORCED] = { "forced", N_("Forced") },
    [RB_VERDICT_ON_READ] = { "on-read", N_("On the read") },
    [RB_VERDICT_LATE] = { "late", N_("Late") },
    [RB_VERDICT_NO_TIME] = { "no-time", N_("No time") },
    [RB_VERDICT_PASSED_UP] = { "passed-up", N_("Passed up") },
    [RB_VERDICT_HELD] = { "held", N_("Held") },
    [RB_VERDICT_BAILED] = { "bailed", N_("Bailed") },
    [RB_VERDICT_SOUND] = { "sound", N_("Sound") });

WORDS(stage, N_("stage"),
    [RB_STAGE_NOT_JUDGED] = { "not-judged", N_("Not judged"), NC_("in a sentence", "not judged") },
    [RB_STAGE_SUCCESS] = { "success", N_("Success"), NC_("in a sentence", "success") },
    [RB_STAGE_BEFORE_SNAP] = { "before-the-snap", N_("Before the snap"), NC_("in a sentence", "before the snap") },
    [RB_STAGE_TIPPED] = { "tipped", N_("Tipped"), NC_("in a sentence", "tipped") },
    [RB_STAGE_PROTECTION] = { "protection", N_("Protection"), NC_("in a sentence", "protection") },
    [RB_STAGE_EYES] = { "eyes", N_("Eyes"), NC_("in a sentence", "eyes") },
    [RB_STAGE_COVERED] = { "covered", N_("Covered"), NC_("in a sentence", "covered") },
    [RB_STAGE_CLOCK] = { "clock", N_("Clock"), NC_("in a sentence", "clock") },
    [RB_STAGE_THROW] = { "throw", N_("Throw"), NC_("in a sentence", "throw") },
    [RB_STAGE_CATCH] = { "catch", N_("Catch"), NC_("in a sentence", "catch") },
    [RB_STAGE_AFTER] = { "after", N_("After the catch"), NC_("in a sentence", "after the catch") });

WORDS(term_kind, N_("kind of term"),
    [RB_TERM_COVERAGE] = { "coverage", N_("Coverage") },
    [RB_TERM_FORMATION] = { "formation", N_("Formation") },
    [RB_TERM_PERSONNEL] = { "personnel", N_("Personnel") },
    [RB_TERM_MOTION] = { "motion", N_("Motion") },
    [RB_TERM_ADJUSTMENT] = { "adjustment", N_("Adjustment") },
    [RB_TERM_PROTECTION] = { "protection", N_("Protection") },
    [RB_TERM_FOUL] = { "foul", N_("Foul") },
    [RB_TERM_OWN_TAG] = { "own-tag", N_("Own tag") });
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
    return _(word_at(words, value)->label);
}

char *rb_words_tell(const RbWords *words, int value)
{
    return rb_told_word(word_at(words, value)->label);
}

const char *rb_words_said(const RbWords *words, int value)
{
    const char *said = word_at(words, value)->said;
    g_assert(said != NULL);
    return g_dpgettext2(GETTEXT_PACKAGE, "in a sentence", said);
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
