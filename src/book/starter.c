/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/book/playbook.h"

GPtrArray *rb_book_starter(const GPtrArray *terms)
{
    GPtrArray *concepts = NULL;
    g_autoptr(GError) error = NULL;
    const char *text = rb_book_starter_text();
    if (!rb_book_parse(text, strlen(text), terms, &concepts, &error)) {
        g_error("The starter playbook is damaged: %s", error->message);
    }
    return concepts;
}
