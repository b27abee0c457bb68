/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/stats/passer.h"
#include "rb/work/snapshot.h"

/* One quarterback's decisions under a filter: how often he was right, where, how late, against
 * whom, and what costs him most. A grade is one coach's reading of one angle: every rate comes
 * with its n and interval, and every figure with the snaps behind it. */

/* How often a decision was right. Judged: verdict neither ungraded nor spoiled. Right: on the
 * read, or sound. low, high: Wilson, 80 %; 0 and 1 with nothing judged. */
typedef struct {
    int judged;
    int right;
    double low;
    double high;
} RbRate;

bool rb_verdict_is_judged(RbVerdict verdict);
bool rb_verdict_is_right(RbVerdict verdict);
/* Judged, not right, and his to make: the rush took no decision from him. */
bool rb_verdict_is_error(RbVerdict verdict);

/* His decisions with one value of a field. */
typedef struct {
    int64_t value;
    char *label; /* owned: "Quarters", "3rd down", "Read 2" */
    RbRate rate;
    GArray *snaps; /* owned, of RbSnapId: the judged ones */
} RbDecisionGroup;

/* Process against result: judged decisions but for those that the rush never let him make. */
typedef enum {
    RB_DECISION_RIGHT_GOOD, /* a right decision and the snap succeeded */
    RB_DECISION_RIGHT_BAD,
    RB_DECISION_WRONG_GOOD,
    RB_DECISION_WRONG_BAD,
} RbDecision;
#define RB_DECISIONS (RB_DECISION_WRONG_BAD + 1)

/* One throw to a read whose clock is known. */
typedef struct {
    RbSnapId snap;
    int read;         /* slot */
    RbRoute route;    /* as run */
    int release_ms;   /* after the snap */
    int due_ms;       /* the read's clock */
    int tolerance_ms; /* late: after due plus tolerance */
    bool late;
} RbThrowTime;

/* One game of the trend. */
typedef struct {
    RbGameId game;
    const char *title; /* borrowed from the snapshot's names */
    const char *date;  /* borrowed, nullable */
    RbRate rate;
} RbGameRate;

/* A wrong decision that comes back: the same verdict at the same read against the same picture.
 * Cost: what those snaps earned less than his right decisions do on average, in points. */
typedef struct {
    RbVerdict verdict;
    int read;              /* the right read; 0: none was open, or not the question */
    RbShell shell;         /* unknown: whatever the shell */
    RbTechnique technique; /* of the corner on the side worked; unknown: whatever */
    int times;             /* it happened */
    int of;                /* judged decisions with the same right read and picture */
    double cost;           /* points; 0 without points */
    char *sentence; /* owned: "Against two-high with a squat corner you …, 6 of 9." */
    GArray *snaps;  /* owned, of RbSnapId: those times */
} RbHabit;

/* A habit is told from this many times on; fewer are an accident. */
enum { RB_HABIT_MIN = 3, RB_HABITS_MAX = 3 };

typedef struct {
    int dropbacks; /* that count */
    RbRate rate;
    int verdicts[RB_VERDICTS];
    GArray *decisions[RB_DECISIONS]; /* owned, of RbSnapId */
    GPtrArray *throws;               /* owned, of RbThrowTime: by read, then release */
    GPtrArray *games;                /* owned, of RbGameRate: by date */
    GPtrArray *habits;               /* owned, of RbHabit: the costliest first */
    RbPassing passing;               /* every official attempt, screens too */
} RbQuarterback;

/* selection: of one quarterback, or of all together. Returns: (transfer full). */
RbQuarterback *rb_quarterback_new(const RbSelection *selection);
void rb_quarterback_free(RbQuarterback *quarterback); /* NULL is allowed */

/* Who has dropbacks that count, most first. Returns: (transfer full): GArray of RbPlayerId. */
GArray *rb_quarterbacks_of(const RbSnapshot *snapshot);

/* The fields his decisions are shown by. */
enum { RB_QUARTERBACK_FIELDS = 8 };
extern const RbField rb_quarterback_fields[RB_QUARTERBACK_FIELDS];

/* His decisions by a field: concept, coverage, shell, side worked, hash, pressure, down, or
 * RB_FIELD_READ, the right read. Snaps without the value are left out. Most judged first; reads
 * and downs in their order. Returns: (transfer full): GPtrArray of RbDecisionGroup. */
GPtrArray *rb_quarterback_groups(const RbSelection *selection, RbField field);

/* The median of times in milliseconds, the lower of the middle two. values: of int, not empty; sorted
 * in place. */
int rb_median_ms(GArray *values);

/* Snaps with a verdict. Returns: (transfer full): GArray of RbSnapId. */
GArray *rb_quarterback_snaps(const RbSelection *selection, RbVerdict verdict);
/* The reel of errors: every wrong decision, in game order. */
GArray *rb_quarterback_errors(const RbSelection *selection);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbQuarterback, rb_quarterback_free)
