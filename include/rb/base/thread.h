/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>

/* pthread with the impossible errors turned into aborts. GLib's own locks are not used in
 * core: ThreadSanitizer reports false races on them. */

typedef struct {
    pthread_mutex_t mutex;
} RbMutex;

typedef struct {
    pthread_cond_t cond;
} RbCond;

typedef struct {
    pthread_t thread;
} RbThread;

void rb_mutex_init(RbMutex *mutex);
void rb_mutex_clear(RbMutex *mutex);
void rb_mutex_lock(RbMutex *mutex);
void rb_mutex_unlock(RbMutex *mutex);

void rb_cond_init(RbCond *cond); /* on the monotonic clock */
void rb_cond_clear(RbCond *cond);
void rb_cond_wait(RbCond *cond, RbMutex *mutex);
/* Waits until signalled or until `deadline_us` of g_get_monotonic_time(); false on time-out. */
bool rb_cond_wait_until(RbCond *cond, RbMutex *mutex, int64_t deadline_us);
void rb_cond_signal(RbCond *cond);
void rb_cond_broadcast(RbCond *cond);

/* Aborts if the system cannot start a thread. `name` is at most 15 bytes. */
RbThread rb_thread_start(const char *name, void *(*run)(void *), void *data);
void *rb_thread_join(RbThread thread);

/* Thread confinement: an object that may be used by one thread only keeps one of these and
 * asserts it at its entry points. */
typedef struct {
    pthread_t owner;
} RbConfined;

void rb_confined_init(RbConfined *confined); /* owned by the calling thread */
void rb_confined_assert(const RbConfined *confined);
