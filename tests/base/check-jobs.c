/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdatomic.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/jobs.h"
#include "rb/base/thread.h"

#include "suite.h"

TCase *rb_case_jobs(void);

/* What a job of these tests works on. */
typedef struct {
    atomic_int started;
    atomic_int freed;
    atomic_int results_freed;
    atomic_int wakes;
    RbMutex mutex;
    RbCond cond;
    bool go; /* protected by mutex: lets `wait_to_go` end */
} Bench;

static void bench_init(Bench *bench)
{
    *bench = (Bench){ .go = false };
    rb_mutex_init(&bench->mutex);
    rb_cond_init(&bench->cond);
}

static void bench_clear(Bench *bench)
{
    rb_cond_clear(&bench->cond);
    rb_mutex_clear(&bench->mutex);
}

static void bench_go(Bench *bench)
{
    rb_mutex_lock(&bench->mutex);
    bench->go = true;
    rb_cond_broadcast(&bench->cond);
    rb_mutex_unlock(&bench->mutex);
}

static void free_bench_data(void *data)
{
    Bench *bench = data;
    atomic_fetch_add(&bench->freed, 1);
}

/* Results are pointers to the bench itself. */
static void free_bench_result(void *data)
{
    Bench *bench = data;
    atomic_fetch_add(&bench->results_freed, 1);
}

static void on_news(void *data)
{
    Bench *bench = data;
    atomic_fetch_add(&bench->wakes, 1);
}

static void *give_bench(void *data, RbCancel *cancel, RbProgress *progress,
                        GError **error)
{
    Bench *bench = data;
    (void)cancel;
    (void)error;
    atomic_fetch_add(&bench->started, 1);
    rb_progress_set(progress, 0.5, "half way");
    rb_progress_set(progress, 1.0, NULL);
    return bench;
}

static void *run_out(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    (void)data;
    (void)cancel;
    (void)progress;
    rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED, "The disk is full.");
    return NULL;
}

static void *wait_to_go(void *data, RbCancel *cancel, RbProgress *progress,
                        GError **error)
{
    Bench *bench = data;
    atomic_fetch_add(&bench->started, 1);
    rb_progress_set(progress, -1.0, "waiting");
    rb_mutex_lock(&bench->mutex);
    while (!bench->go && !rb_cancel_is_cancelled(cancel)) {
        rb_cond_wait_until(&bench->cond, &bench->mutex, g_get_monotonic_time() + 2000);
    }
    rb_mutex_unlock(&bench->mutex);
    return rb_cancel_check(cancel, error) ? bench : NULL;
}

static RbJobSpec spec_of(Bench *bench, RbJobRun run)
{
    return (RbJobSpec){ .run = run,
                        .data = bench,
                        .free_data = free_bench_data,
                        .free_result = free_bench_result,
                        .wake = on_news,
                        .wake_data = bench };
}

static void wait_for_start(Bench *bench, int n)
{
    while (atomic_load(&bench->started) < n) {
        g_usleep(200);
    }
}

START_TEST(test_jobs__gives_a_result_once)
{
    Bench bench;
    bench_init(&bench);
    RbJobs *jobs = rb_jobs_new(2);
    const RbJobSpec spec = spec_of(&bench, give_bench);
    RbJob *job = rb_jobs_submit(jobs, &spec);
    rb_job_wait(job);
    ck_assert(rb_job_is_done(job));
    g_autofree char *what = NULL;
    ck_assert(rb_job_get_progress(job, &what) == 1.0);
    ck_assert_str_eq(what, "half way"); /* no new phrase: the last one stays */
    GError *error = NULL;
    ck_assert_ptr_eq(rb_job_take_result(job, &error), &bench);
    rb_assert_no_error(error);
    ck_assert_ptr_null(rb_job_take_result(job, NULL));
    rb_jobs_free(jobs);
    rb_job_unref(job);
    ck_assert_int_eq(atomic_load(&bench.results_freed), 0);
    ck_assert_int_eq(atomic_load(&bench.freed), 1);
    ck_assert_int_eq(atomic_load(&bench.wakes), 3); /* two of progress, one of the end */
    bench_clear(&bench);
}
END_TEST

START_TEST(test_jobs__a_result_nobody_takes_is_freed)
{
    Bench bench;
    bench_init(&bench);
    RbJobs *jobs = rb_jobs_new(1);
    const RbJobSpec spec = spec_of(&bench, give_bench);
    RbJob *job = rb_jobs_submit(jobs, &spec);
    rb_job_wait(job);
    rb_jobs_free(jobs);
    ck_assert_int_eq(atomic_load(&bench.results_freed), 0);
    rb_job_unref(job);
    ck_assert_int_eq(atomic_load(&bench.results_freed), 1);
    rb_job_unref(NULL);
    rb_jobs_free(NULL);
    bench_clear(&bench);
}
END_TEST

