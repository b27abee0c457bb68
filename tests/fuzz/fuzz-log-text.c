/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A play in a sentence: what is said of it is always one of our words, and a gain is in range. */
#include <stdint.h>
#include <string.h>

#include "rb/work/log.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    RbLogSaid said;
    g_autofree char *raw = g_strndup((const char *)data, size);
    g_autofree char *text = g_utf8_make_valid(raw, -1);
    const bool found = rb_log_text_parse(text, &said);
    g_assert(found || (said.result == RB_RESULT_UNKNOWN && !said.has_gain));
    g_assert(rb_words_label(&rb_result_words, (int)said.result) != NULL);
    g_assert(!said.has_gain || ABS(said.gain) <= 99);
    return 0;
}
