/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <sys/stat.h>

#include "rb/work/bookmark.h"

#include "suite.h"

TCase *rb_case_bookmark(void);

static void save(const char *file, const char *library, int64_t snap)
{
    GError *error = NULL;
    g_autoptr(RbBookmark) bookmark = rb_bookmark_new(library);
    bookmark->person = g_strdup("Ana = [x]\n");
    bookmark->desk = g_strdup("pairings");
    bookmark->blind = true;
    bookmark->game.value = INT64_MAX;
    bookmark->snap.value = snap;
    bookmark->frame = 1234;
    ck_assert(rb_bookmark_save(file, bookmark, &error));
    rb_assert_no_error(error);
}

START_TEST(test_bookmark__comes_back_for_each_library)
{
    g_autofree char *file = rb_test_path("deep/where.ini");
    ck_assert_ptr_null(rb_bookmark_load(file, NULL));
    save(file, "/tmp/a [1].readbreak", 11);
    save(file, "/tmp/b\xff=\n.readbreak", INT64_MAX);
    g_autoptr(RbBookmark) last = rb_bookmark_load(file, NULL);
    ck_assert_str_eq(last->library, "/tmp/b\xff=\n.readbreak");
    ck_assert_int_eq(last->snap.value, INT64_MAX);
    ck_assert_int_eq(last->game.value, INT64_MAX);
    ck_assert_int_eq(last->frame, 1234);
    ck_assert(last->blind);
    ck_assert_str_eq(last->person, "Ana = [x]\n");
    ck_assert_str_eq(last->desk, "pairings");
    g_autoptr(RbBookmark) first = rb_bookmark_load(file, "/tmp/a [1].readbreak");
    ck_assert_int_eq(first->snap.value, 11);
    ck_assert_ptr_null(rb_bookmark_load(file, "/tmp/c.readbreak"));
}
END_TEST

START_TEST(test_bookmark__the_oldest_go_and_rubbish_is_no_bookmark)
{
    g_autofree char *file = rb_test_path("where.ini");
    ck_assert(g_file_set_contents(file, "[a\nrubbish=", -1, NULL));
    ck_assert_ptr_null(rb_bookmark_load(file, NULL));
    for (int i = 0; i < RB_BOOKMARKS_MAX + 5; i++) {
        g_autofree char *library = g_strdup_printf("/tmp/%d.readbreak", i);
        save(file, library, i + 1);
    }
    ck_assert_ptr_null(rb_bookmark_load(file, "/tmp/4.readbreak"));
    g_autoptr(RbBookmark) kept = rb_bookmark_load(file, "/tmp/5.readbreak");
    ck_assert_ptr_nonnull(kept);
    ck_assert_int_eq(kept->snap.value, 6);
    /* A place that cannot be written is told. */
    GError *error = NULL;
    g_autofree char *below = rb_test_path("where.ini/no/file.ini");
    ck_assert(!rb_bookmark_save(below, kept, &error));
    ck_assert_ptr_nonnull(error);
    g_clear_error(&error);
}
END_TEST

TCase *rb_case_bookmark(void)
{
    TCase *tcase = rb_case_new("bookmark");
    tcase_add_test(tcase, test_bookmark__comes_back_for_each_library);
    tcase_add_test(tcase, test_bookmark__the_oldest_go_and_rubbish_is_no_bookmark);
    return tcase;
}
