/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <stdbool.h>

#include "clean-private.h"

enum { REPLACEMENT = 0xFFFD };

/* Embeddings, overrides and isolates (Unicode Standard Annex 9). */
static bool turns_direction(gunichar c)
{
    return (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

static gunichar clean_char(gunichar c)
{
    if (g_unichar_isspace(c)) {
        return ' ';
    }
    const bool noncharacter = (c & 0xFFFE) == 0xFFFE || (c >= 0xFDD0 && c <= 0xFDEF);
    return g_unichar_iscntrl(c) || noncharacter || turns_direction(c) ? REPLACEMENT : c;
}

char *rb_text_clean(const char *text)
{
    g_autofree char *valid = g_utf8_make_valid(text != NULL ? text : "", -1);
    GString *clean = g_string_new(NULL);
    for (const char *at = valid; *at != '\0'; at = g_utf8_next_char(at)) {
        g_string_append_unichar(clean, clean_char(g_utf8_get_char(at)));
    }
    return g_string_free(clean, FALSE);
}
