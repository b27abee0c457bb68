/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/error.h"
#include "rb/work/filter-text.h"
#include "rb/work/saved-filters.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_saved_filters(void);

static RbLibrary *library_new(void)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("filters.readbreak");
    RbLibrary *library = rb_library_create(path, "Coach", &error);
    rb_assert_no_error(error);
    return library;
}

static RbNames *names_of(RbLibrary *library)
{
    GError *error = NULL;
    RbNames *names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    return names;
}

static RbFilter *written(RbLibrary *library, const char *text)
{
    GError *error = NULL;
    g_autoptr(RbNames) names = names_of(library);
    RbFilter *filter = rb_filter_parse_text(names, text, &error);
    rb_assert_no_error(error);
    return filter;
}

static void save(RbLibrary *library, const char *name, const char *text)
{
    GError *error = NULL;
    g_autofree char *words = NULL;
    g_autoptr(RbFilter) filter = written(library, text);
    ck_assert(rb_library_save_filter(library, name, filter, &words, &error));
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(strstr(words, "saved"));
}

static void assert_reads(RbLibrary *library, const char *text, const char *expected)
{
    g_autoptr(RbFilter) filter = written(library, text);
    g_autofree char *line = rb_filter_print(filter);
    ck_assert_str_eq(line, expected);
}

START_TEST(test_saved_filters__a_name_in_any_case_means_the_filter)
{
    g_autoptr(RbLibrary) library = library_new();
    save(library, "  Third and long ", "down=3; distance=7+");
    assert_reads(library, "filter=third AND long", "down=3; distance=7+");
    assert_reads(library, "filter=Third and long; down=2; hash=left",
                 "down=3,2; distance=7+; hash=left");
}
END_TEST

START_TEST(test_saved_filters__the_same_name_replaces_and_undo_brings_back)
{
    GError *error = NULL;
    g_autofree char *words = NULL;
    g_autoptr(RbLibrary) library = library_new();
    save(library, "Red zone", "yards-to-goal=1-20");
    save(library, "RED ZONE", "yards-to-goal=1-10");
    g_autoptr(RbNames) names = names_of(library);
    ck_assert_uint_eq(rb_names_filters(names)->len, 1);
    assert_reads(library, "filter=red zone", "yards-to-goal=1-10");
    ck_assert(rb_library_undo(library, NULL, &error));
    assert_reads(library, "filter=red zone", "yards-to-goal=1-20");
    ck_assert(rb_library_remove_filter(library, "red zone", &words, &error));
    rb_assert_no_error(error);
    ck_assert_str_eq(words, "Saved filter Red zone removed");
    g_autoptr(RbNames) after = names_of(library);
    ck_assert_uint_eq(rb_names_filters(after)->len, 0);
    ck_assert(rb_library_undo(library, NULL, &error));
    assert_reads(library, "filter=red zone", "yards-to-goal=1-20");
}
END_TEST

START_TEST(test_saved_filters__are_listed_by_name_and_kept_in_the_file)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autofree char *path = g_strdup(rb_library_get_path(library));
    save(library, "zone", "family=zone");
    save(library, "Man", "family=man");
    rb_library_close(g_steal_pointer(&library));
    GError *error = NULL;
    g_autoptr(RbLibrary) again = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    g_autoptr(RbNames) names = names_of(again);
    const GPtrArray *all = rb_names_filters(names);
    ck_assert_uint_eq(all->len, 2);
    ck_assert_str_eq(((RbSavedFilter *)all->pdata[0])->name, "Man");
    ck_assert_str_eq(((RbSavedFilter *)all->pdata[1])->name, "zone");
    assert_reads(again, "filter=zone", "family=zone");
}
END_TEST

static void assert_refused(RbLibrary *library, const char *name, const char *text,
                           const char *says)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(RbFilter) filter = written(library, text);
    ck_assert(!rb_library_save_filter(library, name, filter, NULL, &error));
    ck_assert_ptr_nonnull(error);
    ck_assert_msg(strstr(error->message, says) != NULL, "%s", error->message);
}

START_TEST(test_saved_filters__bad_names_and_unknown_ones_get_a_sentence)
{
    g_autofree char *long_name = g_strnfill(500, 'x');
    g_autoptr(RbLibrary) library = library_new();
    assert_refused(library, "   ", "down=3", "needs a name");
    assert_refused(library, long_name, "down=3", "too long");
    assert_refused(library, "a; b", "down=3", "semicolon");
    assert_refused(library, "all", "", "no filter to save");
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_names_parse_filter(names, "red", &error));
    ck_assert_str_eq(error->message,
                     "There is no saved filter \"red\"; there are none yet.");
    g_clear_error(&error);
    save(library, "Blue", "down=1");
    ck_assert(!rb_library_remove_filter(library, "red", NULL, &error));
    ck_assert_str_eq(error->message,
                     "There is no saved filter \"red\"; there is \"Blue\".");
}
END_TEST

/* A newer version may know fields that this one does not. */
START_TEST(test_saved_filters__one_that_cannot_be_read_says_so)
{
    RbSavedFilter odd = { { 7 }, (char *)"Odd", (char *)"weather=1" };
    GPtrArray *filters = g_ptr_array_new();
    g_ptr_array_add(filters, &odd);
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    rb_names_take_filters(names, filters);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_names_parse_filter(names, "odd", &error));
    ck_assert(
        g_str_has_prefix(error->message, "The saved filter \"Odd\" cannot be read"));
}
END_TEST

TCase *rb_case_saved_filters(void)
{
    TCase *tcase = rb_case_new("saved-filters");
    tcase_add_test(tcase, test_saved_filters__a_name_in_any_case_means_the_filter);
    tcase_add_test(tcase,
                   test_saved_filters__the_same_name_replaces_and_undo_brings_back);
    tcase_add_test(tcase, test_saved_filters__are_listed_by_name_and_kept_in_the_file);
    tcase_add_test(tcase, test_saved_filters__bad_names_and_unknown_ones_get_a_sentence);
    tcase_add_test(tcase, test_saved_filters__one_that_cannot_be_read_says_so);
    return tcase;
}
