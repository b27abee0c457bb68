/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/filter.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"

/* clang-format off */
static const RbWord field_table[] = {
    [RB_FIELD_GAME] = { "game", N_("Game") },
    [RB_FIELD_OPPONENT] = { "opponent", N_("Opponent") },
    [RB_FIELD_DATE] = { "date", N_("Date") },
    [RB_FIELD_DOWN] = { "down", N_("Down") },
    [RB_FIELD_DISTANCE] = { "distance", N_("Distance") },
    [RB_FIELD_YARDS_TO_GOAL] = { "yards-to-goal", N_("Yards to goal") },
    [RB_FIELD_HASH] = { "hash", N_("Hash") },
    [RB_FIELD_QUARTER] = { "quarter", N_("Quarter") },
    [RB_FIELD_CLOSE] = { "close", N_("Game still close") },
    [RB_FIELD_PERSONNEL] = { "personnel", N_("Personnel") },
    [RB_FIELD_FORMATION] = { "formation", N_("Formation") },
    [RB_FIELD_MOTION] = { "motion", N_("Motion") },
    [RB_FIELD_QUARTERBACK] = { "quarterback", N_("Quarterback") },
    [RB_FIELD_CALL] = { "call", N_("Call") },
    [RB_FIELD_CONCEPT] = { "concept", N_("Concept") },
    [RB_FIELD_SIDE_WORKED] = { "side-worked", N_("Side worked") },
    [RB_FIELD_SHELL] = { "shell", N_("Shell") },
    [RB_FIELD_COVERAGE] = { "coverage", N_("Coverage") },
    [RB_FIELD_FAMILY] = { "family", N_("Family of coverages") },
    [RB_FIELD_TECHNIQUE] = { "technique", N_("Corner's technique") },
    [RB_FIELD_RUSHERS] = { "rushers", N_("Rushers") },
    [RB_FIELD_PRESSURE] = { "pressure", N_("Pressure") },
    [RB_FIELD_RESULT] = { "result", N_("Result") },
    [RB_FIELD_VERDICT] = { "verdict", N_("Verdict") },
    [RB_FIELD_STAGE] = { "stage", N_("Stage") },
    [RB_FIELD_READ] = { "read", N_("Read") },
    [RB_FIELD_COUNTS] = { "counts", N_("Counts in the ladder") },
    [RB_FIELD_OWN_TAG] = { "own-tag", N_("Own tag") },
};
/* clang-format on */
G_STATIC_ASSERT(G_N_ELEMENTS(field_table) == RB_FIELDS);

const RbWords rb_field_words = { N_("field"), field_table, RB_FIELDS };

static RbClause *clause_new(RbField field)
{
    RbClause *clause = g_new0(RbClause, 1);
    clause->field = field;
    clause->values = g_array_new(FALSE, FALSE, sizeof(int64_t));
    return clause;
}

static void clause_free(void *data)
{
    RbClause *clause = data;
    g_array_unref(clause->values);
    g_free(clause);
}

RbFilter *rb_filter_new(void)
{
    RbFilter *filter = g_new0(RbFilter, 1);
    filter->clauses = g_ptr_array_new_with_free_func(clause_free);
    return filter;
}

void rb_filter_merge(RbFilter *filter, const RbFilter *other)
{
    for (guint i = 0; i < other->clauses->len; i++) {
        const RbClause *from = g_ptr_array_index(other->clauses, i);
        RbClause *to = g_memdup2(from, sizeof *from);
        to->values = g_array_copy(from->values);
        rb_filter_remove(filter, from->field);
        g_ptr_array_add(filter->clauses, to);
    }
}

RbFilter *rb_filter_copy(const RbFilter *filter)
{
    RbFilter *copy = rb_filter_new();
    rb_filter_merge(copy, filter);
    return copy;
}

void rb_filter_free(RbFilter *filter)
{
    if (filter == NULL) {
        return;
    }
    g_ptr_array_unref(filter->clauses);
    g_free(filter);
}

static bool has_value(const RbClause *clause, int64_t value)
{
    for (guint i = 0; i < clause->values->len; i++) {
        if (g_array_index(clause->values, int64_t, i) == value) {
            return true;
        }
    }
    return false;
}

