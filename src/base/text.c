/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/text.h"

#include <stdarg.h>
#include <stdbool.h>
#include <string.h>

/* The argument of that name; NULL if there is none. */
static const char *find(const char *name, size_t length, va_list args)
{
    const char *found = NULL;
    for (const char *key = va_arg(args, const char *); key != NULL && found == NULL;
         key = va_arg(args, const char *)) {
        const char *value = va_arg(args, const char *);
        if (strlen(key) == length && memcmp(key, name, length) == 0) {
            found = value;
        }
    }
    return found;
}

char *rb_text_fill(const char *pattern, ...)
{
    GString *text = g_string_new(NULL);
    const char *at = pattern;
    for (const char *open = strchr(at, '{'); open != NULL; open = strchr(at, '{')) {
        const size_t length = strcspn(open + 1, "{}");
        va_list args;
        va_start(args, pattern);
        const char *value = open[1 + length] == '}' ? find(open + 1, length, args) : NULL;
        va_end(args);
        g_string_append_len(text, at, open - at);
        if (value != NULL) {
            g_string_append(text, value);
            at = open + length + 2;
        } else {
            g_string_append_c(text, '{');
            at = open + 1;
        }
    }
    g_string_append(text, at);
    return g_string_free(text, FALSE);
}

char *rb_text_to_roff(const char *text)
{
    GString *roff = g_string_new(NULL);
    bool starts = true;
    for (const char *c = text; *c != '\0'; c++) {
        if (starts && (*c == '.' || *c == '\'')) {
            g_string_append(roff, "\\&");
        }
        if (*c == '\\') {
            g_string_append(roff, "\\e");
        } else if (*c == '-') {
            g_string_append(roff, "\\-");
        } else {
            g_string_append_c(roff, *c);
        }
        starts = *c == '\n';
    }
    return g_string_free(roff, FALSE);
}
