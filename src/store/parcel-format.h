/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "parcel.h"

/* What writer and reader of a parcel's bytes share; the layout stands in parcel.h. */

#define RB_PARCEL_MAGIC "RBWORK1\n"

enum {
    RB_PARCEL_MAGIC_SIZE = 8,
    RB_PARCEL_SIZE_AT = RB_PARCEL_MAGIC_SIZE + 4,
    RB_PARCEL_SUM_SIZE = 32,
    /* More than a season of a large staff; a length beyond it is a fault. */
    RB_PARCEL_SIZE_MAX = 512 * 1024 * 1024,
};

/* SHA-256. sum: RB_PARCEL_SUM_SIZE bytes. */
void rb_parcel_sum(const guint8 *data, size_t size, guint8 *sum);
