/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/work/likely.h"
#include "rb/work/tagging.h"

/* The rail: what is asked of one snap, one question at a time, each answered by one key.
 *
 * Asked are the tags the staff requires of every dropback and, beyond those, only what the
 * verdict still hangs on (rb_judge_open_tags), so that read states are asked until the verdict
 * settles, and the release only where the clock can change it. Nothing is filled in unasked:
 * what an answer brings with it (a sack was not caught; a caught ball is a completion) stands
 * in its option and in the history. Pure: no database, no film, no keyboard. */
typedef struct RbRail RbRail;

typedef enum {
    RB_ASK_FACTS,    /* before anything: situation, play */
    RB_ASK_PICTURE,  /* from the wide angle: call, shown, played */
    RB_ASK_DECISION, /* from both: ball, read states, pressure, outcome */
} RbAskPass;

/* One way to answer. */
typedef struct {
    char *label;     /* owned */
    gunichar key;    /* lower case letter, capital or digit; 0: by name only */
    double share;    /* how likely by this library's tags, 0 to 1; 0 unseen */
    GPtrArray *tags; /* owned, of char *: field, value, field, value, … */
    bool now;        /* what is tagged already (a question asked again) */
} RbOption;

typedef struct {
    const char *token; /* static: "coverage", "corners" */
    char *label;       /* owned */
    RbAskPass pass;
    GPtrArray
        *options; /* owned, of RbOption, the likeliest first; Enter takes the first */
    const RbTaggable *typed; /* nullable: a number or time may be typed */
    bool from_film; /* typed: seconds after the snap, which the frame shown can tell */
    bool follows;   /* the first option follows from facts, by rule, not by counts */
    bool can_split; /* the sides can differ: rb_rail_split() asks them one by one */
} RbQuestion;

void rb_question_free(RbQuestion *question);

/* What is known of the snap. All borrowed. */
typedef struct {
    const RbNames *names;
    const RbSnap *snap;
    const RbChart *chart;
    const GPtrArray *clips;    /* nullable, of RbClip: measured releases */
    const RbSnap *last_snap;   /* nullable: the snap before it in the game */
    const RbChart *last_chart; /* nullable: of the dropback before it */
    const RbLikely *likely;    /* nullable */
} RbRailView;

/* The setting that names the required tags: tokens of fields, comma between. */
#define RB_REQUIRED_SETTING "required-tags"
extern const char *const rb_required_default;
/* Checks such a list. False with a sentence that names the field. */
bool rb_required_check(const char *list, GError **error);
bool rb_required_has(const char *list, const RbTaggable *field);
/* The list with or without that field, in the order of the tags. Returns: (transfer full). */
char *rb_required_with(const char *list, const RbTaggable *field, bool required);

/* The staff's list: shared, journaled. get: the default when never set; (transfer full)
 * (nullable): with `error` set. told: (out) (nullable) (transfer full): what changed; NULL:
 * nothing. */
char *rb_library_get_required(RbLibrary *library, GError **error);
bool rb_library_set_required(RbLibrary *library, const char *list, char **told,
                             GError **error);

/* required: (nullable): NULL takes the default. */
RbRail *rb_rail_new(const char *required);
void rb_rail_free(RbRail *rail); /* NULL is allowed */
void rb_rail_set_required(RbRail *rail, const char *required);
/* Asks no further than this pass: RB_ASK_PICTURE goes through a game for the picture alone. */
void rb_rail_set_pass(RbRail *rail, RbAskPass last);

/* The question that is due. A snap other than the last one starts afresh. Returns: (transfer
 * full) (nullable): NULL when nothing is left to ask. */
RbQuestion *rb_rail_ask(RbRail *rail, const RbRailView *view);
/* The question was answered: it can be gone back to. */
void rb_rail_answered(RbRail *rail, const RbQuestion *question);
/* Leaves it open for this visit. */
void rb_rail_skip(RbRail *rail, const RbQuestion *question);
void rb_rail_split(RbRail *rail, const RbQuestion *question);
/* The question before is asked again, with what was answered as the first option. False when
 * there is none. */
bool rb_rail_back(RbRail *rail);

/* The option of a key. Returns: (transfer none) (nullable). */
const RbOption *rb_question_find_key(const RbQuestion *question, gunichar key);
/* What the option says of a field. Returns: (transfer none) (nullable). */
const char *rb_option_value(const RbOption *option, const char *field);
/* Options whose label holds the text, any case, those that begin with it first. Returns:
 * (transfer container): of borrowed RbOption. */
GPtrArray *rb_question_narrow(const RbQuestion *question, const char *text);

/* Required fields without a value that a dropback like this needs. Returns: (transfer full): of borrowed
 * RbTaggable. */
GPtrArray *rb_rail_missing(const RbRail *rail, const RbRailView *view);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbQuestion, rb_question_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbRail, rb_rail_free)
