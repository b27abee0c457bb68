/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <string.h>

#include "film/protocol.h"
#include "film/words.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n);

/* One datagram from a helper that a bad film has taken over, and one to a helper. */
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n)
{
    RbTell tell;
    const uint8_t *part = NULL;
    size_t part_bytes = 0;
    if (rb_tell_check(bytes, n, &tell, &part, &part_bytes)) {
        g_assert(part == NULL || (part >= bytes && part + part_bytes == bytes + n));
        if (tell.head.kind == RB_TELL_FACTS) {
            rb_film_facts_free(rb_film_facts_from_message(&tell.facts, 1));
        }
        if (tell.head.kind == RB_TELL_DOUBT) {
            g_free(rb_film_doubt_text(&tell.doubt));
        }
        if (tell.head.kind == RB_TELL_FAULT) {
            g_autoptr(GError) error = NULL;
            g_assert(!rb_film_fault(&error, "film", &tell.fault) && error != NULL);
        }
        if (tell.head.kind == RB_TELL_FRAME) {
            RbLayout layout;
            g_assert(rb_layout_make((RbPixels)tell.frame.pixels, tell.frame.width,
                                    tell.frame.height, &layout));
            g_assert(layout.bytes == tell.frame.bytes &&
                     layout.bytes <= RB_SLOT_BYTES_MAX);
        }
    }
    RbAsk ask;
    rb_ask_check(bytes, n, &ask);
    return 0;
}
