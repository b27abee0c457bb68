/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/work/library.h"
#include "rb/work/tagging.h"

/* Any number of people who charted the same game: how far they agree on each tag, where they
 * do not, and what each of them tends to call. */

/* Krippendorff's alpha of one tag over the snaps that two people or more tagged; numbers by
 * their difference, words as equal or not. */
typedef struct {
    const RbTaggable *field;
    int snaps;      /* that two or more tagged */
    int alike;      /* of those, on which all said the same */
    bool has_alpha; /* false: only one value was ever said */
    double alpha;
} RbTagAlpha;

/* What one person said of a snap on which not all agree. */
typedef struct {
    RbPersonId person;
    char *shown; /* owned: for people */
} RbSaid;

typedef struct {
    RbSnapId snap;
    int number;
    const RbTaggable *field;
    GArray *said; /* owned, of RbSaid: those who tagged it */
} RbDisagreement;

/* One value that a person calls more or less often than the others do on the same snaps. */
typedef struct {
    const RbTaggable *field;
    RbPersonId person;
    char *shown; /* owned: the value */
    int snaps;   /* that the person and somebody else tagged */
    int said;    /* by the person */
    double
        others; /* how often the others said it there, as a mean over those snaps: 0 to `snaps` */
} RbHabit;

typedef struct {
    RbNames *names;           /* owned reference */
    GArray *people;           /* owned, of RbPersonId: with a chart in the game */
    GArray *tags;             /* owned, of RbTagAlpha, in the order of fields */
    GPtrArray *disagreements; /* owned, of RbDisagreement: by snap, then field */
    GPtrArray *habits;        /* owned, of RbHabit: the farthest from the others first */
} RbManyCharts;

#define RB_HABIT_SNAPS_MIN 5

/* people: (nullable): of RbPersonId; NULL: all who charted the game. Returns: (transfer full)
 * (nullable). */
RbManyCharts *rb_library_compare_people(RbLibrary *library, RbGameId game,
                                        const GArray *people, GError **error);
void rb_many_charts_free(RbManyCharts *charts); /* NULL is allowed */

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbManyCharts, rb_many_charts_free)