START_TEST(test_jobs__failure_carries_its_error)
{
    Bench bench;
    bench_init(&bench);
    g_autoptr(RbJobs) jobs = rb_jobs_new(1);
    const RbJobSpec spec = spec_of(&bench, run_out);
    g_autoptr(RbJob) job = rb_jobs_submit(jobs, &spec);
    rb_job_wait(job);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_job_take_result(job, &error));
    ck_assert_str_eq(error->message, "The disk is full.");
    ck_assert_ptr_null(rb_job_take_result(job, NULL));
    bench_clear(&bench);
}
END_TEST

START_TEST(test_jobs__cancel_while_running)
{
    Bench bench;
    bench_init(&bench);
    g_autoptr(RbJobs) jobs = rb_jobs_new(1);
    const RbJobSpec spec = spec_of(&bench, wait_to_go);
    g_autoptr(RbJob) job = rb_jobs_submit(jobs, &spec);
    wait_for_start(&bench, 1);
    ck_assert(!rb_job_is_done(job));
    rb_job_cancel(job);
    rb_job_wait(job);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_job_take_result(job, &error));
    ck_assert(rb_error_is_cancelled(error));
    bench_clear(&bench);
}
END_TEST

START_TEST(test_jobs__cancel_before_the_start_never_runs)
{
    Bench bench;
    bench_init(&bench);
    g_autoptr(RbJobs) jobs = rb_jobs_new(1);
    const RbJobSpec blocker = spec_of(&bench, wait_to_go);
    g_autoptr(RbJob) first = rb_jobs_submit(jobs, &blocker);
    wait_for_start(&bench, 1);
    g_autoptr(RbJob) second = rb_jobs_submit(jobs, &blocker);
    rb_job_cancel(second);
    bench_go(&bench);
    rb_job_wait(second);
    ck_assert_int_eq(atomic_load(&bench.started), 1);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_job_take_result(second, &error));
    ck_assert(rb_error_is_cancelled(error));
    rb_job_wait(first);
    ck_assert_ptr_eq(rb_job_take_result(first, NULL), &bench);
    bench_clear(&bench);
}
END_TEST

START_TEST(test_jobs__a_parent_cancels_its_jobs)
{
    Bench bench;
    bench_init(&bench);
    g_autoptr(RbCancel) window = rb_cancel_new(NULL);
    g_autoptr(RbJobs) jobs = rb_jobs_new(2);
    RbJobSpec spec = spec_of(&bench, wait_to_go);
    spec.parent_cancel = window;
    g_autoptr(RbJob) one = rb_jobs_submit(jobs, &spec);
    g_autoptr(RbJob) two = rb_jobs_submit(jobs, &spec);
    rb_cancel_cancel(window);
    rb_job_wait(one);
    rb_job_wait(two);
    ck_assert_ptr_null(rb_job_take_result(one, NULL));
    ck_assert_ptr_null(rb_job_take_result(two, NULL));
    bench_clear(&bench);
}
END_TEST

START_TEST(test_jobs__freeing_the_pool_cancels_what_runs_and_waits)
{
    Bench bench;
    bench_init(&bench);
    RbJobs *jobs = rb_jobs_new(2);
    const RbJobSpec spec = spec_of(&bench, wait_to_go);
    RbJob *held[6];
    for (int i = 0; i < 6; i++) {
        held[i] = rb_jobs_submit(jobs, &spec);
    }
    wait_for_start(&bench, 2);
    rb_jobs_free(jobs);
    for (int i = 0; i < 6; i++) {
        g_autoptr(GError) error = NULL;
        ck_assert(rb_job_is_done(held[i])); /* jobs outlive their pool */
        ck_assert_ptr_null(rb_job_take_result(held[i], &error));
        ck_assert(rb_error_is_cancelled(error));
        rb_job_unref(held[i]);
    }
    ck_assert_int_eq(atomic_load(&bench.started), 2);
    ck_assert_int_eq(atomic_load(&bench.freed), 6);
    bench_clear(&bench);
}
END_TEST

static void *square(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    const int n = *(int *)data;
    (void)error;
    for (int i = 0; i <= 10 && !rb_cancel_is_cancelled(cancel); i++) {
        rb_progress_set(progress, i / 10.0, i % 2 == 0 ? "even" : "odd");
    }
    int *result = g_new(int, 1);
    *result = n * n;
    return result;
}

