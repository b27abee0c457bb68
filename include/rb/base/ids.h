/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

/* Ids are 63 random bits, or the hash of stable content for what several laptops must name
 * alike. 0 is no id. Each kind of thing has its own one-field type (rb/model/ids.h), so one
 * cannot stand for another. */
#define RB_DEFINE_ID(Type)                                                               \
    typedef struct {                                                                     \
        int64_t value;                                                                   \
    } Type

/* From the system's random source; never 0, never negative. */
int64_t rb_id_random(void);

/* The first 63 bits of SHA-256 over the parts, each preceded by its length, so that
 * ("ab","c") and ("a","bc") differ. NULL ends the list. Never 0. */
int64_t rb_id_from_text(const char *part, ...) __attribute__((sentinel));

/* The same for a child of another id: a chart of a snap by an author, a read of a chart. */
int64_t rb_id_from_pair(const char *kind, int64_t a, int64_t b);

/* Decimal digits, as used in JSON and on the command line. False if `text` is not an id. */
bool rb_id_parse(const char *text, int64_t *id);
