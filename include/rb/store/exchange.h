/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/store.h"

/* The work of one laptop on its way to another: a parcel, a run of one laptop's actions with
 * every field they set. A parcel is a file in a folder that the staff shares; what it says is
 * merged field by field, so parcels may come in any order, twice, or half of them late.
 *
 * A field shows the greatest of the values nobody has replaced, by the time it was set (the
 * hybrid clock, see open), then by laptop; two laptops with the same actions show the same
 * everywhere. Values set in ignorance of each other are a conflict, listed by
 * rb_store_list_conflicts(). */

#define RB_PARCEL_SUFFIX ".rbwork"

/* Which run of actions a parcel holds: also its file's name, so that a folder can be read
 * without opening what is already known. */
typedef struct {
    int64_t laptop;
    int64_t first; /* number of its first action, from 1 */
    int64_t last;
} RbParcelRange;

/* "LAPTOP-FIRST-LAST.rbwork". Returns: (transfer full). */
char *rb_parcel_file_name(const RbParcelRange *range);
/* False for any other name. */
bool rb_parcel_file_name_parse(const char *name, RbParcelRange *range);

/* A parcel that was read and found whole. */
typedef struct RbParcel RbParcel;

/* Reads a parcel, which comes from somebody else: everything is checked (size, checksum,
 * lengths, text, numbers) before anything is kept. False with DAMAGED, or with NEWER when it
 * was written by a version with a later schema. name: of the file, for the error's sentence.
 * Returns: (transfer full). */
RbParcel *rb_parcel_parse(GBytes *bytes, const char *name, GError **error);
void rb_parcel_free(RbParcel *parcel); /* NULL is allowed */
RbParcelRange rb_parcel_range(const RbParcel *parcel);
/* How many names its writer knew to be forgotten: fewer than this library knows means that the
 * parcel may hold one of them. */
int64_t rb_parcel_forgotten(const RbParcel *parcel);

/* The laptops whose work this library sends: its own, and the identities this very file had
 * before, for as long as nobody else goes on with them. Returns: (transfer full): GArray of
 * RbParcelRange, first 1 or, for a laptop without actions, last 0. */
GArray *rb_store_own_ranges(RbStore *store, GError **error);

/* The number of the last action known of a laptop; 0 for none. -1 on failure. */
int64_t rb_store_last_action(RbStore *store, int64_t laptop, GError **error);

/* How many names were forgotten in this library. -1 on failure. */
int64_t rb_store_count_forgotten(RbStore *store, GError **error);

/* The actions of a range as a parcel's bytes. The range must be there (asserted by the
 * caller's use of the two calls above; UNKNOWN otherwise). Returns: (transfer full). */
GBytes *rb_store_pack(RbStore *store, const RbParcelRange *range, GError **error);

typedef enum {
    RB_PARCEL_APPLIED,
    RB_PARCEL_KNOWN, /* every action of it was here already */
    RB_PARCEL_WAITS, /* from some action on it builds on what has not come yet */
} RbParcelOutcome;

typedef struct {
    RbParcelOutcome outcome;
    int64_t actions;        /* that were new and were taken, of WAITS those before */
    int64_t fields;         /* that they set */
    int64_t missing_laptop; /* WAITS: whose actions have not come … */
    int64_t missing_number; /* … as far as this one; 0 when only a field of it is known */
} RbParcelReport;

/* Merges a parcel in one transaction: as far as it builds on what is here or, on false, nothing
 * of it. Not inside an action. The rest is taken when the parcel is given again. What the parcel
 * says is checked against the schema first (DAMAGED). The history gains the
 * actions as they were done, by whom and when; they can be undone one by one. */
bool rb_store_apply_parcel(RbStore *store, const RbParcel *parcel, const char *name,
                           RbParcelReport *report, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbParcel, rb_parcel_free)
