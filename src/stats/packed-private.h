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

/* Every field but the one that can have several values has a column. */
#define RB_PACKED_COLUMNS RB_FIELD_OWN_TAG
G_STATIC_ASSERT(RB_FIELD_OWN_TAG == RB_FIELDS - 1);

/* What has no dictionary. */
typedef struct {
    RbSnapId snap;
    double points;
    int16_t gain;
    int16_t release_ms;
    uint8_t flags;
    uint8_t ending;
    int8_t right_read;
    int8_t ball_read;
} RbPackedRest;

enum { SUCCEEDED = 1, POINTED = 2, PRESSED = 4, COUNTED = 8 };

struct RbPacked {
    int n;
    int room;
    RbPackedColumn columns[RB_PACKED_COLUMNS];
    GArray *lists;      /* owned, of RbPackedList */
    RbPackedRest *rest; /* owned */
};
