/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>

#include "rb/book/playbook.h"
#include "rb/work/error.h"
#include "rb/work/playbooks.h"

#include "suite.h"

TCase *rb_case_playbooks(void);

static RbLibrary *library_new(const char *name)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path(name);
    RbLibrary *library = rb_library_create(path, "Coach", &error);
    rb_assert_no_error(error);
    return library;
}

static char *read_text(const char *path)
{
    char *text = NULL;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    return text;
}

START_TEST(test_playbooks__out_and_in_again_changes_nothing)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("book.json");
    g_autoptr(RbLibrary) library = library_new("a.readbreak");
    ck_assert(rb_library_export_playbook(library, path, &error));
    rb_assert_no_error(error);
    int count = 0;
    ck_assert(rb_playbook_check_file(path, &count, &error));
    rb_assert_no_error(error);
    ck_assert_int_ge(count, 8);
    int changed = -1;
    ck_assert(rb_library_import_playbook(library, path, &changed, &error));
    rb_assert_no_error(error);
    ck_assert_int_eq(changed, 0);
    g_autoptr(GPtrArray) lines = rb_library_load_history(library, 0, NULL);
    ck_assert_uint_eq(lines->len, 1);
    ck_assert(!rb_library_export_playbook(library, path, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_playbooks__a_change_is_one_action_and_can_be_undone)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("book.json");
    g_autofree char *after = rb_test_path("after.json");
    g_autoptr(RbLibrary) library = library_new("a.readbreak");
    ck_assert(rb_library_export_playbook(library, path, &error));
    g_autofree char *before = read_text(path);
    g_auto(GStrv) parts = g_strsplit(before, "\"Curl-flat\"", -1);
    ck_assert_uint_eq(g_strv_length(parts), 2);
    g_autofree char *renamed = g_strjoinv("\"Curl and flat\"", parts);
    ck_assert(g_file_set_contents(path, renamed, -1, NULL));
    int changed = 0;
    ck_assert(rb_library_import_playbook(library, path, &changed, &error));
    rb_assert_no_error(error);
    ck_assert_int_eq(changed, 1);
    g_autoptr(RbNames) names = rb_library_load_names(library, NULL);
    ck_assert_str_eq(rb_names_parse_concept(names, "curl-flat", NULL)->name,
                     "Curl and flat");
    g_autofree char *words = NULL;
    ck_assert(rb_library_undo(library, &words, &error));
    ck_assert_str_eq(words, "Undone: playbook \"book.json\" taken in: 1 concept new or "
                            "different");
    ck_assert(rb_library_export_playbook(library, after, &error));
    rb_assert_no_error(error);
    g_autofree char *back = read_text(after);
    ck_assert_str_eq(back, before);
}
END_TEST

static const char missing_read[] =
    "{\"format\": \"readbreak-playbook\", \"version\": 1, \"concepts\": [\n"
    "{\"token\": \"test\", \"name\": \"Test\",\n"
    "\"reads\": [{\"number\": 1, \"route\": \"curl\"}],\n"
    "\"rules\": [{\"name\": \"odd\", \"read\": 4, \"do\": \"drop\",\n"
    "\"if\": [{\"shell\": \"one-high\"}]}]}]}\n";

START_TEST(test_playbooks__what_is_wrong_is_refused_with_a_reason)
{
    static const struct {
        const char *text;
        const char *says;
    } rows[] = {
        { missing_read, "4" },
        { "", "Line 1" },
        { "{\"format\": \"something\"}", "format" },
        { "[1, 2", "Line 1" },
    };
    g_autofree char *path = rb_test_path("bad.json");
    g_autoptr(RbLibrary) library = library_new("a.readbreak");
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        ck_assert(g_file_set_contents(path, rows[i].text, -1, NULL));
        g_autoptr(GError) error = NULL;
        ck_assert(!rb_library_import_playbook(library, path, NULL, &error));
        ck_assert_msg(strstr(error->message, rows[i].says) != NULL, "%s", error->message);
        ck_assert_ptr_nonnull(strstr(error->message, "bad.json"));
        ck_assert_ptr_null(strchr(error->message, '\n'));
        g_clear_error(&error);
        ck_assert(!rb_playbook_check_file(path, NULL, &error));
    }
    g_autoptr(GPtrArray) lines = rb_library_load_history(library, 0, NULL);
    ck_assert_uint_eq(lines->len, 1);
}
END_TEST

START_TEST(test_playbooks__what_is_no_file_is_refused)
{
    g_autofree char *missing = rb_test_path("none.json");
    g_autofree char *pipe = rb_test_path("pipe.json");
    ck_assert_int_eq(mkfifo(pipe, 0600), 0);
    const char *paths[] = { rb_test_folder(), missing, pipe };
    for (size_t i = 0; i < G_N_ELEMENTS(paths); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert(!rb_playbook_check_file(paths[i], NULL, &error));
        ck_assert_ptr_nonnull(strstr(error->message, paths[i]));
    }
}
END_TEST

TCase *rb_case_playbooks(void)
{
    TCase *tcase = rb_case_new("playbooks");
    tcase_add_test(tcase, test_playbooks__out_and_in_again_changes_nothing);
    tcase_add_test(tcase, test_playbooks__a_change_is_one_action_and_can_be_undone);
    tcase_add_test(tcase, test_playbooks__what_is_wrong_is_refused_with_a_reason);
    tcase_add_test(tcase, test_playbooks__what_is_no_file_is_refused);
    return tcase;
}
