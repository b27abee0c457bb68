/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

/* The fixed words of the program. Each set is an enum whose value 0 means "not known"
 * (unless its comment says otherwise). A word has a token (lower case, hyphens; what the
 * database, JSON and the command line use; never changed once released) and a label (for people;
 * marked for translation in its table and translated as it is asked for). The staff's own words are terms (vocabulary.h). */

typedef struct {
    const char *token;
    const char *label;
    const char *said; /* inside a sentence: "two high"; NULL in sets that never are */
} RbWord;

typedef struct {
    const char *name; /* what the set is called in a message: "verdict" */
    const RbWord *words;
    int n;
} RbWords;

const char *rb_words_token(const RbWords *words, int value); /* asserts the range */
const char *rb_words_label(const RbWords *words, int value);
char *rb_words_tell(const RbWords *words,
                    int value); /* the label, told (rb/base/told.h) */
const char *rb_words_said(const RbWords *words, int value); /* asserts that it has one */
/* False if `token` is NULL or not one of the set. */
bool rb_words_parse(const RbWords *words, const char *token, int *value);
/* "open, covered or cant-tell", for messages. Returns: (transfer full). */
char *rb_words_list(const RbWords *words);

typedef enum { RB_SIDE_UNKNOWN, RB_SIDE_LEFT, RB_SIDE_RIGHT } RbSide; /* offense's view */
typedef enum { RB_HASH_UNKNOWN, RB_HASH_LEFT, RB_HASH_MIDDLE, RB_HASH_RIGHT } RbHash;
/* The side with more receivers after motion. */
typedef enum {
    RB_STRONG_UNKNOWN,
    RB_STRONG_LEFT,
    RB_STRONG_RIGHT,
    RB_STRONG_EVEN, /* as many on each side */
} RbStrong;
typedef enum { RB_ANGLE_WIDE, RB_ANGLE_TIGHT, RB_ANGLE_OTHER } RbAngle; /* always known */
typedef enum { RB_GAME_GAME, RB_GAME_PRACTICE, RB_GAME_SEVEN } RbGameKind;
typedef enum { RB_RULES_HIGH_SCHOOL, RB_RULES_COLLEGE, RB_RULES_PRO } RbRules;
typedef enum { RB_PHASE_SCRIMMAGE, RB_PHASE_TRY, RB_PHASE_FREE_KICK } RbPhase;

typedef enum {
    RB_PLAY_UNKNOWN,
    RB_PLAY_DROPBACK,
    RB_PLAY_QUICK,
    RB_PLAY_ACTION,
    RB_PLAY_BOOT,
    RB_PLAY_SPRINT_OUT,
    RB_PLAY_SCREEN,
    RB_PLAY_RUN_PASS_OPTION,
    RB_PLAY_RUN,
    RB_PLAY_SPIKE,
    RB_PLAY_KNEEL,
    RB_PLAY_PUNT,
    RB_PLAY_FIELD_GOAL,
    RB_PLAY_KICKOFF,
    RB_PLAY_OTHER,
} RbPlay;

/* What became of the ball. How the play ended beyond that is RbEnding, so that a completion
 * can be a touchdown and a sack a safety. */
typedef enum {
    RB_RESULT_UNKNOWN,
    RB_RESULT_COMPLETE,
    RB_RESULT_INCOMPLETE,
    RB_RESULT_INTERCEPTED,
    RB_RESULT_SACK,
    RB_RESULT_SCRAMBLE,
    RB_RESULT_THROWN_AWAY,
    RB_RESULT_RUN,
    RB_RESULT_KICK_GOOD,
    RB_RESULT_KICK_MISSED,
    RB_RESULT_KICKED,  /* punt or kickoff, whatever the return */
    RB_RESULT_NO_PLAY, /* wiped out by a penalty */
} RbResult;

typedef enum {
    RB_ENDING_NONE, /* an ordinary dead ball; also the value of an untagged snap */
    RB_ENDING_TOUCHDOWN,
    RB_ENDING_SAFETY,
    RB_ENDING_FUMBLE_LOST,
    RB_ENDING_TOUCHDOWN_AGAINST, /* the other team scored on the play */
} RbEnding;

typedef enum { RB_FOUL_OFFENSE, RB_FOUL_DEFENSE } RbFoulSide;
typedef enum { RB_RULING_ACCEPTED, RB_RULING_DECLINED, RB_RULING_OFFSET } RbRuling;
typedef enum {
    RB_ENFORCED_PREVIOUS_SPOT,
    RB_ENFORCED_DEAD_BALL,
    RB_ENFORCED_SPOT_OF_FOUL,
} RbEnforced;

