/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/ids.h"
#include "rb/model/words.h"

/* A concept: a named route combination with its progression. The values live here because
 * the read engine judges with them; reading and writing the playbook file is book's job. */

#define RB_READS_MAX 8 /* reads of one order, an across call's two concepts together */

/* When the ball should leave for a read. */
typedef enum {
    RB_CLOCK_UNKNOWN,  /* this read is never late */
    RB_CLOCK_SECONDS,  /* `ms` holds the time */
    RB_CLOCK_FOOTWORK, /* steps and hitches, turned into time by a footwork table */
} RbClockKind;

typedef enum { RB_BACKFIELD_GUN, RB_BACKFIELD_CENTRE } RbBackfield;

/* How the quarterback gets to where he throws from. */
typedef enum {
    RB_DROP_STRAIGHT, /* so many steps back, after a play fake or not */
    RB_DROP_BOOT,     /* a fake, then around the end away from it */
    RB_DROP_SPRINT,   /* straight to the edge */
} RbDrop;

typedef struct {
    RbClockKind kind;
    int ms; /* after the snap */
    RbDrop drop;
    bool fake;             /* straight: a play fake comes before the steps */
    RbBackfield backfield; /* straight */
    int steps;             /* straight: 1, 3, 5, 7 */
    int hitches;           /* 0 or more, after the last step or on the move */
    int tolerance_ms;      /* 0 or more */
} RbClock;

/* Who runs a read: counted from the sideline in on its side, or a back. */
typedef enum {
    RB_RUNNER_UNKNOWN,
    RB_RUNNER_1,
    RB_RUNNER_2,
    RB_RUNNER_3,
    RB_RUNNER_4,
    RB_RUNNER_BACK,
} RbRunner;

/* Which side of the field a read is on, seen from the side the concept is worked to. */
typedef enum { RB_READ_SIDE_SAME, RB_READ_SIDE_OTHER } RbReadSide;

#define RB_POINTS_MAX 8 /* of a route drawn freely */

/* A point of a route drawn freely, from where the man lines up, in tenths of a yard. */
typedef struct {
    int deep_tenths; /* downfield of the line of scrimmage; negative behind it */
    int out_tenths;  /* toward his own sideline; negative toward the middle */
} RbDrawnPoint;

/* What a landmark is measured from. */
typedef enum {
    RB_FROM_NONE,     /* no yards: the words alone */
    RB_FROM_SIDELINE, /* yards in from it */
    RB_FROM_NUMBERS,  /* yards outside of their tops; negative inside */
    RB_FROM_HASH,     /* yards outside of the hash marks; negative inside */
} RbLandmarkFrom;

typedef struct {
    int number; /* 1 and up, unique in the concept: what tags and rules refer to */
    RbRoute route;
    RbRunner runner;
    RbReadSide side;
    int depth_yd;   /* of the break; 0 unknown */
    char *landmark; /* owned, nullable: "top of the numbers" */
    RbLandmarkFrom landmark_from;
    int landmark_tenths; /* of a yard; 0 while from is none */
    RbDrawnPoint
        points[RB_POINTS_MAX]; /* of RB_ROUTE_DRAWN, where he lines up left out */
    int n_points;              /* 0 for every other route */
    char *key;      /* owned, nullable: the defender who tells: "flat defender" */
    bool clear_out; /* run to take a defender away: never a read in force */
    bool outlet;    /* the last resort */
    RbClock clock;
} RbRead;

/* Which corner or side a condition speaks of. */
typedef enum {
    RB_WHERE_READ_SIDE,  /* the side of the rule's read */
    RB_WHERE_OTHER_SIDE, /* the other one */
    RB_WHERE_LEFT,
    RB_WHERE_RIGHT,
} RbWhere;

typedef enum {
    RB_IF_SHELL,           /* value: RbShell, shown */
    RB_IF_COVERAGE,        /* value: term id, played */
    RB_IF_FAMILY,          /* value: RbFamily of the coverage played */
    RB_IF_TECHNIQUE,       /* value: RbTechnique, shown or played, `where` */
    RB_IF_CUSHION_AT_MOST, /* value: tenths of a yard, shown, `where` */
    RB_IF_CUSHION_AT_LEAST,
    RB_IF_SPLIT_AT_MOST, /* value: tenths of a yard, the outside receiver of `where` */
    RB_IF_SPLIT_AT_LEAST,
    RB_IF_LEVERAGE,    /* value: RbLeverage, shown, `where` */
    RB_IF_SAFETY_OVER, /* value: RbYesNo: a half-field safety over the side, `where` */
    RB_IF_ROTATION,    /* value: 1 toward `where`, 0 away from it; shown or played */
    RB_IF_RUSHERS_AT_LEAST, /* value: count, played */
    RB_IF_UNBLOCKED,        /* an unblocked rusher from `where` */
    RB_IF_HASH,             /* value: RbHash */
    RB_IF_FIELD_SIDE,       /* value: 1 when `where` is the wide side, 0 the boundary */
    RB_IF_DOWN,             /* value: 1 to 4 */
    RB_IF_DISTANCE_AT_MOST, /* value: yards */
    RB_IF_DISTANCE_AT_LEAST,
    RB_IF_WIDTH,       /* value: RbWidth of the formation */
    RB_IF_FORMATION,   /* value: term id */
    RB_IF_STRONG_SIDE, /* value: 1 when `where` has more receivers, 0 when fewer */
} RbConditionKind;

