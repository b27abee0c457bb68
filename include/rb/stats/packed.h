/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stddef.h>

#include "rb/model/filter.h"
#include "rb/stats/ladder.h"
#include "rb/stats/pairing.h"

/* Dropbacks as columns of small codes: what a filter, the pairing table and the ladder need, in
 * at most 64 bytes a dropback, so that a filter can be changed a hundred times a minute over a
 * program's whole history. Each field has a dictionary of its values; its column holds one byte
 * a dropback, two when there are more than 255 values. Of the field that can have several values
 * each value has a list of its dropbacks.
 *
 * Not safe to change while another thread reads. */
typedef struct RbPacked RbPacked;

/* One dropback with every field as filters see it. */
typedef struct {
    RbDropback row;
    int64_t values[RB_FIELDS]; /* by field */
    bool known[RB_FIELDS];
    const int64_t *own_tags; /* borrowed, nullable: of RB_FIELD_OWN_TAG, each once */
    int n_own_tags;
} RbPackedRow;

/* n: how many will be appended, about. Returns: (transfer full). */
RbPacked *rb_packed_new(int n);
RbPacked *rb_packed_copy(const RbPacked *packed);
void rb_packed_free(RbPacked *packed); /* NULL is allowed */

void rb_packed_append(RbPacked *packed, const RbPackedRow *row);
/* Appends n dropbacks of other columns, from `first` on. */
void rb_packed_append_range(RbPacked *packed, const RbPacked *from, int first, int n);
/* Gives back the room of those that did not come. */
void rb_packed_trim(RbPacked *packed);
/* A dropback that was tagged anew, at its place. */
void rb_packed_set(RbPacked *packed, int place, const RbPackedRow *row);

int rb_packed_get_count(const RbPacked *packed);
/* All that it takes, dictionaries included: at most 64 bytes a dropback once there are many. */
size_t rb_packed_get_size(const RbPacked *packed);
RbSnapId rb_packed_get_snap(const RbPacked *packed, int place);
/* Whether it counts: see in_ladder of RbDropback. */
bool rb_packed_is_counted(const RbPacked *packed, int place);
/* A field as filters see it, of those with one value; false when it is not known. */
bool rb_packed_get_value(const RbPacked *packed, int place, RbField field,
                         int64_t *value);
/* What was put in, less what only its game, picture or chart says. */
void rb_packed_get_row(const RbPacked *packed, int place, RbDropback *row);

/* mask: (out): a byte a dropback, 1 where the filter accepts it. */
void rb_packed_filter(const RbPacked *packed, const RbFilter *filter, uint8_t *mask);

/* The same as rb_pairings_build() and rb_ladder_build() over the rows of the mask, but for the
 * last digits of points, which are added in another order. across: RB_FIELD_COVERAGE, or another
 * field with one value, which a cell then has as its coverage. */
void rb_packed_pairings(const RbPacked *packed, const uint8_t *mask, RbField across,
                        RbPairings *pairings);
void rb_packed_ladder(const RbPacked *packed, const uint8_t *mask, RbLadder *ladder);

/* As bytes, for a cache on this machine: not for exchange, and refused by another version.
 * Returns: (transfer full). */
GBytes *rb_packed_to_bytes(const RbPacked *packed);
/* Returns: (transfer full) (nullable): NULL for anything but such bytes. */
RbPacked *rb_packed_from_bytes(const void *data, size_t size);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbPacked, rb_packed_free)
