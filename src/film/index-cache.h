/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "index.h"
#include "protocol.h"

/* Indexes kept in $XDG_CACHE_HOME/readbreak/index/, one file a film, so that a film is read
 * through once only. What is kept is believed only for the same file (fingerprint, size, time
 * of change), made by the same versions, and whole (SHA-256). An index used again counts as new;
 * when the folder grows too large, what was not used longest goes. */

#define RB_INDEX_CACHE_BYTES                                                             \
    (INT64_C(512) << 20) /* 250 hours of film at 60 frames a second */

typedef struct {
    char fingerprint[72]; /* with its NUL */
    int64_t bytes;
    int64_t changed_ns;
    uint32_t library_version;
} RbIndexKey;

#define RB_INDEX_DOUBTS_MAX 32

typedef struct {
    RbTellDoubt doubts[RB_INDEX_DOUBTS_MAX];
    int n;
} RbIndexDoubts;

/* Returns: (transfer full) (nullable): NULL if there is none for this key. */
RbIndex *rb_index_cache_load(const RbIndexKey *key, RbIndexDoubts *doubts);

/* body: the index as bytes. Failing to keep it only costs time later. What was read from a drive
 * that failed is not kept. */
void rb_index_cache_save(const RbIndexKey *key, const RbIndexDoubts *doubts,
                         const uint8_t *body, size_t n);

/* The file's bytes, checked; for the cache itself and for fuzzing. */
RbIndex *rb_index_cache_parse(const uint8_t *bytes, size_t n, const RbIndexKey *key,
                              RbIndexDoubts *doubts);
/* Returns: (transfer full). */
GByteArray *rb_index_cache_format(const RbIndexKey *key, const RbIndexDoubts *doubts,
                                  const uint8_t *body, size_t n);
/* Removes files of a folder, the oldest first, until `limit` bytes are left or only one is. */
void rb_index_cache_trim(const char *folder, int64_t limit);
/* The file's name. Returns: (transfer full). */
char *rb_index_cache_path(const RbIndexKey *key);
