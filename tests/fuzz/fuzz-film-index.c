/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "film/index-cache.h"
#include "film/index.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n);

/* The index as a helper sends it and as the cache folder keeps it. What is accepted must be
 * usable whole, and come back from its own bytes. */
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n)
{
    g_autoptr(RbIndex) index = rb_index_from_bytes(bytes, n);
    if (index != NULL) {
        g_autoptr(GByteArray) again = rb_index_to_bytes(index);
        g_assert_cmpmem(again->data, again->len, bytes, n);
        for (int64_t i = 0; i < index->n_frames; i++) {
            const int64_t at = rb_index_find_at(index, index->us[i]);
            g_assert(at >= i && index->us[at] == index->us[i]);
            rb_index_is_key(index, i);
        }
    }
    RbIndexKey key = { .bytes = 1, .changed_ns = 2, .library_version = 3 };
    g_strlcpy(key.fingerprint, "f1:0", sizeof key.fingerprint);
    RbIndexDoubts doubts;
    rb_index_free(rb_index_cache_parse(bytes, n, &key, &doubts));
    return 0;
}
