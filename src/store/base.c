/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <string.h>

#include "rb/base/ids.h"

#include "record.h"

char *rb_base_format(const GArray *ops)
{
    if (ops->len == 0) {
        return NULL;
    }
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < ops->len; i++) {
        const RbOpId *op = &g_array_index(ops, RbOpId, i);
        g_string_append_printf(text, "%s%" G_GINT64_FORMAT ":%" G_GINT64_FORMAT,
                               i > 0 ? " " : "", op->author, op->seq);
    }
    return g_string_free(text, FALSE);
}

/* A positive number without sign, space or leading zero, that ends in `stop`. Returns: what
 * follows, or NULL. */
static const char *take_number(const char *text, char stop, int64_t *value)
{
    char digits[20] = { 0 };
    const char *end = strchr(text, stop);
    if (end == NULL || end == text || (size_t)(end - text) >= sizeof digits) {
        return NULL;
    }
    memcpy(digits, text, (size_t)(end - text));
    return rb_id_parse(digits, value) ? end : NULL;
}

bool rb_base_parse(const char *text, GArray *ops)
{
    while (text != NULL) {
        RbOpId op = { 0 };
        const char *colon = take_number(text, ':', &op.author);
        if (colon == NULL) {
            return false;
        }
        const char *space = take_number(colon + 1, ' ', &op.seq);
        if (space == NULL && take_number(colon + 1, '\0', &op.seq) == NULL) {
            return false;
        }
        g_array_append_val(ops, op);
        text = space != NULL ? space + 1 : NULL;
    }
    return true;
}
