/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The playbook file: refused with a line and a reason, or read, printed and read again. */
#include <stdint.h>
#include <string.h>

#include "rb/book/check.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const GPtrArray *get_terms(void)
{
    static GPtrArray *terms;
    if (terms == NULL) {
        terms = rb_vocabulary_defaults();
    }
    return terms;
}

static void use(const GPtrArray *concepts)
{
    const GPtrArray *terms = get_terms();
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = g_ptr_array_index(concepts, i);
        g_autoptr(GPtrArray) findings = rb_book_check(concept, terms, NULL);
        for (guint k = 0; k < concept->rules->len; k++) {
            g_free(rb_book_rule_text(g_ptr_array_index(concept->rules, k), terms));
        }
    }
    g_autofree char *first = rb_book_print(concepts, terms);
    g_autoptr(GPtrArray) again = NULL;
    g_autoptr(GError) error = NULL;
    g_assert(rb_book_parse(first, strlen(first), terms, &again, &error));
    g_autofree char *second = rb_book_print(again, terms);
    g_assert(strcmp(first, second) == 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autoptr(GPtrArray) concepts = NULL;
    g_autoptr(GError) error = NULL;
    if (rb_book_parse((const char *)data, size, get_terms(), &concepts, &error)) {
        use(concepts);
    } else {
        g_assert(g_str_has_prefix(error->message, "Line "));
    }
    return 0;
}