static bool clause_equal(const RbClause *a, const RbClause *b)
{
    if (a->is_range != b->is_range) {
        return false;
    }
    if (a->is_range) {
        return a->low == b->low && a->high == b->high;
    }
    /* Values are kept without repeats, so equal sizes and one way round are enough. */
    for (guint i = 0; i < a->values->len; i++) {
        if (!has_value(b, g_array_index(a->values, int64_t, i))) {
            return false;
        }
    }
    return a->values->len == b->values->len;
}

bool rb_filter_equal(const RbFilter *a, const RbFilter *b)
{
    for (guint i = 0; i < a->clauses->len; i++) {
        const RbClause *clause = g_ptr_array_index(a->clauses, i);
        const RbClause *other = rb_filter_find(b, clause->field);
        if (other == NULL || !clause_equal(clause, other)) {
            return false;
        }
    }
    return a->clauses->len == b->clauses->len;
}

static RbClause *find_clause(const RbFilter *filter, RbField field)
{
    for (guint i = 0; i < filter->clauses->len; i++) {
        RbClause *clause = g_ptr_array_index(filter->clauses, i);
        if (clause->field == field) {
            return clause;
        }
    }
    return NULL;
}

static RbClause *need_clause(RbFilter *filter, RbField field)
{
    RbClause *clause = find_clause(filter, field);
    if (clause == NULL) {
        clause = clause_new(field);
        g_ptr_array_add(filter->clauses, clause);
    }
    return clause;
}

void rb_filter_add_value(RbFilter *filter, RbField field, int64_t value)
{
    RbClause *clause = need_clause(filter, field);
    clause->is_range = false;
    if (!has_value(clause, value)) {
        g_array_append_val(clause->values, value);
    }
}

void rb_filter_set_range(RbFilter *filter, RbField field, int64_t low, int64_t high)
{
    g_assert(low <= high);
    RbClause *clause = need_clause(filter, field);
    clause->is_range = true;
    clause->low = low;
    clause->high = high;
    g_array_set_size(clause->values, 0);
}

void rb_filter_remove(RbFilter *filter, RbField field)
{
    RbClause *clause = find_clause(filter, field);
    if (clause != NULL) {
        g_ptr_array_remove(filter->clauses, clause);
    }
}

const RbClause *rb_filter_find(const RbFilter *filter, RbField field)
{
    return find_clause(filter, field);
}

bool rb_field_is_many(RbField field)
{
    return field == RB_FIELD_OWN_TAG;
}

static bool clause_holds(const RbClause *clause, const void *row, RbFieldValue value_of)
{
    int64_t value = 0;
    for (int i = 0; value_of(row, clause->field, i, &value); i++) {
        const bool fits = clause->is_range ? value >= clause->low && value <= clause->high
                                           : has_value(clause, value);
        if (fits || !rb_field_is_many(clause->field)) {
            return fits;
        }
    }
    return false;
}

bool rb_filter_matches(const RbFilter *filter, const void *row, RbFieldValue value_of)
{
    for (guint i = 0; i < filter->clauses->len; i++) {
        if (!clause_holds(g_ptr_array_index(filter->clauses, i), row, value_of)) {
            return false;
        }
    }
    return true;
}

bool rb_filter_parse_range(const char *text, int64_t *low, int64_t *high, GError **error)
{
    const char *digits = "0123456789";
    const size_t n_first = strspn(text, digits);
    const char *rest = text + n_first;
    g_autofree char *first = g_strndup(text, n_first);
    gint64 from = 0;
    gint64 to = 0;
    if (!g_ascii_string_to_signed(first, 10, 0, G_MAXINT32, &from, NULL)) {
        rest = "?";
    } else if (*rest == '\0') {
        to = from;
    } else if (strcmp(rest, "+") == 0) {
        to = INT64_MAX;
        rest = "";
    } else if (*rest == '-' && strspn(rest + 1, digits) == strlen(rest + 1) &&
               g_ascii_string_to_signed(rest + 1, 10, 0, G_MAXINT32, &to, NULL)) {
        rest = "";
    }
    if (*rest != '\0') {
        g_autofree char *valid = g_utf8_make_valid(text, (gssize)strnlen(text, 40));
        return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED,
                            "\"%s\" is not a range; write one like \"7-10\", \"3\" or "
                            "\"11+\".",
                            valid);
    }
    if (to < from) {
        return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED,
                            "The range \"%s\" runs backwards; write the smaller number "
                            "first.",
                            text);
    }
    *low = from;
    *high = to;
    return true;
}
