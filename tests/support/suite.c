/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>

static char *folder; /* owned: the running test's */

static void remove_tree(const char *path)
{
    if (g_file_test(path, G_FILE_TEST_IS_SYMLINK) ||
        !g_file_test(path, G_FILE_TEST_IS_DIR)) {
        g_unlink(path);
        return;
    }
    g_chmod(path, 0700);
    g_autoptr(GDir) dir = g_dir_open(path, 0, NULL);
    const char *name = NULL;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *child = g_build_filename(path, name, NULL);
        remove_tree(child);
    }
    g_rmdir(path);
}

static void make_folder(void)
{
    GError *error = NULL;
    folder = g_dir_make_tmp("rb-test-XXXXXX", &error);
    rb_assert_no_error(error);
}

static void remove_folder(void)
{
    remove_tree(folder);
    g_clear_pointer(&folder, g_free);
}

TCase *rb_case_new(const char *name)
{
    TCase *tcase = tcase_create(name);
    tcase_add_checked_fixture(tcase, make_folder, remove_folder);
    tcase_set_timeout(tcase, 60);
    return tcase;
}

const char *rb_test_folder(void)
{
    g_assert(folder != NULL);
    return folder;
}

char *rb_test_path(const char *name)
{
    return g_build_filename(rb_test_folder(), name, NULL);
}

char *rb_test_fixture(const char *name)
{
    const char *base = g_getenv("RB_TEST_FIXTURES");
    g_assert(base != NULL);
    return g_build_filename(base, name, NULL);
}

uint64_t rb_test_seed(uint64_t fallback)
{
    const char *text = g_getenv("RB_TEST_SEED");
    const uint64_t seed = text != NULL ? g_ascii_strtoull(text, NULL, 10) : fallback;
    printf("seed %" G_GUINT64_FORMAT "\n", seed);
    return seed;
}

bool rb_test_is_long(void)
{
    return g_getenv("RB_TEST_LONG") != NULL;
}

static int sample(void)
{
    const char *text = g_getenv("RB_TEST_SAMPLE");
    return text != NULL && !rb_test_is_long() ? MAX(atoi(text), 1) : 1;
}

bool rb_test_is_sampled(int row)
{
    return row % sample() == 0;
}

int rb_test_some(int n)
{
    return MAX(n / sample(), 1);
}

void rb_test_no_error(void *pointer, const char *file, int line)
{
    GError *error = pointer;
    if (error != NULL) {
        g_autofree char *message = g_strdup(error->message);
        g_error_free(error);
        ck_abort_msg("%s:%d: %s", file, line, message);
    }
}

int rb_suite_main(const char *part, const RbCaseMaker *makers, int n)
{
    Suite *suite = suite_create(part);
    for (int i = 0; i < n; i++) {
        suite_add_tcase(suite, makers[i]());
    }
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    const int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
