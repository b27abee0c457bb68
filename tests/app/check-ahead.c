/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is prepared of the snaps that come next. No display. */
#include <string.h>

#include "rb/work/ahead.h"

#include "cases.h"
#include "sample-library.h"
#include "small-maker.h"

#define PLENTY (INT64_C(1) << 30)

static char *make_library(void)
{
    char *path = rb_test_path("ahead.readbreak");
    GError *error = NULL;
    ck_assert(rb_sample_library_make(path, true, &error));
    rb_assert_no_error(error);
    return path;
}

static GPtrArray *load(const char *path, int snap, int snaps)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    GPtrArray *spans =
        rb_library_load_ahead(library, rb_sample_snap_id(snap), snaps, &error);
    rb_assert_no_error(error);
    return spans;
}

/* The sample has three filmed snaps, each from two cameras. */
START_TEST(test_ahead__the_clips_of_the_snaps_that_follow)
{
    g_autofree char *path = make_library();
    static const struct {
        int snap;
        int snaps;
        guint spans;
    } asked[] = { { 1, 3, 4 }, { 1, 1, 2 }, { 1, 0, 0 }, { 2, 9, 2 }, { 3, 3, 0 } };
    for (size_t i = 0; i < G_N_ELEMENTS(asked); i++) {
        g_autoptr(GPtrArray) spans = load(path, asked[i].snap, asked[i].snaps);
        ck_assert_uint_eq(spans->len, asked[i].spans);
    }
    g_autoptr(GPtrArray) spans = load(path, 1, 1);
    for (guint i = 0; i < spans->len; i++) {
        const RbFilmSpan *span = spans->pdata[i];
        const bool wide = strstr(span->path, "wide") != NULL;
        const int length = wide ? RB_SAMPLE_WIDE_LENGTH : RB_SAMPLE_TIGHT_LENGTH;
        ck_assert_int_eq(span->first, length); /* the second of its film */
        ck_assert_int_eq(span->last, 2 * length - 1);
    }
}
END_TEST

START_TEST(test_ahead__a_snap_that_is_not_there_is_an_error)
{
    g_autofree char *path = make_library();
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    ck_assert_ptr_null(rb_library_load_ahead(library, (RbSnapId){ 4711 }, 3, &error));
    ck_assert_ptr_nonnull(error);
    g_clear_error(&error);
}
END_TEST

static void must_end_well(RbJob *job)
{
    rb_job_wait(job);
    GError *error = NULL;
    g_autofree char *path = rb_job_take_result(job, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(path);
}

/* A span that was made ahead goes on as the one looked at; every other one comes after it, and
 * is told again in any order without being lost or made twice at a time. */
START_TEST(test_ahead__what_is_looked_at_comes_first)
{
    g_autofree char *path = make_library();
    GPtrArray *spans = load(path, 1, 2);
    const RbFilmSpan *next = spans->pdata[0];
    g_autofree char *film = g_strdup(next->path);
    const int64_t first = next->first;
    const int64_t last = next->last;
    rb_small_maker_set_ahead(spans, PLENTY);
    g_autoptr(RbJob) taken = rb_small_maker_start(film, first, last, PLENTY);
    must_end_well(taken);
    g_autoptr(RbJob) other = rb_small_maker_start(film, 0, 5, PLENTY);
    rb_small_maker_set_ahead(load(path, 2, 2), PLENTY);
    must_end_well(other);
    g_autoptr(RbJob) again = rb_small_maker_start(film, 0, 5, PLENTY);
    rb_small_maker_set_ahead(NULL, 0);
    must_end_well(again);
    rb_small_maker_end();
}
END_TEST

TCase *rb_case_ahead(void)
{
    TCase *tcase = rb_case_new("ahead");
    tcase_add_test(tcase, test_ahead__the_clips_of_the_snaps_that_follow);
    tcase_add_test(tcase, test_ahead__a_snap_that_is_not_there_is_an_error);
    tcase_add_test(tcase, test_ahead__what_is_looked_at_comes_first);
    return tcase;
}
