/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <string.h>

#include "rb/base/cancel.h"
#include "rb/base/error.h"

#include "suite.h"

TCase *rb_case_error(void);

START_TEST(test_error__system_errors_keep_both_texts)
{
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_error_errno(&error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED, ENOENT,
                              "Opening \"%s\" failed", "g1.mp4"));
    ck_assert(g_error_matches(error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED));
    g_autofree char *expected =
        g_strdup_printf("Opening \"g1.mp4\" failed: %s", g_strerror(ENOENT));
    ck_assert_str_eq(error->message, expected);
}
END_TEST

START_TEST(test_error__no_place_for_it_is_allowed)
{
    ck_assert(!rb_error_set(NULL, RB_BASE_ERROR, RB_BASE_ERROR_FAILED, "100 %% lost"));
    ck_assert(!rb_error_errno(NULL, RB_BASE_ERROR, RB_BASE_ERROR_FAILED, EIO, "x"));
    g_autoptr(GError) error = NULL;
    ck_assert(
        !rb_error_set(&error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED, "%d %% lost", 5));
    ck_assert_str_eq(error->message, "5 % lost");
    ck_assert(!rb_error_is_cancelled(error));
    ck_assert(!rb_error_is_cancelled(NULL));
}
END_TEST

START_TEST(test_cancel__flag_and_error)
{
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    g_autoptr(GError) error = NULL;
    ck_assert(rb_cancel_check(cancel, &error));
    ck_assert(rb_cancel_check(NULL, &error));
    ck_assert_ptr_null(error);
    rb_cancel_cancel(cancel);
    rb_cancel_cancel(cancel);
    ck_assert(rb_cancel_is_cancelled(cancel));
    ck_assert(!rb_cancel_check(cancel, &error));
    ck_assert(rb_error_is_cancelled(error));
    rb_cancel_unref(NULL);
}
END_TEST

START_TEST(test_cancel__children_follow_their_parents)
{
    RbCancel *parent = rb_cancel_new(NULL);
    RbCancel *child = rb_cancel_new(parent);
    RbCancel *grandchild = rb_cancel_new(child);
    RbCancel *sibling = rb_cancel_new(parent);
    rb_cancel_cancel(child);
    ck_assert(!rb_cancel_is_cancelled(parent));
    ck_assert(!rb_cancel_is_cancelled(sibling));
    ck_assert(rb_cancel_is_cancelled(grandchild));
    rb_cancel_cancel(parent);
    rb_cancel_unref(parent); /* the children keep it alive */
    ck_assert(rb_cancel_is_cancelled(sibling));
    rb_cancel_unref(child);
    ck_assert(rb_cancel_is_cancelled(grandchild));
    rb_cancel_unref(grandchild);
    rb_cancel_unref(sibling);
}
END_TEST

TCase *rb_case_error(void)
{
    TCase *tcase = rb_case_new("error and cancel");
    tcase_add_test(tcase, test_error__system_errors_keep_both_texts);
    tcase_add_test(tcase, test_error__no_place_for_it_is_allowed);
    tcase_add_test(tcase, test_cancel__flag_and_error);
    tcase_add_test(tcase, test_cancel__children_follow_their_parents);
    return tcase;
}
