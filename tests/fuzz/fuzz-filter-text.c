/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A filter as people write it, and as the library keeps it: refused with a sentence, or read,
 * printed and read again the same. */
#include <stdint.h>
#include <string.h>

#include "rb/work/filter-text.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void free_term(void *term)
{
    rb_term_free(term);
}

static const RbNames *get_names(void)
{
    static RbNames *names;
    if (names == NULL) {
        g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
        g_ptr_array_set_free_func(terms, free_term);
        names =
            rb_names_new(g_steal_pointer(&terms), g_ptr_array_new(), g_ptr_array_new(),
                         g_ptr_array_new(), g_ptr_array_new(), g_ptr_array_new());
    }
    return names;
}

static void use_written(const char *text)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(RbFilter) filter = rb_filter_parse_text(get_names(), text, &error);
    g_assert((filter == NULL) == (error != NULL));
    if (filter == NULL) {
        g_assert(error->message[0] != '\0');
        return;
    }
    g_autofree char *shown = rb_filter_text(get_names(), filter);
    g_autofree char *printed = rb_filter_print(filter);
    g_autoptr(RbFilter) again = rb_filter_parse_text(get_names(), printed, NULL);
    g_assert(again != NULL && rb_filter_equal(filter, again));
}

static void use_kept(const char *text)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(RbFilter) filter = rb_filter_from_text(text, &error);
    g_assert((filter == NULL) == (error != NULL));
    if (filter != NULL) {
        g_autofree char *kept = rb_filter_to_text(filter);
        g_autoptr(RbFilter) again = rb_filter_from_text(kept, NULL);
        g_assert(again != NULL && rb_filter_equal(filter, again));
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autofree char *text = g_strndup((const char *)data, size);
    use_written(text);
    use_kept(text);
    return 0;
}
