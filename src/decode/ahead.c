/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ahead.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>

#include "parent.h"

static struct {
    pthread_mutex_t lock;
    pthread_cond_t news;
    /* protected by lock: */
    bool exists; /* the thread */
    bool busy;
    AheadWork work;
    void *data;
    atomic_bool must_stop;
} ahead = { .lock = PTHREAD_MUTEX_INITIALIZER, .news = PTHREAD_COND_INITIALIZER };

bool ahead_must_stop(void)
{
    return atomic_load(&ahead.must_stop);
}

static void *work_on(void *data)
{
    (void)data;
    parent_be_silent(); /* nobody waits for signs of life, and only one thread may exit() */
    for (;;) {
        pthread_mutex_lock(&ahead.lock);
        while (!ahead.busy) {
            pthread_cond_wait(&ahead.news, &ahead.lock);
        }
        const AheadWork work = ahead.work;
        void *of_work = ahead.data;
        pthread_mutex_unlock(&ahead.lock);
        while (!ahead_must_stop() && work(of_work)) {
        }
        pthread_mutex_lock(&ahead.lock);
        ahead.busy = false;
        pthread_cond_broadcast(&ahead.news);
        pthread_mutex_unlock(&ahead.lock);
    }
    return NULL;
}

static bool make_thread(void)
{
    pthread_t thread;
    if (pthread_create(&thread, NULL, work_on, NULL) != 0) {
        return false;
    }
    pthread_detach(thread);
    atexit(ahead_stop); /* libraries are torn down after it */
    return true;
}

bool ahead_start(AheadWork work, void *data)
{
    pthread_mutex_lock(&ahead.lock);
    ahead.exists = ahead.exists || make_thread();
    if (ahead.exists && !ahead.busy) {
        atomic_store(&ahead.must_stop, false);
        ahead.work = work;
        ahead.data = data;
        ahead.busy = true;
        pthread_cond_broadcast(&ahead.news);
    }
    pthread_mutex_unlock(&ahead.lock);
    return ahead.exists;
}

void ahead_stop(void)
{
    pthread_mutex_lock(&ahead.lock);
    atomic_store(&ahead.must_stop, true);
    while (ahead.busy) {
        pthread_cond_wait(&ahead.news, &ahead.lock);
    }
    pthread_mutex_unlock(&ahead.lock);
}
