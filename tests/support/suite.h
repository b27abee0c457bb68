/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <check.h>
#include <stdbool.h>
#include <stdint.h>

/* One executable a part: rb_suite_main(part, cases, n) runs every TCase in fork mode, so that
 * a leak, overflow or race fails the test that has it and the rest still run. */
typedef TCase *(*RbCaseMaker)(void);
int rb_suite_main(const char *part, const RbCaseMaker *makers, int n);

/* A TCase with a checked fixture that gives each test an empty folder of its own. */
TCase *rb_case_new(const char *name);

/* The running test's folder, removed when it ends. Borrowed. */
const char *rb_test_folder(void);
/* A path in it. Returns: (transfer full). */
char *rb_test_path(const char *name);
/* A file of tests/fixtures. Returns: (transfer full). */
char *rb_test_fixture(const char *name);

/* Seed of a random test: RB_TEST_SEED if set, else `fallback`; printed either way. */
uint64_t rb_test_seed(uint64_t fallback);
/* True in the long runs of `sh tests/run --all`. */
bool rb_test_is_long(void);
/* A sanitizer's build takes every n-th row of a long table of films, with n in RB_TEST_SAMPLE;
 * without it, and in the long runs, every row. */
bool rb_test_is_sampled(int row);
/* How many of n random cases of a property a test tries: in a sanitizer's build every n-th part,
 * with n as above, and at least one; else all. */
int rb_test_some(int n);

/* Fails the test with the message when `error` is set, and clears it. */
#define rb_assert_no_error(error) rb_test_no_error((error), __FILE__, __LINE__)
void rb_test_no_error(void *error, const char *file, int line);