typedef struct {
    RbConditionKind kind;
    RbWhere where;
    bool negated; /* "not" */
    int64_t value;
} RbCondition;

typedef enum {
    RB_DO_DROP,               /* take the read out of the order: dead by rule */
    RB_DO_CONVERT,            /* change its route; live or clear-out */
    RB_DO_FRONT,              /* bring it to the front */
    RB_DO_REQUIRE_ADJUSTMENT, /* the quarterback must make `adjustment` */
    RB_DO_RUNNER,             /* another man runs it */
    RB_DO_SIDE,               /* work the side `where` */
    RB_DO_HOT,                /* name the hot read */
} RbActionKind;

typedef struct {
    char *name;         /* owned: "squat corner makes the out a clear-out" */
    int read;           /* the read it speaks of; 0 for side and adjustment rules */
    GArray *conditions; /* owned, of RbCondition; all must hold; never NULL */
    RbActionKind action;
    RbRoute route;       /* convert */
    bool clear_out;      /* convert */
    RbRunner runner;     /* runner */
    RbWhere where;       /* side: left or right, or read-side meaning the strong side */
    RbTermId adjustment; /* require adjustment */
} RbRule;

/* What picks the side before the snap, in order; the first that tells decides. */
typedef enum {
    RB_PICK_FREE_ACCESS, /* an off corner with at least `cushion` and no squat */
    RB_PICK_AWAY_FROM_ROTATION,
    RB_PICK_FIELD,
    RB_PICK_BOUNDARY,
} RbPickKind;

typedef struct {
    RbPickKind kind;
    int cushion_tenths; /* free access */
} RbPick;

typedef struct {
    RbConceptId id;
    RbRevisionId revision; /* 0: not saved yet */
    char *token;           /* owned: "curl-flat": what the command line and files use */
    char *name;            /* owned */
    char *notes;           /* owned, nullable */
    bool full_field;       /* false: one side's combination */
    bool hidden;           /* no longer called; kept for the snaps that were */
    GPtrArray *reads;      /* owned, of RbRead, in order; never NULL */
    GPtrArray *rules;      /* owned, of RbRule, in order; never NULL */
    GArray *picks;         /* owned, of RbPick, in order; never NULL */
} RbConcept;

#define RB_STEPS_MAX 9

/* Time after the snap for each footwork. Defaults: common practice, no source (see
 * rb_footwork_defaults); the staff can set its own. */
typedef struct {
    RbBackfield backfield;
    int steps;
    int ms; /* ball leaves as the last step lands */
} RbFootworkRow;

typedef struct {
    RbFootworkRow rows[2 * RB_STEPS_MAX]; /* from centre and from the gun */
    int n;
    int hitch_ms; /* added for each hitch */
    int fake_ms;  /* added for a play fake before the steps */
    int boot_ms;  /* snap to ready to throw, its fake within */
    int sprint_ms;
} RbFootwork;

/* What a value of the table is for when it is not for so many steps. */
enum {
    RB_FOOTWORK_HITCH = 0,
    RB_FOOTWORK_FAKE = -1,
    RB_FOOTWORK_BOOT = -2,
    RB_FOOTWORK_SPRINT = -3,
};

RbRead *rb_read_new(int number, RbRoute route);
RbRead *rb_read_copy(const RbRead *read);
void rb_read_free(RbRead *read);
RbRule *rb_rule_new(RbActionKind action, int read);
RbRule *rb_rule_copy(const RbRule *rule);
void rb_rule_free(RbRule *rule);
/* The id is hashed from the token: two laptops that import one playbook agree. */
RbConcept *rb_concept_new(const char *token, const char *name);
RbConcept *rb_concept_copy(const RbConcept *concept);
void rb_concept_free(RbConcept *concept);

/* Returns: (transfer none) (nullable). */
const RbRead *rb_concept_find_read(const RbConcept *concept, int number);

const RbFootwork *rb_footwork_defaults(void);
/* Where the default of these steps, or of RB_FOOTWORK_HITCH and so on, comes from, in words. Returns:
 * (transfer none) (nullable): NULL when there is no default. */
const char *rb_footwork_default_source(RbBackfield backfield, int steps);
/* The time of a clock in ms after the snap; false when it is unknown or the table lacks it. */
bool rb_clock_ms(const RbClock *clock, const RbFootwork *footwork, int *ms);

extern const RbWords rb_clock_words, rb_drop_words, rb_backfield_words, rb_runner_words,
    rb_read_side_words, rb_landmark_words, rb_where_words, rb_condition_words,
    rb_action_words, rb_pick_words;

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbRead, rb_read_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbRule, rb_rule_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbConcept, rb_concept_free)