START_TEST(test_jobs__many_jobs_many_threads)
{
    RbJobs *jobs = rb_jobs_new(4);
    RbJob *held[200];
    for (int i = 0; i < 200; i++) {
        int *data = g_new(int, 1);
        *data = i;
        const RbJobSpec spec = {
            .run = square, .data = data, .free_data = g_free, .free_result = g_free
        };
        held[i] = rb_jobs_submit(jobs, &spec);
        /* Progress is read while it is written. */
        g_autofree char *what = NULL;
        const double fraction = rb_job_get_progress(held[i], &what);
        ck_assert(fraction <= 1.0);
    }
    for (int i = 0; i < 200; i++) {
        RbJob *job = rb_job_ref(held[i]);
        rb_job_unref(held[i]);
        rb_job_wait(job);
        g_autofree int *result = rb_job_take_result(job, NULL);
        ck_assert_int_eq(*result, i * i);
        rb_job_unref(job);
    }
    rb_jobs_free(jobs);
}
END_TEST

typedef struct {
    int calls;
    double last;
    char *what;
} Heard;

static void on_progress(double fraction, const char *what, void *data)
{
    Heard *heard = data;
    heard->calls++;
    heard->last = fraction;
    g_free(heard->what);
    heard->what = g_strdup(what);
}

static void *tell_priority(void *data)
{
    int *priority = data;
    *priority = getpriority(PRIO_PROCESS, 0);
    return NULL;
}

/* The job's own thread, one that it starts, and a process of that one: as films are opened. */
static void *tell_priorities(void *data, RbCancel *cancel, RbProgress *progress,
                             GError **error)
{
    (void)cancel;
    (void)progress;
    (void)error;
    int *priorities = data;
    tell_priority(&priorities[0]);
    rb_thread_join(rb_thread_start("inner", tell_priority, &priorities[1]));
    const pid_t child = fork();
    if (child == 0) {
        _exit(getpriority(PRIO_PROCESS, 0));
    }
    int status = -1;
    waitpid(child, &status, 0);
    priorities[2] = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    return NULL;
}

START_TEST(test_jobs__behind_gives_way_with_all_it_starts)
{
    const int usual = getpriority(PRIO_PROCESS, 0);
    for (int behind = 0; behind < 2; behind++) {
        int priorities[3] = { -99, -99, -99 };
        RbJobs *jobs = behind ? rb_jobs_new_behind(1) : rb_jobs_new(1);
        const RbJobSpec spec = { .run = tell_priorities, .data = priorities };
        RbJob *job = rb_jobs_submit(jobs, &spec);
        rb_job_wait(job);
        for (int i = 0; i < 3; i++) {
            ck_assert_int_eq(priorities[i], behind ? MAX(usual, 5) : usual);
        }
        rb_job_unref(job);
        rb_jobs_free(jobs);
    }
    ck_assert_int_eq(getpriority(PRIO_PROCESS, 0), usual);
}
END_TEST

START_TEST(test_jobs__progress_in_parts)
{
    Heard heard = { 0 };
    g_autoptr(RbProgress) whole = rb_progress_new(on_progress, &heard);
    g_autoptr(RbProgress) half = rb_progress_part(whole, 0.5, 1.0);
    g_autoptr(RbProgress) quarter = rb_progress_part(half, 0.0, 0.5);
    rb_progress_set(whole, 0.25, "first");
    ck_assert(heard.last == 0.25);
    rb_progress_set(half, 0.5, "second");
    ck_assert(heard.last == 0.75);
    rb_progress_set(quarter, 0.5, "third");
    ck_assert(heard.last == 0.625);
    ck_assert_str_eq(heard.what, "third");
    rb_progress_set(quarter, -1.0, NULL);
    ck_assert(heard.last < 0.0);
    ck_assert_int_eq(heard.calls, 4);
    rb_progress_set(NULL, 0.5, "nobody listens");
    g_autoptr(RbProgress) of_nothing = rb_progress_part(NULL, 0.0, 1.0);
    rb_progress_set(of_nothing, 0.5, "nobody listens");
    g_free(heard.what);
}
END_TEST

TCase *rb_case_jobs(void)
{
    TCase *tcase = rb_case_new("jobs");
    tcase_add_test(tcase, test_jobs__gives_a_result_once);
    tcase_add_test(tcase, test_jobs__a_result_nobody_takes_is_freed);
    tcase_add_test(tcase, test_jobs__failure_carries_its_error);
    tcase_add_test(tcase, test_jobs__cancel_while_running);
    tcase_add_test(tcase, test_jobs__cancel_before_the_start_never_runs);
    tcase_add_test(tcase, test_jobs__a_parent_cancels_its_jobs);
    tcase_add_test(tcase, test_jobs__freeing_the_pool_cancels_what_runs_and_waits);
    tcase_add_test(tcase, test_jobs__many_jobs_many_threads);
    tcase_add_test(tcase, test_jobs__behind_gives_way_with_all_it_starts);
    tcase_add_test(tcase, test_jobs__progress_in_parts);
    return tcase;
}
