/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/thread.h"

#include <errno.h>
#include <glib.h>
#include <time.h>

/* A failing pthread call here is misuse or an exhausted system; neither can be repaired. */
static void must(int result)
{
    if (result != 0) {
        g_error("thread call failed: %s", g_strerror(result));
    }
}

void rb_mutex_init(RbMutex *mutex)
{
    must(pthread_mutex_init(&mutex->mutex, NULL));
}

void rb_mutex_clear(RbMutex *mutex)
{
    must(pthread_mutex_destroy(&mutex->mutex));
}

void rb_mutex_lock(RbMutex *mutex)
{
    must(pthread_mutex_lock(&mutex->mutex));
}

void rb_mutex_unlock(RbMutex *mutex)
{
    must(pthread_mutex_unlock(&mutex->mutex));
}

void rb_cond_init(RbCond *cond)
{
    pthread_condattr_t attributes;
    must(pthread_condattr_init(&attributes));
    must(pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC));
    must(pthread_cond_init(&cond->cond, &attributes));
    must(pthread_condattr_destroy(&attributes));
}

void rb_cond_clear(RbCond *cond)
{
    must(pthread_cond_destroy(&cond->cond));
}

void rb_cond_wait(RbCond *cond, RbMutex *mutex)
{
    must(pthread_cond_wait(&cond->cond, &mutex->mutex));
}

bool rb_cond_wait_until(RbCond *cond, RbMutex *mutex, int64_t deadline_us)
{
    const struct timespec deadline = {
        .tv_sec = (time_t)(deadline_us / G_USEC_PER_SEC),
        .tv_nsec = (long)(deadline_us % G_USEC_PER_SEC) * 1000,
    };
    const int result = pthread_cond_timedwait(&cond->cond, &mutex->mutex, &deadline);
    if (result == ETIMEDOUT) {
        return false;
    }
    must(result);
    return true;
}

void rb_cond_signal(RbCond *cond)
{
    must(pthread_cond_signal(&cond->cond));
}

void rb_cond_broadcast(RbCond *cond)
{
    must(pthread_cond_broadcast(&cond->cond));
}

typedef struct {
    char name[16];
    void *(*run)(void *);
    void *data;
} Start;

static void *start_named(void *data)
{
    const Start start = *(Start *)data;
    g_free(data);
#ifdef __linux__
    extern int pthread_setname_np(pthread_t thread, const char *name);
    pthread_setname_np(pthread_self(), start.name);
#endif
    return start.run(start.data);
}

RbThread rb_thread_start(const char *name, void *(*run)(void *), void *data)
{
    Start *start = g_new0(Start, 1);
    g_strlcpy(start->name, name, sizeof start->name);
    start->run = run;
    start->data = data;
    RbThread thread;
    must(pthread_create(&thread.thread, NULL, start_named, start));
    return thread;
}

void *rb_thread_join(RbThread thread)
{
    void *result = NULL;
    must(pthread_join(thread.thread, &result));
    return result;
}

void rb_confined_init(RbConfined *confined)
{
    confined->owner = pthread_self();
}

void rb_confined_assert(const RbConfined *confined)
{
    g_assert(pthread_equal(confined->owner, pthread_self()));
}
