/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/model/filter.h"

/* A filter as one line, for the database. Values are numbers and ids, never names, so a renamed
 * concept stays in the filter. */

static void print_clause(GString *text, const RbClause *clause)
{
    g_string_append_printf(text, "%s%s=", text->len > 0 ? ";" : "",
                           rb_words_token(&rb_field_words, (int)clause->field));
    if (clause->is_range) {
        g_string_append_printf(text, "%" G_GINT64_FORMAT "..%" G_GINT64_FORMAT,
                               clause->low, clause->high);
        return;
    }
    for (guint i = 0; i < clause->values->len; i++) {
        g_string_append_printf(text, "%s%" G_GINT64_FORMAT, i > 0 ? "," : "",
                               g_array_index(clause->values, int64_t, i));
    }
}

char *rb_filter_to_text(const RbFilter *filter)
{
    GString *text = g_string_new(NULL);
    for (int field = 0; field < RB_FIELDS; field++) {
        const RbClause *clause = rb_filter_find(filter, (RbField)field);
        if (clause != NULL) {
            print_clause(text, clause);
        }
    }
    return g_string_free(text, FALSE);
}

static bool parse_number(const char *text, int64_t *number)
{
    char *end = NULL;
    errno = 0;
    *number = g_ascii_strtoll(text, &end, 10);
    return errno == 0 && end != text && *end == '\0';
}

static bool parse_clause(RbFilter *filter, const char *clause)
{
    const char *equals = strchr(clause, '=');
    g_autofree char *token =
        equals != NULL ? g_strndup(clause, (gsize)(equals - clause)) : NULL;
    int field = 0;
    if (token == NULL || !rb_words_parse(&rb_field_words, token, &field) ||
        rb_filter_find(filter, (RbField)field) != NULL) {
        return false;
    }
    const char *dots = strstr(equals + 1, "..");
    if (dots != NULL) {
        g_autofree char *first = g_strndup(equals + 1, (gsize)(dots - equals - 1));
        int64_t low = 0;
        int64_t high = 0;
        if (!parse_number(first, &low) || !parse_number(dots + 2, &high) || low > high) {
            return false;
        }
        rb_filter_set_range(filter, (RbField)field, low, high);
        return true;
    }
    g_auto(GStrv) values = g_strsplit(equals + 1, ",", -1);
    for (char **value = values; *value != NULL; value++) {
        int64_t number = 0;
        if (!parse_number(*value, &number)) {
            return false;
        }
        rb_filter_add_value(filter, (RbField)field, number);
    }
    return values[0] != NULL;
}

RbFilter *rb_filter_from_text(const char *text, GError **error)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    g_auto(GStrv) clauses = g_strsplit(text, ";", -1);
    for (char **clause = clauses; *clause != NULL; clause++) {
        if (!parse_clause(filter, *clause)) {
            rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED,
                         "The filter \"%s\" was made by another version of Readbreak "
                         "(\"%s\" is not understood); choose the filter again.",
                         text, *clause);
            return NULL;
        }
    }
    return g_steal_pointer(&filter);
}