/* Marks in the order in which they happen. */
typedef enum {
    RB_MARK_SET,
    RB_MARK_SNAP,
    RB_MARK_TOP, /* top of the drop */
    RB_MARK_RELEASE,
    RB_MARK_ARRIVAL,
    RB_MARK_END,
} RbMarkKind;

/* The picture. */
typedef enum {
    RB_SHELL_UNKNOWN,
    RB_SHELL_NONE_DEEP,
    RB_SHELL_ONE_HIGH,
    RB_SHELL_TWO_HIGH,
    RB_SHELL_THREE_HIGH,
    RB_SHELL_UNCLEAR, /* a person looked and could not say: not the same as untagged */
} RbShell;
typedef enum {
    RB_TECHNIQUE_UNKNOWN,
    RB_TECHNIQUE_PRESS,
    RB_TECHNIQUE_OFF,
    RB_TECHNIQUE_BAIL,
    RB_TECHNIQUE_SQUAT,
    RB_TECHNIQUE_HARD,
} RbTechnique;
typedef enum {
    RB_LEVERAGE_UNKNOWN,
    RB_LEVERAGE_INSIDE,
    RB_LEVERAGE_OUTSIDE,
    RB_LEVERAGE_HEAD_UP,
} RbLeverage;
typedef enum {
    RB_ROTATION_UNKNOWN,
    RB_ROTATION_NONE,
    RB_ROTATION_LEFT,
    RB_ROTATION_RIGHT,
} RbRotation;
typedef enum { RB_YES_NO_UNKNOWN, RB_NO, RB_YES } RbYesNo;
typedef enum {
    RB_FAMILY_UNKNOWN,
    RB_FAMILY_MAN,
    RB_FAMILY_ZONE,
    RB_FAMILY_MATCH,
} RbFamily;
typedef enum {
    RB_WIDTH_UNKNOWN,
    RB_WIDTH_NORMAL,
    RB_WIDTH_CONDENSED,
    RB_WIDTH_STACK,
} RbWidth;

/* The judgments. */
typedef enum {
    RB_LOOK_UNKNOWN,
    RB_LOOK_OPEN,
    RB_LOOK_COVERED,
    RB_LOOK_CANT_TELL, /* looked, cannot be told: unknown to the engine, settled for the rail */
} RbLook;              /* the state of one read */
typedef enum {
    RB_BALL_UNKNOWN,
    RB_BALL_READ, /* thrown to a read; the number is beside it */
    RB_BALL_HOT,
    RB_BALL_OFF_SCRIPT,
    RB_BALL_SCRAMBLE,
    RB_BALL_SACK,
    RB_BALL_THROWN_AWAY,
} RbBall;
typedef enum { RB_PRESSURE_UNKNOWN, RB_PRESSURE_NONE, RB_PRESSURE_CAME } RbPressure;
typedef enum {
    RB_MOVEMENT_UNKNOWN,
    RB_MOVEMENT_NONE,
    RB_MOVEMENT_DESIGNED,
    RB_MOVEMENT_FORCED,
} RbMovement;
typedef enum {
    RB_CONTACT_UNKNOWN,
    RB_CONTACT_NONE,
    RB_CONTACT_HIT, /* hit during the throw */
    RB_CONTACT_SACKED,
} RbContact;
typedef enum {
    RB_THROW_UNKNOWN,
    RB_THROW_NONE,
    RB_THROW_ON_TARGET,
    RB_THROW_CATCHABLE,
    RB_THROW_NOT_CATCHABLE,
    RB_THROW_TIPPED, /* batted at the line */
} RbThrow;
typedef enum {
    RB_CATCH_UNKNOWN,
    RB_CATCH_NONE, /* nothing to catch */
    RB_CATCH_CAUGHT,
    RB_CATCH_DROPPED,
    RB_CATCH_BROKEN_UP,
    RB_CATCH_INTERCEPTED,
    RB_CATCH_OUT_OF_BOUNDS,
} RbCatch;
/* Outside the quarterback's control. A chart holds a set of these, and the read each touched. */
typedef enum {
    RB_FAULT_UNKNOWN,
    RB_FAULT_NONE,
    RB_FAULT_WRONG_ROUTE,
    RB_FAULT_WRONG_CALL,
    RB_FAULT_PROTECTION,
    RB_FAULT_SLIP,
} RbFault;
typedef enum {
    RB_CALL_UNKNOWN,
    RB_CALL_SINGLE,   /* one concept */
    RB_CALL_MIRRORED, /* the same concept on both sides: one side is worked */
    RB_CALL_SPLIT,    /* two concepts, of which one side is picked */
    RB_CALL_ACROSS,   /* the first side's reads, then the second side's: one order */
} RbCallKind;

