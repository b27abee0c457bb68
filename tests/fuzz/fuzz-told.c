/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What another laptop's history says an action was. */
#include <stdint.h>
#include <string.h>

#include "rb/base/told.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(const char *text)
{
    g_assert(g_utf8_validate(text, -1, NULL));
    g_assert(strpbrk(text, "\x02\x03\x1e\x1f") == NULL);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autofree char *row = g_strndup((const char *)data, size);
    g_autofree char *shown = rb_told_show(row);
    check(shown);
    /* What is kept of it can be kept again, and shows something. */
    g_autofree char *kept = rb_told_to_keep(row);
    g_autofree char *again = rb_told_to_keep(kept);
    g_assert_cmpstr(again, ==, kept);
    g_autofree char *read = rb_told_show(kept);
    check(read);
    /* Whatever it is, it can stand in a sentence. */
    g_autofree char *told = rb_told("%s (%d)", row, 7);
    g_autofree char *whole = rb_told_show(told);
    check(whole);
    return 0;
}
