/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/columns.h"
#include "rb/store/touched.h"

#include "cases.h"
#include "make.h"

static GArray *some_seen(void)
{
    static const RbSeen seen[] = { { 0, 2 }, { 81, 4000000000 } };
    GArray *array = g_array_new(FALSE, FALSE, sizeof(RbSeen));
    g_array_append_vals(array, seen, G_N_ELEMENTS(seen));
    return array;
}

START_TEST(test_columns__come_back_to_those_who_made_them)
{
    GError *error = NULL;
    RbStore *store = make_store("a.readbreak");
    g_autofree char *path = rb_test_path("a.readbreak");
    g_autoptr(GArray) seen = some_seen();
    g_autoptr(GArray) back = NULL;
    g_autoptr(GBytes) bytes = g_bytes_new_static("\0 columns \xff", 11);
    ck_assert_ptr_null(rb_store_load_columns(store, "me", &back, &error));
    rb_assert_no_error(error);
    ck_assert(rb_store_keep_columns(store, "me", seen, bytes, &error));
    rb_store_free(store);
    store = rb_store_open(path, &error);
    g_autoptr(GBytes) again = rb_store_load_columns(store, "me", &back, &error);
    rb_assert_no_error(error);
    ck_assert(g_bytes_equal(bytes, again));
    ck_assert_uint_eq(back->len, seen->len);
    ck_assert_mem_eq(back->data, seen->data, seen->len * sizeof(RbSeen));
    g_autoptr(GArray) none = NULL;
    ck_assert_ptr_null(rb_store_load_columns(store, "you", &none, &error));
    rb_assert_no_error(error);
    ck_assert_ptr_null(none);
    rb_store_free(store);
}
END_TEST

/* They are no content: the hash stays, nothing is there to undo, and new ones replace old. */
START_TEST(test_columns__are_not_what_a_library_holds)
{
    GError *error = NULL;
    RbStore *store = make_store("a.readbreak");
    g_autoptr(GArray) seen = some_seen();
    g_autoptr(GBytes) one = g_bytes_new_static("one", 3);
    g_autoptr(GBytes) other = g_bytes_new_static("other", 5);
    g_autofree char *before = rb_store_content_hash(store, &error);
    g_autoptr(GArray) history = rb_store_list_seen(store, &error);
    ck_assert(rb_store_keep_columns(store, "me", seen, one, &error));
    ck_assert(rb_store_keep_columns(store, "you", seen, other, &error));
    g_autofree char *after = rb_store_content_hash(store, &error);
    g_autoptr(GArray) same = rb_store_list_seen(store, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(before, after);
    ck_assert_uint_eq(history->len, same->len);
    ck_assert_mem_eq(history->data, same->data, history->len * sizeof(RbSeen));
    g_autoptr(GArray) back = NULL;
    ck_assert_ptr_null(rb_store_load_columns(store, "me", &back, &error));
    g_autoptr(GBytes) newest = rb_store_load_columns(store, "you", &back, &error);
    ck_assert(g_bytes_equal(newest, other));
    rb_store_free(store);
}
END_TEST

START_TEST(test_columns__cannot_be_kept_in_what_is_only_read)
{
    GError *error = NULL;
    RbStore *store = make_store("a.readbreak");
    g_autofree char *path = rb_test_path("a.readbreak");
    rb_store_free(store);
    store = rb_store_open_read_only(path, &error);
    rb_assert_no_error(error);
    g_autoptr(GArray) seen = some_seen();
    g_autoptr(GBytes) bytes = g_bytes_new_static("one", 3);
    ck_assert(!rb_store_keep_columns(store, "me", seen, bytes, &error));
    ck_assert_ptr_nonnull(error);
    g_clear_error(&error);
    rb_store_free(store);
}
END_TEST

TCase *rb_case_columns(void)
{
    TCase *tcase = rb_case_new("columns");
    tcase_add_test(tcase, test_columns__come_back_to_those_who_made_them);
    tcase_add_test(tcase, test_columns__are_not_what_a_library_holds);
    tcase_add_test(tcase, test_columns__cannot_be_kept_in_what_is_only_read);
    return tcase;
}
