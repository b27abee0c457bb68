/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A page of the help: refused, or read into blocks whose texts are well-formed markup. */
#include <stdint.h>
#include <string.h>

#include "help-page.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void use(const RbHelpBlock *block)
{
    static const GMarkupParser nothing;
    for (guint i = 0; i < block->texts->len; i++) {
        g_autofree char *whole =
            g_strdup_printf("<x>%s</x>", (const char *)block->texts->pdata[i]);
        GMarkupParseContext *context =
            g_markup_parse_context_new(&nothing, G_MARKUP_DEFAULT_FLAGS, NULL, NULL);
        g_assert(g_markup_parse_context_parse(context, whole, -1, NULL) &&
                 g_markup_parse_context_end_parse(context, NULL));
        g_markup_parse_context_free(context);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(GPtrArray) blocks =
        rb_help_page_parse((const char *)data, (gssize)size, &error);
    g_assert((blocks == NULL) == (error != NULL));
    for (guint i = 0; blocks != NULL && i < blocks->len; i++) {
        use(blocks->pdata[i]);
        const char *id = ((const RbHelpBlock *)blocks->pdata[i])->id;
        g_assert(id == NULL || rb_help_page_find(blocks, id) >= 0);
    }
    return 0;
}
