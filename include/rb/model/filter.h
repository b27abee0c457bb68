/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/model/words.h"

/* Which dropbacks are meant. A filter is a list of clauses that must all hold; a clause holds
 * when the field is one of its values, or lies in its range. One object serves the desks, the
 * command line, cut-ups and reports. */
typedef enum {
    RB_FIELD_GAME,
    RB_FIELD_OPPONENT,
    RB_FIELD_DATE, /* yyyymmdd as a number: range */
    RB_FIELD_DOWN,
    RB_FIELD_DISTANCE,      /* range */
    RB_FIELD_YARDS_TO_GOAL, /* range */
    RB_FIELD_HASH,
    RB_FIELD_QUARTER,
    RB_FIELD_CLOSE, /* whether the game was close, RbYesNo: rb_situation_is_close() */
    RB_FIELD_PERSONNEL,
    RB_FIELD_FORMATION,
    RB_FIELD_MOTION,
    RB_FIELD_QUARTERBACK,
    RB_FIELD_CALL,
    RB_FIELD_CONCEPT,
    RB_FIELD_SIDE_WORKED,
    RB_FIELD_SHELL,
    RB_FIELD_COVERAGE,
    RB_FIELD_FAMILY,
    RB_FIELD_TECHNIQUE, /* of the corner on the side worked */
    RB_FIELD_RUSHERS,   /* range */
    RB_FIELD_PRESSURE,
    RB_FIELD_RESULT,
    RB_FIELD_VERDICT, /* this and the next two are computed, never SQL */
    RB_FIELD_STAGE,
    RB_FIELD_READ,
    RB_FIELD_COUNTS,  /* whether it is in the ladder, RbYesNo: computed too */
    RB_FIELD_OWN_TAG, /* the one field of which a dropback can have several values */
    RB_FIELDS,
} RbField;

extern const RbWords rb_field_words;

typedef struct {
    RbField field;
    bool is_range;
    int64_t low; /* range, both ends included */
    int64_t high;
    GArray *values; /* owned, of int64_t; never NULL */
} RbClause;

typedef struct {
    GPtrArray *clauses; /* owned, of RbClause; never NULL */
} RbFilter;

/* An empty filter: everything. */
RbFilter *rb_filter_new(void);
RbFilter *rb_filter_copy(const RbFilter *filter);
void rb_filter_free(RbFilter *filter);
bool rb_filter_equal(const RbFilter *a, const RbFilter *b);

/* Adds a value to the field's clause, making the clause if there is none. */
void rb_filter_add_value(RbFilter *filter, RbField field, int64_t value);
/* Sets the field's clause to a range. low <= high. */
void rb_filter_set_range(RbFilter *filter, RbField field, int64_t low, int64_t high);
void rb_filter_remove(RbFilter *filter, RbField field);
/* Takes over the clauses of `other`: one on a field that `filter` has already replaces it. */
void rb_filter_merge(RbFilter *filter, const RbFilter *other);
/* Returns: (transfer none) (nullable). */
const RbClause *rb_filter_find(const RbFilter *filter, RbField field);

/* Gives a field of one dropback; false when it is not known, which no clause accepts. index: 0,
 * and up for a field that can have several values, until false; a clause holds when one of
 * them fits. */
typedef bool (*RbFieldValue)(const void *row, RbField field, int index, int64_t *value);
/* Whether a dropback can have several values of a field. */
bool rb_field_is_many(RbField field);
bool rb_filter_matches(const RbFilter *filter, const void *row, RbFieldValue value_of);

/* "7-10", "3", "11+" into a range. False with a sentence in `error`. */
bool rb_filter_parse_range(const char *text, int64_t *low, int64_t *high, GError **error);

/* The filter as a line for the database: "concept=123,456;distance=7..10", clauses in the order
 * of RbField. Returns: (transfer full). */
char *rb_filter_to_text(const RbFilter *filter);
/* Returns: (transfer full) (nullable): NULL with a sentence in `error`. */
RbFilter *rb_filter_from_text(const char *text, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilter, rb_filter_free)
