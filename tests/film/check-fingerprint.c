/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/random.h"
#include "rb/film/error.h"
#include "rb/film/fingerprint.h"

#include "suite.h"

TCase *rb_case_fingerprint(void);

static char *write_file(const char *name, size_t n, uint64_t seed)
{
    char *path = rb_test_path(name);
    g_autofree uint64_t *words = g_new(uint64_t, n / 8 + 1);
    RbRandom random;
    rb_random_seed(&random, seed);
    for (size_t i = 0; i <= n / 8; i++) {
        words[i] = rb_random_next(&random);
    }
    ck_assert(g_file_set_contents(path, (const char *)words, (gssize)n, NULL));
    return path;
}

static char *fingerprint(const char *path)
{
    GError *error = NULL;
    char *text = rb_film_fingerprint(path, NULL, NULL, &error);
    rb_assert_no_error(error);
    ck_assert(rb_film_fingerprint_is_valid(text));
    return text;
}

START_TEST(test_fingerprint__of_known_bytes)
{
    /* SHA-256 of 00 00 00 00 00 00 00 03 61 62 63 (the size, then "abc"), by
     * printf '\0\0\0\0\0\0\0\003abc' | sha256sum of GNU coreutils. */
    g_autofree char *path = rb_test_path("abc");
    ck_assert(g_file_set_contents(path, "abc", 3, NULL));
    int64_t bytes = 0;
    g_autofree char *text = rb_film_fingerprint(path, &bytes, NULL, NULL);
    ck_assert_str_eq(
        text, "f1:c3494ca1a2cf8eeb8a11ded316fb55b83c3bbbedb6313cd50415251e5d09e12f");
    ck_assert_int_eq(bytes, 3);
}
END_TEST

/* The definition in the header, written down a second time. */
static char *by_definition(const char *path)
{
    g_autofree char *all = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(path, &all, &n, NULL));
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    for (int i = 7; i >= 0; i--) {
        const guchar byte = (guchar)(n >> (8 * i));
        g_checksum_update(sum, &byte, 1);
    }
    const guchar *bytes = (const guchar *)all;
    if (n <= 4 << 20) {
        g_checksum_update(sum, bytes, (gssize)n);
    } else {
        g_checksum_update(sum, bytes, 1 << 20);
        for (size_t i = 1; i <= 16; i++) {
            g_checksum_update(sum, bytes + n / 17 * i, 64 << 10);
        }
        g_checksum_update(sum, bytes + n - (1 << 20), 1 << 20);
    }
    return g_strconcat("f1:", g_checksum_get_string(sum), NULL);
}

START_TEST(test_fingerprint__follows_its_definition)
{
    const size_t sizes[] = { 1, 100000, 4 << 20, (4 << 20) + 1, 9000001 };
    for (size_t i = 0; i < G_N_ELEMENTS(sizes); i++) {
        g_autofree char *path = write_file("film", sizes[i], i);
        g_autofree char *text = fingerprint(path);
        g_autofree char *expected = by_definition(path);
        ck_assert_str_eq(text, expected);
    }
}
END_TEST

START_TEST(test_fingerprint__tells_films_apart_and_ignores_names)
{
    g_autofree char *a = write_file("a", 6000000, 1);
    g_autofree char *b = write_file("b", 6000000, 2);
    g_autofree char *c = write_file("c", 6000000, 1);
    g_autofree char *d = write_file("d", 6000001, 1);
    g_autofree char *of_a = fingerprint(a);
    g_autofree char *of_b = fingerprint(b);
    g_autofree char *of_c = fingerprint(c);
    g_autofree char *of_d = fingerprint(d);
    ck_assert_str_eq(of_a, of_c);
    ck_assert_str_ne(of_a, of_b);
    ck_assert_str_ne(of_a, of_d);
}
END_TEST

START_TEST(test_fingerprint__form)
{
    ck_assert(!rb_film_fingerprint_is_valid(NULL));
    ck_assert(!rb_film_fingerprint_is_valid(""));
    ck_assert(!rb_film_fingerprint_is_valid("f1:abc"));
    g_autofree char *zeros = g_strnfill(64, '0');
    g_autofree char *good = g_strconcat("f1:", zeros, NULL);
    ck_assert(rb_film_fingerprint_is_valid(good));
    good[20] = 'G';
    ck_assert(!rb_film_fingerprint_is_valid(good));
    good[20] = 'A';
    ck_assert(!rb_film_fingerprint_is_valid(good));
    g_autofree char *other = g_strconcat("f2:", zeros, NULL);
    ck_assert(!rb_film_fingerprint_is_valid(other));
}
END_TEST

START_TEST(test_fingerprint__missing_file_and_cancel)
{
    g_autofree char *missing = rb_test_path("missing.mp4");
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_film_fingerprint(missing, NULL, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_MISSING));
    g_clear_error(&error);
    g_autofree char *path = write_file("a", 1000, 1);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    rb_cancel_cancel(cancel);
    ck_assert_ptr_null(rb_film_fingerprint(path, NULL, cancel, &error));
    ck_assert(rb_error_is_cancelled(error));
}
END_TEST

START_TEST(test_fingerprint__moved_film_is_found)
{
    g_autofree char *old = write_file("old.mp4", 5000000, 4);
    g_autofree char *sum = fingerprint(old);
    g_autofree char *twin = write_file("same-size.mp4", 5000000, 5);
    g_autofree char *folder = rb_test_path("season/week 3/tight");
    ck_assert_int_eq(g_mkdir_with_parents(folder, 0755), 0);
    g_autofree char *where = g_build_filename(folder, "renamed.mov", NULL);
    ck_assert_int_eq(g_rename(old, where), 0);
    g_autofree char *loop = g_build_filename(folder, "loop", NULL);
    ck_assert_int_eq(symlink("..", loop), 0);
    const char *const folders[] = { "/nowhere", rb_test_folder(), NULL };
    GError *error = NULL;
    g_autofree char *found =
        rb_film_find_moved(sum, 5000000, folders, NULL, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(found, where);
    ck_assert_int_eq(g_unlink(where), 0);
    ck_assert_ptr_null(rb_film_find_moved(sum, 5000000, folders, NULL, NULL, &error));
    rb_assert_no_error(error); /* not found is no error */
    ck_assert_ptr_nonnull(twin);
}
END_TEST

START_TEST(test_fingerprint__search_can_be_cancelled_and_refuses_nonsense)
{
    g_autofree char *zeros = g_strnfill(64, '0');
    g_autofree char *sum = g_strconcat("f1:", zeros, NULL);
    const char *const folders[] = { rb_test_folder(), NULL };
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    rb_cancel_cancel(cancel);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_film_find_moved(sum, 5, folders, cancel, NULL, &error));
    ck_assert(rb_error_is_cancelled(error));
    g_clear_error(&error);
    ck_assert_ptr_null(rb_film_find_moved("x", 5, folders, NULL, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_FAILED));
}
END_TEST

TCase *rb_case_fingerprint(void)
{
    TCase *tcase = rb_case_new("fingerprint");
    tcase_add_test(tcase, test_fingerprint__of_known_bytes);
    tcase_add_test(tcase, test_fingerprint__follows_its_definition);
    tcase_add_test(tcase, test_fingerprint__tells_films_apart_and_ignores_names);
    tcase_add_test(tcase, test_fingerprint__form);
    tcase_add_test(tcase, test_fingerprint__missing_file_and_cancel);
    tcase_add_test(tcase, test_fingerprint__moved_film_is_found);
    tcase_add_test(tcase, test_fingerprint__search_can_be_cancelled_and_refuses_nonsense);
    return tcase;
}
