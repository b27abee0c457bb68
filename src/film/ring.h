/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A block of memory shared with a helper, cut into slots of one picture each. The parent makes
 * it, fixes its size with seals (an unsealed shrink by the helper would kill the parent by
 * SIGBUS) and says which slot is used for what, so a slot is written again only after its
 * picture is gone. Reference counted; slots may be given back on any thread. */
typedef struct RbRing RbRing;

/* writable: the parent writes (films being made); else it maps the memory read-only.
 * notify_fd: (-1 for none) an eventfd to count up whenever a slot comes back; duplicated. */
RbRing *rb_ring_new(size_t slot_bytes, int slots, bool writable, int notify_fd,
                    GError **error);
RbRing *rb_ring_ref(RbRing *ring);
void rb_ring_unref(RbRing *ring);

int rb_ring_get_fd(const RbRing *ring); /* borrowed, to be sent to the helper */
size_t rb_ring_get_slot_bytes(const RbRing *ring);
int rb_ring_get_slots(const RbRing *ring);

/* A free slot, now taken; -1 if there is none. */
int rb_ring_take(RbRing *ring);
void rb_ring_give_back(RbRing *ring, int slot);
int rb_ring_count_free(RbRing *ring);

uint8_t *rb_ring_get_slot(RbRing *ring, int slot);

/* Memory of `bytes`, filled and sealed against every change, for sending. -1 with `error`. */
int rb_sealed_copy(const void *bytes, size_t n, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbRing, rb_ring_unref)
