/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The work of another laptop. The checksum is put right first, or nothing would get past it. */
#include <glib.h>
#include <stdint.h>
#include <string.h>

#include "parcel-format.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autofree guint8 *copy = g_memdup2(data, size);
    if (size >= RB_PARCEL_SIZE_AT + 8 + RB_PARCEL_SUM_SIZE) {
        const int64_t length = GINT64_TO_LE((int64_t)size);
        memcpy(copy + RB_PARCEL_SIZE_AT, &length, sizeof length);
        rb_parcel_sum(copy, size - RB_PARCEL_SUM_SIZE, copy + size - RB_PARCEL_SUM_SIZE);
    }
    g_autoptr(GBytes) bytes = g_bytes_new(copy, size);
    g_autoptr(RbParcel) parcel = rb_parcel_parse_with(bytes, "fuzz", 1, NULL);
    if (parcel != NULL) {
        /* What was taken is exactly what would be written. */
        g_autoptr(GBytes) again = rb_parcel_write(parcel);
        g_assert_true(g_bytes_equal(bytes, again));
    }
    return 0;
}
