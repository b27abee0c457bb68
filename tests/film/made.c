/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made.h"

#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <unistd.h>

#include "suite.h"

/* Raised when what is drawn into films changes. */
#define DRAWING "1 "

static const char *shared_folder(void)
{
    const char *all = g_getenv("RB_TEST_MADE_FOR_ALL");
    return all != NULL ? all : g_getenv("RB_TEST_MADE");
}

/* Under another name first: a test may be ended half way, and another may make the same. */
static void make_shared(const char *path, const char *name, Maker make, const void *data)
{
    g_autofree char *folder = g_path_get_dirname(path);
    ck_assert_int_eq(g_mkdir_with_parents(folder, 0700), 0);
    g_autofree char *part = g_strdup_printf("%s/part-%d-%s", folder, (int)getpid(), name);
    make(part, data);
    ck_assert_int_eq(g_rename(part, path), 0);
}

/* Without waiting for the disk, as g_file_set_contents() may. */
static void copy(const char *from, const char *to)
{
    g_autofree char *bytes = NULL;
    gsize n = 0;
    ck_assert(g_file_get_contents(from, &bytes, &n, NULL));
    FILE *file = fopen(to, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(bytes, 1, n, file), n);
    ck_assert_int_eq(fclose(file), 0);
}

char *made_once(const char *name, const char *recipe, Maker make, const void *data)
{
    char *own = rb_test_path(name);
    const char *folder = shared_folder();
    if (folder == NULL) {
        make(own, data);
        return own;
    }
    g_autofree char *whole = g_strconcat(DRAWING, recipe, NULL);
    g_autofree char *sum = g_compute_checksum_for_string(G_CHECKSUM_SHA256, whole, -1);
    g_autofree char *shared = g_strdup_printf("%s/%.16s-%s", folder, sum, name);
    if (!g_file_test(shared, G_FILE_TEST_EXISTS)) {
        make_shared(shared, name, make, data);
    }
    copy(shared, own);
    return own;
}

char *made_of_film(const char *name, const char *recipe, const char *film, Maker make)
{
    g_autofree char *bytes = NULL;
    gsize n = 0;
    ck_assert(g_file_get_contents(film, &bytes, &n, NULL));
    g_autofree char *sum =
        g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)bytes, n);
    g_autofree char *whole = g_strdup_printf("%s of %s", recipe, sum);
    return made_once(name, whole, make, film);
}
