/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <glib/gstdio.h>

#include "rb/base/installed.h"
#include "rb/base/locale.h"

#include "suite.h"

TCase *rb_case_installed(void);

START_TEST(test_installed__a_moved_folder_is_found_by_its_program)
{
    g_autofree char *prefix = rb_test_path("moved");
    g_autofree char *program = g_build_filename(prefix, "bin", "readbreak", NULL);
    g_autofree char *locale = g_build_filename(prefix, "share", "locale", NULL);
    g_autofree char *before =
        rb_installed_path_of(program, "share/locale", "/configured");
    ck_assert_str_eq(before, "/configured");
    ck_assert_int_eq(g_mkdir_with_parents(locale, 0755), 0);
    g_autofree char *after = rb_installed_path_of(program, "share/locale", "/configured");
    ck_assert_str_eq(after, locale);
}
END_TEST

START_TEST(test_installed__a_build_folder_is_not_one)
{
    g_autofree char *prefix = rb_test_path("build");
    g_autofree char *program = g_build_filename(prefix, "app", "readbreak", NULL);
    g_autofree char *locale = g_build_filename(prefix, "share", NULL);
    ck_assert_int_eq(g_mkdir_with_parents(locale, 0755), 0);
    g_autofree char *found = rb_installed_path_of(program, "share", "/configured");
    ck_assert_str_eq(found, "/configured");
    g_autofree char *own = rb_installed_path("share", "/configured");
    ck_assert_str_eq(own, "/configured");
}
END_TEST

START_TEST(test_locale__translations_of_a_build_folder_are_found)
{
    g_autofree char *root = g_dir_make_tmp("rb-built-XXXXXX", NULL);
    g_autofree char *po = g_build_filename(root, "po", NULL);
    g_autofree char *program = g_build_filename(root, "src", "app", "readbreak", NULL);
    g_autofree char *before = rb_locale_folder_of(program);
    ck_assert_str_ne(before, po);
    ck_assert_int_eq(g_mkdir(po, 0700), 0);
    g_autofree char *after = rb_locale_folder_of(program);
    ck_assert_str_eq(after, po);
    g_autofree char *elsewhere = g_build_filename(root, "bin", "readbreak", NULL);
    g_autofree char *other = rb_locale_folder_of(elsewhere);
    ck_assert_str_ne(other, po);
    g_rmdir(po);
    g_rmdir(root);
}
END_TEST

TCase *rb_case_installed(void)
{
    TCase *tcase = rb_case_new("installed");
    tcase_add_test(tcase, test_installed__a_moved_folder_is_found_by_its_program);
    tcase_add_test(tcase, test_installed__a_build_folder_is_not_one);
    tcase_add_test(tcase, test_locale__translations_of_a_build_folder_are_found);
    return tcase;
}
