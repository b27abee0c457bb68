/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of replaced ops that an op brings with it from another laptop. */
#include <glib.h>
#include <stdint.h>

#include "record.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autofree char *text = g_strndup((const char *)data, size);
    g_autoptr(GArray) ops = g_array_new(FALSE, FALSE, sizeof(RbOpId));
    if (rb_base_parse(text, ops)) {
        /* What is taken is exactly what would be written. */
        g_autofree char *again = rb_base_format(ops);
        g_assert_cmpstr(again, ==, text);
    }
    return 0;
}
