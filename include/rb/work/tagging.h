/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/model/chart.h"
#include "rb/model/snap.h"
#include "rb/read/verdict.h"
#include "rb/work/library.h"
#include "rb/work/names.h"

/* Every field of a snap that a person can tag, in one table: the rail, the command line and the
 * history all speak through it. Facts belong to the snap and are shared; the rest belongs to
 * the chart of the person who works. Values pass as text: the token (or label) of a fixed word
 * or of a term, a concept's token, a jersey, a number in the unit named; "" or "-" is unknown.
 * Penalties are records of their own and not fields. */
typedef enum {
    RB_VALUE_WORD,    /* one of `words`; value 0 is unknown unless `always` */
    RB_VALUE_TERM,    /* a term of kind `terms` */
    RB_VALUE_CONCEPT, /* a concept of the playbook */
    RB_VALUE_PLAYER,  /* a jersey of the offense */
    RB_VALUE_TEAM,    /* one of the game's two teams */
    RB_VALUE_NUMBER,  /* a whole number */
    RB_VALUE_GAIN,    /* a whole number: yards, with a sign */
    RB_VALUE_TENTHS,  /* yards with at most one decimal: "7.5"; low and high in tenths */
    RB_VALUE_SECONDS, /* seconds with at most three decimals: "2.35"; low and high in ms */
    RB_VALUE_CLOCK,   /* game clock: "7:42"; low and high in seconds */
    RB_VALUE_YARDLINE, /* "own 25", "opp 40", "50" */
    RB_VALUE_BALL,     /* "read-2", "hot", "scramble": RbBall with its read */
    RB_VALUE_OWN_TAGS, /* the staff's own tags, apart by commas; "+one, -other" changes some */
    RB_VALUE_TEXT,
} RbValueKind;

/* Where a field stands on a screen. */
typedef enum {
    RB_GROUP_SITUATION,
    RB_GROUP_OFFENSE, /* quarterback, personnel, formation, call */
    RB_GROUP_SHOWN,
    RB_GROUP_PLAYED,
    RB_GROUP_READS,
    RB_GROUP_OUTCOME, /* pressure, throw, catch, result, gain */
} RbTagGroup;

typedef struct {
    const char *token; /* "coverage", "left-technique", "read-2" */
    const char *label; /* "Coverage", "Left corner" */
    RbTagGroup group;
    bool is_fact;
    RbValueKind kind;
    const RbWords *words; /* RB_VALUE_WORD */
    RbTermKind terms;     /* RB_VALUE_TERM */
    int low;              /* numbers and times, both ends included */
    int high;
    int unknown; /* the number that stands for unknown in the model */
    bool always; /* words: value 0 is a value like any other */
    int slot;    /* looks: the read, 1 and up; else 0 */

    size_t offset;                      /* of the value in RbSnap or RbChart */
    void (*after)(RbSnap *, RbChart *); /* nullable: keeps other fields in step */
} RbTaggable;

/* One value that a field can take. */
typedef struct {
    char *token; /* owned: what to pass as text */
    char *label; /* owned */
} RbAnswer;

void rb_answer_free(RbAnswer *answer);

const RbTaggable *rb_taggables(int *n);
/* Returns: (transfer none) (nullable): NULL with a sentence in `error`. */
const RbTaggable *rb_taggable_parse(const char *token, GError **error);
/* The field that a verdict asks for. Returns: (transfer none) (nullable). */
const RbTaggable *rb_taggable_for(const RbTag *tag);
/* The values to choose from, hidden words left out; empty for numbers and texts.
 * Returns: (transfer full): of RbAnswer. */
GPtrArray *rb_taggable_answers(const RbTaggable *field, const RbNames *names,
                               const RbSnap *snap);
/* The value, as text that rb_taggable_set() takes back, the same in every language; "" when unknown.
 * Returns: (transfer full). */
char *rb_taggable_get(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                      const RbChart *chart);
/* The same as a person would type it: yard lines in the reader's words. Returns: (transfer full). */
char *rb_taggable_typed(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                        const RbChart *chart);
/* The value for people: "Cover 3", "2.4 s", "own 25"; "unknown", in the reader's
 * language. Returns: (transfer full). */
char *rb_taggable_show(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                       const RbChart *chart);
/* Sets it in `snap` or `chart` (in memory). False with a sentence; then nothing is changed. */
bool rb_taggable_set(const RbTaggable *field, const RbNames *names, RbSnap *snap,
                     RbChart *chart, const char *text, GError **error);

typedef struct {
    const char *field; /* token */
    const char *value;
} RbTagChange;

/* Sets tags of one snap in one journal action, in the chart of the person who works (started
 * from the chart that counts, if they have none) and the snap's facts. All or nothing. words: (out)
 * (nullable) (transfer full): what the history says; NULL when nothing was different. */
bool rb_library_tag(RbLibrary *library, RbSnapId snap, const RbTagChange *changes, int n,
                    char **words, GError **error);

/* Sets one tag of many snaps (of RbSnapId) in one journal action: all of them or none. */
bool rb_library_tag_snaps(RbLibrary *library, const GArray *snaps, RbTagChange change,
                          char **words, GError **error);

/* Sets a mark of a clip to a frame, with its time. One journal action. */
bool rb_library_set_mark(RbLibrary *library, RbClipId clip, RbMarkKind kind,
                         int64_t frame, RbTime time, int index_version, GError **error);

/* Everything a screen shows of one snap, as values for any thread. */
typedef struct {
    RbNames *names; /* owned reference */
    RbSnap *snap;   /* owned */
    RbChart
        *chart; /* owned: the person's own; until there is one, a copy of the chart that
                     * counts, or an empty one: what their first tag will start from */
    bool own;   /* false: `chart` is not saved yet */
    RbChart
        *counts; /* owned, nullable: the chart that counts when it is somebody else's */
    GPtrArray *clips; /* owned, of RbClip */
    GPtrArray *paths; /* owned, of char *, by clip: where its film lies; "" unknown */
    bool judged;      /* false: not a pass play; the next fields are empty */
    bool success;
    bool has_points;
    double points;
    RbJudgment judgment; /* of `chart`; borrows from `names` */
    GPtrArray *reasons;  /* owned, of char *: sentences */
    char *settle;        /* owned, nullable: the tag that would settle it */
    int n_slots;         /* reads of the call, in the concept's own order */
    RbRung slots[RB_READS_MAX];
} RbSheet;

RbSheet *rb_library_load_sheet(RbLibrary *library, RbSnapId snap, GError **error);
void rb_sheet_free(RbSheet *sheet);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbAnswer, rb_answer_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSheet, rb_sheet_free)
