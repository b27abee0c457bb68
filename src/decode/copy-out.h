/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stddef.h>
#include <stdint.h>

/* Copies rows past the caches of the processor: what is handed to another process is not read
 * here again, and would push out what the decoder goes on with. */
void copy_out_rows(uint8_t *to, ptrdiff_t to_stride, const uint8_t *from,
                   ptrdiff_t from_stride, size_t row_bytes, int rows);
