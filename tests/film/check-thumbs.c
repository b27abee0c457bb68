/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>

#include "rb/film/error.h"
#include "rb/film/thumbs.h"

#include "films.h"
#include "frame-code.h"
#include "suite.h"

TCase *rb_case_thumbs(void);

#define PLENTY (INT64_C(64) << 20)
#define N 6

typedef struct {
    RbThumb *thumbs[N]; /* owned */
    int n;
    RbCancel *cancel; /* borrowed, nullable: used after the first */
} Taken;

static void take(void *data, int i, RbThumb *thumb)
{
    Taken *taken = data;
    ck_assert_int_eq(i, taken->n++);
    taken->thumbs[i] = thumb;
    if (taken->cancel != NULL) {
        rb_cancel_cancel(taken->cancel);
    }
}

static void taken_clear(Taken *taken)
{
    for (int i = 0; i < N; i++) {
        g_clear_pointer(&taken->thumbs[i], rb_thumb_free);
    }
    taken->n = 0;
}

/* The number in the picture; 160 pixels are enough for sixteen columns. */
static int number_of(const RbThumb *thumb)
{
    const uint8_t *bgra = g_bytes_get_data(thumb->bgra, NULL);
    g_autofree uint8_t *gray = g_malloc((gsize)thumb->width * (gsize)thumb->height);
    for (int i = 0; i < thumb->width * thumb->height; i++) {
        gray[i] = bgra[4 * i + 1];
    }
    return frame_code_read(gray, (size_t)thumb->width, thumb->width, thumb->height);
}

static void own_cache(void)
{
    g_autofree char *folder = rb_test_path("cache");
    g_setenv("XDG_CACHE_HOME", folder, TRUE);
}

static char *make_film(const char *name, int width, int height)
{
    const RbWriterOptions options = {
        .width = width, .height = height, .rate = { 30, 1 }, .gop = 30, .b_frames = 2
    };
    return film_write(name, &options, 60);
}

START_TEST(test_thumbs__show_their_frames_and_are_kept)
{
    own_cache();
    g_autofree char *a = make_film("a.mp4", 640, 360);
    g_autofree char *b = make_film("b.mp4", 320, 240);
    const RbThumbAsk asks[N] = { { a, 3 },  { a, 59 }, { a, 30 },
                                 { b, 41 }, { b, 0 },  { a, 3 } };
    Taken taken = { 0 };
    GError *error = NULL;
    ck_assert(rb_thumbs_make(asks, N, PLENTY, take, &taken, NULL, NULL, &error));
    rb_assert_no_error(error);
    for (int i = 0; i < N; i++) {
        ck_assert_int_eq(number_of(taken.thumbs[i]), asks[i].frame);
        ck_assert_int_eq(taken.thumbs[i]->width, 160);
        ck_assert_int_eq(taken.thumbs[i]->height, asks[i].film == a ? 90 : 120);
    }
    taken_clear(&taken);
    /* What is kept needs no helper and no decoding. */
    const char *own = g_getenv("READBREAK_DECODE");
    g_autofree char *helper = g_strdup(own);
    g_setenv("READBREAK_DECODE", "/nowhere", TRUE);
    ck_assert(rb_thumbs_make(asks, N, PLENTY, take, &taken, NULL, NULL, &error));
    for (int i = 0; i < N; i++) {
        ck_assert_int_eq(number_of(taken.thumbs[i]), asks[i].frame);
    }
    taken_clear(&taken);
    if (helper != NULL) {
        g_setenv("READBREAK_DECODE", helper, TRUE);
    } else {
        g_unsetenv("READBREAK_DECODE");
    }
}
END_TEST

START_TEST(test_thumbs__what_cannot_be_had_is_passed_over)
{
    own_cache();
    g_autofree char *a = make_film("a.mp4", 320, 180);
    g_autofree char *none = rb_test_path("none.mp4");
    const RbThumbAsk asks[4] = { { none, 1 }, { a, 7 }, { a, 60 }, { a, 8 } };
    Taken taken = { 0 };
    GError *error = NULL;
    ck_assert(!rb_thumbs_make(asks, 4, PLENTY, take, &taken, NULL, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_MISSING));
    g_clear_error(&error);
    ck_assert_int_eq(taken.n, 4);
    ck_assert_ptr_null(taken.thumbs[0]);
    ck_assert_int_eq(number_of(taken.thumbs[1]), 7);
    ck_assert_ptr_null(taken.thumbs[2]);
    ck_assert_int_eq(number_of(taken.thumbs[3]), 8);
    taken_clear(&taken);
}
END_TEST

START_TEST(test_thumbs__cancel)
{
    own_cache();
    g_autofree char *a = make_film("a.mp4", 320, 180);
    const RbThumbAsk asks[2] = { { a, 7 }, { a, 8 } };
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    Taken taken = { .cancel = cancel };
    GError *error = NULL;
    ck_assert(!rb_thumbs_make(asks, 2, PLENTY, take, &taken, cancel, NULL, &error));
    ck_assert_ptr_nonnull(error);
    g_clear_error(&error);
    ck_assert_int_eq(taken.n, 1);
    taken_clear(&taken);
}
END_TEST

static int64_t bytes_kept(char **one)
{
    g_autofree char *folder =
        g_build_filename(g_getenv("XDG_CACHE_HOME"), "readbreak", "thumbs", NULL);
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name = NULL;
    int64_t bytes = 0;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        GStatBuf facts;
        ck_assert_int_eq(g_stat(path, &facts), 0);
        bytes += facts.st_size;
        g_free(*one);
        *one = g_steal_pointer(&path);
    }
    return bytes;
}

START_TEST(test_thumbs__stay_within_their_disk)
{
    own_cache();
    g_autofree char *a = make_film("a.mp4", 320, 180);
    RbThumbAsk asks[N];
    for (int i = 0; i < N; i++) {
        asks[i] = (RbThumbAsk){ a, i };
    }
    const int64_t each = 16 + 160 * 90 * 4;
    Taken taken = { 0 };
    ck_assert(rb_thumbs_make(asks, N, 3 * each, take, &taken, NULL, NULL, NULL));
    taken_clear(&taken);
    g_autofree char *one = NULL;
    ck_assert_int_eq(bytes_kept(&one), 3 * each);
    /* A damaged one is made again. */
    ck_assert(g_file_set_contents(one, "rbthumb", 8, NULL));
    ck_assert(rb_thumbs_make(asks, N, PLENTY, take, &taken, NULL, NULL, NULL));
    for (int i = 0; i < N; i++) {
        ck_assert_int_eq(number_of(taken.thumbs[i]), i);
    }
    taken_clear(&taken);
    ck_assert_int_eq(bytes_kept(&one), N * each);
}
END_TEST

TCase *rb_case_thumbs(void)
{
    TCase *tcase = rb_case_new("thumbs");
    tcase_set_tags(tcase, "shown");
    tcase_add_test(tcase, test_thumbs__show_their_frames_and_are_kept);
    tcase_add_test(tcase, test_thumbs__what_cannot_be_had_is_passed_over);
    tcase_add_test(tcase, test_thumbs__cancel);
    tcase_add_test(tcase, test_thumbs__stay_within_their_disk);
    return tcase;
}