/* Routes: general names of the trade, in the order in which a menu shows them. */
typedef enum {
    RB_ROUTE_UNKNOWN,
    RB_ROUTE_HITCH,
    RB_ROUTE_STOP,
    RB_ROUTE_SLANT,
    RB_ROUTE_QUICK_OUT,
    RB_ROUTE_SPEED_OUT,
    RB_ROUTE_OUT,
    RB_ROUTE_COMEBACK,
    RB_ROUTE_CURL,
    RB_ROUTE_DIG,
    RB_ROUTE_POST,
    RB_ROUTE_CORNER,
    RB_ROUTE_GO,
    RB_ROUTE_FADE,
    RB_ROUTE_SEAM,
    RB_ROUTE_DRAG,
    RB_ROUTE_SHALLOW,
    RB_ROUTE_OVER,
    RB_ROUTE_FLAT,
    RB_ROUTE_PIVOT,
    RB_ROUTE_ANGLE,
    RB_ROUTE_SWING,
    RB_ROUTE_WHEEL,
    RB_ROUTE_SAIL,
    RB_ROUTE_SIT,
    RB_ROUTE_SCREEN,
    RB_ROUTE_CHECK_DOWN,
    RB_ROUTE_DRAWN,
} RbRoute;

/* Results of the read engine. */
typedef enum {
    RB_VERDICT_UNGRADED, /* completions of the unknown tags differ */
    RB_VERDICT_SPOILED,
    RB_VERDICT_MISSED_ADJUSTMENT,
    RB_VERDICT_WRONG_SIDE,
    RB_VERDICT_MISSED_HOT,
    RB_VERDICT_FORCED,
    RB_VERDICT_ON_READ,
    RB_VERDICT_LATE,
    RB_VERDICT_NO_TIME,
    RB_VERDICT_PASSED_UP,
    RB_VERDICT_HELD,
    RB_VERDICT_BAILED,
    RB_VERDICT_SOUND,
} RbVerdict;
#define RB_VERDICTS (RB_VERDICT_SOUND + 1)

typedef enum {
    RB_STAGE_NOT_JUDGED,
    RB_STAGE_SUCCESS,
    RB_STAGE_BEFORE_SNAP,
    RB_STAGE_TIPPED,
    RB_STAGE_PROTECTION,
    RB_STAGE_EYES,
    RB_STAGE_COVERED,
    RB_STAGE_CLOCK,
    RB_STAGE_THROW,
    RB_STAGE_CATCH,
    RB_STAGE_AFTER,
} RbStage;
#define RB_STAGES (RB_STAGE_AFTER + 1)

/* Kinds of terms in the staff's vocabulary. */
typedef enum {
    RB_TERM_COVERAGE,
    RB_TERM_FORMATION,
    RB_TERM_PERSONNEL,
    RB_TERM_MOTION,
    RB_TERM_ADJUSTMENT,
    RB_TERM_PROTECTION,
    RB_TERM_FOUL,
    RB_TERM_OWN_TAG, /* what a staff wants to find again, for reasons of its own */
} RbTermKind;

extern const RbWords rb_side_words, rb_strong_words, rb_hash_words, rb_angle_words,
    rb_game_kind_words, rb_rules_words, rb_phase_words, rb_play_words, rb_result_words,
    rb_ending_words, rb_foul_side_words, rb_ruling_words, rb_enforced_words,
    rb_mark_words, rb_shell_words, rb_technique_words, rb_leverage_words,
    rb_rotation_words, rb_yes_no_words, rb_family_words, rb_width_words, rb_look_words,
    rb_ball_words, rb_pressure_words, rb_movement_words, rb_contact_words, rb_throw_words,
    rb_catch_words, rb_fault_words, rb_call_words, rb_route_words, rb_verdict_words,
    rb_stage_words, rb_term_kind_words;

/* The side itself; unknown when even or unknown. */
RbSide rb_strong_side(RbStrong strong);
/* What so many receivers on each side make it. */
RbStrong rb_strong_of_counts(int left, int right);
/* Left and right swapped; unknown and middle stay. */
RbSide rb_side_other(RbSide side);
/* The short side of the field; unknown in the middle or when the hash is unknown. */
RbSide rb_hash_boundary(RbHash hash);
/* True for the play kinds on which the quarterback sets up to pass (screens and run-pass
 * options are passes too, but stand outside the ladder). */
bool rb_play_is_pass(RbPlay play);
bool rb_play_is_in_ladder(RbPlay play);
