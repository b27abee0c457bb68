/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* memfd_create, seals */
#include "ring.h"

#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "protocol.h"

struct RbRing {
    atomic_int refs;
    int fd;        /* owned */
    int notify_fd; /* owned, -1: none */
    uint8_t *memory;
    size_t slot_bytes;
    int slots;
    atomic_bool taken[RB_RING_SLOTS_MAX];
};

static int memory_error(GError **error, int errnum)
{
    rb_error_errno(
        error, RB_FILM_ERROR, RB_FILM_ERROR_FAILED, errnum,
        "There is not enough memory for the pictures of this film; close other "
        "films or programs");
    return -1;
}

static int make_memory(size_t bytes, GError **error)
{
    const int fd = memfd_create("readbreak", MFD_CLOEXEC | MFD_ALLOW_SEALING);
    if (fd < 0) {
        return memory_error(error, errno);
    }
    if (ftruncate(fd, (off_t)bytes) != 0) {
        const int errnum = errno;
        close(fd);
        return memory_error(error, errnum);
    }
    return fd;
}

RbRing *rb_ring_new(size_t slot_bytes, int slots, bool writable, int notify_fd,
                    GError **error)
{
    g_assert(slots > 0 && slots <= RB_RING_SLOTS_MAX);
    g_assert(slot_bytes > 0 && slot_bytes <= RB_SLOT_BYTES_MAX);
    const size_t page = (size_t)sysconf(_SC_PAGESIZE);
    slot_bytes = (slot_bytes + page - 1) / page * page;
    const size_t bytes = slot_bytes * (size_t)slots;
    const int fd = make_memory(bytes, error);
    if (fd < 0) {
        return NULL;
    }
    void *memory = MAP_FAILED;
    if (fcntl(fd, F_ADD_SEALS, F_SEAL_SHRINK | F_SEAL_GROW | F_SEAL_SEAL) == 0) {
        memory = mmap(NULL, bytes, writable ? PROT_READ | PROT_WRITE : PROT_READ,
                      MAP_SHARED, fd, 0);
    }
    if (memory == MAP_FAILED) {
        const int errnum = errno;
        close(fd);
        memory_error(error, errnum);
        return NULL;
    }
    madvise(memory, bytes, MADV_HUGEPAGE); /* refused: small pages serve too */
    RbRing *ring = g_new0(RbRing, 1);
    atomic_init(&ring->refs, 1);
    ring->fd = fd;
    ring->notify_fd = notify_fd >= 0 ? fcntl(notify_fd, F_DUPFD_CLOEXEC, 0) : -1;
    ring->memory = memory;
    ring->slot_bytes = slot_bytes;
    ring->slots = slots;
    return ring;
}

RbRing *rb_ring_ref(RbRing *ring)
{
    atomic_fetch_add_explicit(&ring->refs, 1, memory_order_relaxed);
    return ring;
}

void rb_ring_unref(RbRing *ring)
{
    if (ring == NULL ||
        atomic_fetch_sub_explicit(&ring->refs, 1, memory_order_acq_rel) != 1) {
        return;
    }
    munmap(ring->memory, ring->slot_bytes * (size_t)ring->slots);
    close(ring->fd);
    if (ring->notify_fd >= 0) {
        close(ring->notify_fd);
    }
    g_free(ring);
}

int rb_ring_get_fd(const RbRing *ring)
{
    return ring->fd;
}

size_t rb_ring_get_slot_bytes(const RbRing *ring)
{
    return ring->slot_bytes;
}

int rb_ring_get_slots(const RbRing *ring)
{
    return ring->slots;
}

int rb_ring_take(RbRing *ring)
{
    for (int i = 0; i < ring->slots; i++) {
        bool expected = false;
        if (atomic_compare_exchange_strong_explicit(&ring->taken[i], &expected, true,
                                                    memory_order_acquire,
                                                    memory_order_relaxed)) {
            return i;
        }
    }
    return -1;
}

void rb_ring_give_back(RbRing *ring, int slot)
{
    g_assert(slot >= 0 && slot < ring->slots);
    const bool was =
        atomic_exchange_explicit(&ring->taken[slot], false, memory_order_release);
    g_assert(was);
    if (ring->notify_fd >= 0) {
        const uint64_t one = 1;
        const ssize_t written = write(ring->notify_fd, &one, sizeof one);
        (void)written; /* a full counter has woken the reader already */
    }
}

int rb_ring_count_free(RbRing *ring)
{
    int n = 0;
    for (int i = 0; i < ring->slots; i++) {
        n += !atomic_load_explicit(&ring->taken[i], memory_order_relaxed);
    }
    return n;
}

uint8_t *rb_ring_get_slot(RbRing *ring, int slot)
{
    g_assert(slot >= 0 && slot < ring->slots);
    return ring->memory + ring->slot_bytes * (size_t)slot;
}

int rb_sealed_copy(const void *bytes, size_t n, GError **error)
{
    const int fd = make_memory(n, error);
    if (fd < 0) {
        return -1;
    }
    size_t done = 0;
    while (done < n) {
        const ssize_t wrote =
            pwrite(fd, (const char *)bytes + done, n - done, (off_t)done);
        if (wrote < 0 && errno != EINTR) {
            const int errnum = errno;
            close(fd);
            return memory_error(error, errnum);
        }
        done += wrote > 0 ? (size_t)wrote : 0;
    }
    if (fcntl(fd, F_ADD_SEALS,
              F_SEAL_SHRINK | F_SEAL_GROW | F_SEAL_WRITE | F_SEAL_SEAL) != 0) {
        const int errnum = errno;
        close(fd);
        return memory_error(error, errnum);
    }
    return fd;
}
