/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/stats/packed.h"

/* How packed columns lie in memory: for packed.c and packed-bytes.c. */

enum { NARROW_MAX = 256, WIDE_MAX = 65536, CODE_UNKNOWN = 0 };

/* One field: code 0 is unknown, code i the i-th value of the dictionary. */
typedef struct {
    int64_t *values; /* owned: by code; [0] is not used */
    int n_values;    /* codes in use, 0 among them */
    int room;
    GHashTable *codes; /* owned, nullable: value to code; made when it is needed */
    uint8_t *narrow;   /* owned, nullable: one of the two holds the codes */
    uint16_t *wide;    /* owned, nullable */
} RbPackedColumn;

/* One value of the field that can have several, and the dropbacks that have it. */
typedef struct {
    int64_t value;
    GArray *places; /* owned, of int32_t */
} RbPackedList;

/* Every field has a column; that of the field with several values, which has lists, holds the
 * snap's number. */
#define RB_PACKED_COLUMNS RB_FIELDS
#define NUMBER_COLUMN RB_FIELD_OWN_TAG

/* What has no dictionary. */
typedef struct {
    RbSnapId snap;
    double points;
    int16_t gain;
    int16_t release_ms;
    uint8_t flags;
    uint8_t ending;
    uint8_t reads;  /* the right one, and from bit 4 the ball's */
    uint8_t opened; /* as of a dropback */
} RbPackedRest;

enum { SUCCEEDED = 1, POINTED = 2, PRESSED = 4, COUNTED = 8, GAINED = 16 };

struct RbPacked {
    int n;
    int room;
    RbPackedColumn columns[RB_PACKED_COLUMNS];
    GArray *lists;      /* owned, of RbPackedList */
    RbPackedRest *rest; /* owned */
};

static inline int rb_packed_code(const RbPackedColumn *column, int place)
{
    return column->narrow != NULL ? column->narrow[place] : column->wide[place];
}

/* 0 for unknown. */
static inline int64_t rb_packed_value(const RbPacked *packed, RbField column, int place)
{
    const RbPackedColumn *own = &packed->columns[column];
    return own->values[rb_packed_code(own, place)];
}
