/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <signal.h>
#include <string.h>

#include "rb/base/thread.h"

#include "suite.h"

TCase *rb_case_thread(void);

#define ROUNDS 20000

typedef struct {
    RbMutex mutex;
    RbCond cond;
    int count;
    int turn;
} Shared;

static void *add_many(void *data)
{
    Shared *shared = data;
    for (int i = 0; i < ROUNDS; i++) {
        rb_mutex_lock(&shared->mutex);
        shared->count++;
        rb_mutex_unlock(&shared->mutex);
    }
    return shared;
}

START_TEST(test_thread__mutex_guards)
{
    Shared shared = { .count = 0 };
    rb_mutex_init(&shared.mutex);
    RbThread threads[4];
    for (int i = 0; i < 4; i++) {
        threads[i] = rb_thread_start("rb-test-with-a-name-too-long", add_many, &shared);
    }
    for (int i = 0; i < 4; i++) {
        ck_assert_ptr_eq(rb_thread_join(threads[i]), &shared);
    }
    ck_assert_int_eq(shared.count, 4 * ROUNDS);
    rb_mutex_clear(&shared.mutex);
}
END_TEST

/* Waits for odd turns and hands over even ones. */
static void *answer(void *data)
{
    Shared *shared = data;
    rb_mutex_lock(&shared->mutex);
    while (shared->turn < 100) {
        if (shared->turn % 2 == 1) {
            shared->turn++;
            rb_cond_broadcast(&shared->cond);
        } else {
            rb_cond_wait(&shared->cond, &shared->mutex);
        }
    }
    rb_mutex_unlock(&shared->mutex);
    return NULL;
}

START_TEST(test_thread__condition_hands_over)
{
    Shared shared = { .turn = 0 };
    rb_mutex_init(&shared.mutex);
    rb_cond_init(&shared.cond);
    const RbThread thread = rb_thread_start("rb-answer", answer, &shared);
    rb_mutex_lock(&shared.mutex);
    while (shared.turn < 100) {
        if (shared.turn % 2 == 0) {
            shared.turn++;
            rb_cond_signal(&shared.cond);
        } else {
            rb_cond_wait(&shared.cond, &shared.mutex);
        }
    }
    rb_cond_broadcast(&shared.cond);
    rb_mutex_unlock(&shared.mutex);
    rb_thread_join(thread);
    ck_assert_int_eq(shared.turn, 100);
    rb_cond_clear(&shared.cond);
    rb_mutex_clear(&shared.mutex);
}
END_TEST

START_TEST(test_thread__waiting_ends_at_its_time)
{
    Shared shared = { .turn = 0 };
    rb_mutex_init(&shared.mutex);
    rb_cond_init(&shared.cond);
    rb_mutex_lock(&shared.mutex);
    const int64_t deadline = g_get_monotonic_time() + 20000;
    /* A condition may wake without a signal, never with a time-out before its time. */
    while (rb_cond_wait_until(&shared.cond, &shared.mutex, deadline)) {
    }
    ck_assert_int_ge(g_get_monotonic_time(), deadline);
    ck_assert(!rb_cond_wait_until(&shared.cond, &shared.mutex, deadline));
    rb_mutex_unlock(&shared.mutex);
    rb_cond_clear(&shared.cond);
    rb_mutex_clear(&shared.mutex);
}
END_TEST

static void *name_of_thread(void *data)
{
    (void)data;
    char *name = NULL;
    g_file_get_contents("/proc/thread-self/comm", &name, NULL, NULL);
    return name;
}

START_TEST(test_thread__has_its_name)
{
    g_autofree char *name =
        rb_thread_join(rb_thread_start("rb-named", name_of_thread, NULL));
    ck_assert_str_eq(name, "rb-named\n");
}
END_TEST

START_TEST(test_thread__confined_to_its_owner)
{
    RbConfined confined;
    rb_confined_init(&confined);
    rb_confined_assert(&confined);
}
END_TEST

static void *use_confined(void *data)
{
    rb_confined_assert(data);
    return NULL;
}

/* Dies by the signal of an assertion. */
START_TEST(test_thread__confined_to_no_other)
{
    RbConfined confined;
    rb_confined_init(&confined);
    rb_thread_join(rb_thread_start("rb-stranger", use_confined, &confined));
}
END_TEST

TCase *rb_case_thread(void)
{
    TCase *tcase = rb_case_new("thread");
    tcase_add_test(tcase, test_thread__mutex_guards);
    tcase_add_test(tcase, test_thread__condition_hands_over);
    tcase_add_test(tcase, test_thread__waiting_ends_at_its_time);
    tcase_add_test(tcase, test_thread__has_its_name);
    tcase_add_test(tcase, test_thread__confined_to_its_owner);
    tcase_add_test_raise_signal(tcase, test_thread__confined_to_no_other, SIGABRT);
    return tcase;
}
