/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "parcel.h"

/* A parcel on its way into the library. */
typedef struct {
    RbStore *store;           /* borrowed */
    const RbParcel *parcel;   /* borrowed */
    RbParcelReport *report;   /* borrowed */
    int64_t known;            /* the last action known of this laptop before */
    int64_t seq;              /* the last op of this laptop, as far as applied */
    guint ready;              /* leading actions of the parcel that can be taken */
    GHashTable *last_seqs;    /* owned: laptop to its last op, looked up once */
    GHashTable *last_numbers; /* owned: laptop to its last action, looked up once */
    GArray *fields;           /* owned, of int64_t: this library's id of each field */
} RbMerge;

/* The number of the parcel's i-th action, and whether an action of its laptop was known before. */
int64_t rb_merge_number(const RbMerge *merge, guint i);
bool rb_merge_is_in(const RbMerge *merge, int64_t number);

/* Counts the leading actions that build on nothing unseen. Two laptops that worked on from one
 * another's work wait for each other when each sends all of its own in one file, so a parcel
 * is taken as far as it can be. */
bool rb_merge_count_ready(RbMerge *merge, GError **error);

/* The ops of a laptop are numbered without a gap: those of the parcel's known actions and of
 * this library must be the same many. name: of the file. */
bool rb_merge_check_numbers(RbMerge *merge, const char *name, GError **error);
