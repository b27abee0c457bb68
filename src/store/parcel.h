/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/exchange.h"
#include "rb/store/history.h"

#include "record.h"

/* What a parcel holds, as plain values, and its bytes.
 *
 * All integers little-endian; a text is a u32 length and UTF-8 without NUL.
 *     "RBWORK1\n"  u32 schema  u64 size of the whole file  i64 laptop  i64 first number
 *     i64 names forgotten  i64 last seq before the first action
 *     u32 fields { text table, text column }
 *     u32 actions { i64 stamp, i64 person, u8 type, text words, i64 target laptop, i64 target
 *                   number, text table and i64 row whose name is forgotten,
 *                   u32 ops { u32 field, i64 row, value old, value new,
 *                             u32 bases { i64 laptop, i64 seq }, i64 of laptop, i64 of seq } }
 *     SHA-256 of all before it
 * A value is a u8 kind and what it needs: 0 none, 1 i64, 2 text. */

typedef enum { RB_CELL_NONE, RB_CELL_INT, RB_CELL_TEXT } RbCellKind;

typedef struct {
    RbCellKind kind;
    int64_t number;
    char *text; /* owned, nullable */
} RbCell;

typedef struct {
    guint field; /* index into the parcel's */
    int64_t row;
    RbCell old;
    RbCell new_;
    GArray *base; /* owned, of RbOpId: what it replaced */
    RbOpId of;    /* undo, redo: the op whose value it brings back; else zeros */
} RbParcelOp;

typedef struct {
    int64_t stamp;
    int64_t person;
    RbActionType type;
    char *words; /* owned */
    RbActionId target;
    char *forget_table; /* owned; empty for none */
    int64_t forget_row;
    GPtrArray *ops; /* owned, of RbParcelOp */
} RbParcelAction;

typedef struct {
    char *table;  /* owned */
    char *column; /* owned */
} RbParcelField;

struct RbParcel {
    int schema;
    int64_t laptop;
    int64_t first;
    int64_t forgotten;
    int64_t seq_before; /* ops of this laptop before the first action */
    GPtrArray *fields;  /* owned, of RbParcelField */
    GPtrArray *actions; /* owned, of RbParcelAction */
};

RbParcel *rb_parcel_new(void);
RbParcelAction *rb_parcel_action_new(void);
RbParcelOp *rb_parcel_op_new(void);
guint rb_parcel_add_field(RbParcel *parcel, const char *table, const char *column);
GBytes *rb_parcel_write(const RbParcel *parcel);

/* rb_parcel_parse() for a program with another schema. */
RbParcel *rb_parcel_parse_with(GBytes *bytes, const char *name, int schema,
                               GError **error);
