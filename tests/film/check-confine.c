/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <glib.h>
#include <signal.h>
#include <sys/wait.h>

#include "suite.h"

TCase *rb_case_confine(void);

/* Exit status of a confined program that tries one thing; negative: the signal it died of. */
static int try_escape(const char *what)
{
    const char *program = g_getenv("RB_TEST_ESCAPE");
    ck_assert_ptr_nonnull(program);
    const char *const argv[] = { program, what, NULL };
    int status = 0;
    GError *error = NULL;
    g_spawn_sync(rb_test_folder(), (char **)(uintptr_t)argv, NULL, G_SPAWN_DEFAULT, NULL,
                 NULL, NULL, NULL, &status, &error);
    rb_assert_no_error(error);
    return WIFSIGNALED(status) ? -WTERMSIG(status) : WEXITSTATUS(status);
}

static const struct {
    const char *what;
    int result;
} rows[] = {
    { "open", EPERM },   { "create", EPERM },   { "socket", EPERM },  { "unlink", EPERM },
    { "kill", EPERM },   { "code", EPERM },     { "process", EPERM }, { "exec", -SIGSYS },
    { "fork", -SIGSYS }, { "ptrace", -SIGSYS }, { "thread", 0 },      { "memory", 0 },
};

START_TEST(test_confine__what_the_helper_cannot_and_can_do)
{
    ck_assert_msg(try_escape(rows[_i].what) == rows[_i].result, "%s: %d", rows[_i].what,
                  try_escape(rows[_i].what));
}
END_TEST

TCase *rb_case_confine(void)
{
    TCase *tcase = rb_case_new("confine");
    if (g_getenv("RB_TEST_ESCAPE") !=
        NULL) { /* not with sanitizers: they need those calls */
        tcase_add_loop_test(tcase, test_confine__what_the_helper_cannot_and_can_do, 0,
                            (int)G_N_ELEMENTS(rows));
    }
    return tcase;
}
