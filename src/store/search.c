/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/snaps.h"

#include "counting.h"
#include "statement-private.h"

/* How SQL answers a field: an expression over snap s, game g, counting chart c and the word
 * of its coverage v. words: the values are of this set and kept as tokens. among: the rows that
 * hold the several values of a field, "(SELECT … WHERE …" to be ended. No expression: the
 * caller's to answer. */
typedef struct {
    const char *expression;
    const RbWords *words;
    const char *among; /* nullable */
} FieldSql;

/* The concept a dropback is credited to: rb_chart_concept(). */
#define CONCEPT_WORKED                                                                   \
    "CASE WHEN c.call_kind IN ('single', 'mirrored', 'across') THEN c.call_first"        \
    " WHEN c.call_kind = 'split' AND c.side_worked = 'left' THEN c.call_first"           \
    " WHEN c.call_kind = 'split' AND c.side_worked = 'right' THEN c.call_second END"

/* As rb_situation_is_close(). */
#define IS_CLOSE                                                                         \
    "CASE WHEN s.quarter > 0 THEN CASE abs(s.score_offense - s.score_defense) <="        \
    " CASE s.quarter WHEN 1 THEN 28 WHEN 2 THEN 24 WHEN 3 THEN 21 ELSE 16 END"           \
    " WHEN 1 THEN 'yes' WHEN 0 THEN 'no' END END"

static FieldSql field_sql(RbField field)
{
    switch (field) {
    case RB_FIELD_GAME:
        return (FieldSql){ "s.game", NULL, NULL };
    case RB_FIELD_OPPONENT:
        return (FieldSql){ "g.them", NULL, NULL };
    case RB_FIELD_DATE:
        return (FieldSql){ "CAST(replace(g.played_on, '-', '') AS INTEGER)", NULL, NULL };
    case RB_FIELD_DOWN:
        return (FieldSql){ "s.down", NULL, NULL };
    case RB_FIELD_DISTANCE:
        return (FieldSql){ "s.distance", NULL, NULL };
    case RB_FIELD_YARDS_TO_GOAL:
        return (FieldSql){ "s.yards_to_goal", NULL, NULL };
    case RB_FIELD_HASH:
        return (FieldSql){ "s.hash", &rb_hash_words, NULL };
    case RB_FIELD_QUARTER:
        return (FieldSql){ "s.quarter", NULL, NULL };
    case RB_FIELD_CLOSE:
        return (FieldSql){ IS_CLOSE, &rb_yes_no_words, NULL };
    case RB_FIELD_PERSONNEL:
        return (FieldSql){ "s.personnel", NULL, NULL };
    case RB_FIELD_FORMATION:
        return (FieldSql){ "s.formation", NULL, NULL };
    case RB_FIELD_MOTION:
        return (FieldSql){ "s.motion", NULL, NULL };
    case RB_FIELD_QUARTERBACK:
        return (FieldSql){ "s.quarterback", NULL, NULL };
    case RB_FIELD_RESULT:
        return (FieldSql){ "s.result", &rb_result_words, NULL };
    case RB_FIELD_CALL:
        return (FieldSql){ "c.call_kind", &rb_call_words, NULL };
    case RB_FIELD_CONCEPT:
        return (FieldSql){ CONCEPT_WORKED, NULL, NULL };
    case RB_FIELD_SIDE_WORKED:
        return (FieldSql){ "c.side_worked", &rb_side_words, NULL };
    case RB_FIELD_SHELL:
        return (FieldSql){ "c.shell", &rb_shell_words, NULL };
    case RB_FIELD_COVERAGE:
        return (FieldSql){ "c.coverage", NULL, NULL };
    case RB_FIELD_FAMILY:
        return (FieldSql){ "v.family", &rb_family_words, NULL };
    case RB_FIELD_RUSHERS:
        return (FieldSql){ "c.rushers", NULL, NULL };
    case RB_FIELD_PRESSURE:
        return (FieldSql){ "c.pressure", &rb_pressure_words, NULL };
    case RB_FIELD_OWN_TAG:
        return (FieldSql){ "w.term", NULL,
                           "EXISTS (SELECT 1 FROM snap_tag w WHERE w.snap = s.id"
                           " AND w.removed = 0" };
    case RB_FIELD_TECHNIQUE:
    case RB_FIELD_VERDICT:
    case RB_FIELD_STAGE:
    case RB_FIELD_READ:
    case RB_FIELD_COUNTS:
    case RB_FIELDS:
        break;
    }
    return (FieldSql){ NULL, NULL, NULL };
}

/* A range over words is one over their numbers, which tokens do not have: it is spelled out
 * as the words in it. The value 0, not known, is no value. */
static GArray *values_of(const RbClause *clause, const RbWords *words)
{
    g_autoptr(GArray) values = g_array_new(FALSE, FALSE, sizeof(int64_t));
    if (!clause->is_range) {
        return g_array_ref(clause->values);
    }
    for (int64_t value = MAX(clause->low, 1); value <= clause->high && value < words->n;
         value++) {
        g_array_append_val(values, value);
    }
    return g_steal_pointer(&values);
}

static void append_clause(GString *sql, const RbClause *clause, const FieldSql *field)
{
    if (field->among != NULL) {
        g_string_append_printf(sql, " AND %s", field->among);
    }
    if (clause->is_range && field->words == NULL) {
        g_string_append_printf(sql, " AND %s BETWEEN ? AND ?%s", field->expression,
                               field->among != NULL ? ")" : "");
        return;
    }
    g_autoptr(GArray) values = values_of(clause, field->words);
    g_string_append_printf(sql, " AND %s IN (", field->expression);
    for (guint i = 0; i < values->len; i++) {
        g_string_append(sql, i > 0 ? ", ?" : "?");
    }
    g_string_append(sql, field->among != NULL ? "))" : ")");
}

static void bind_clause(RbStatement *query, const RbClause *clause, const FieldSql *field)
{
    if (clause->is_range && field->words == NULL) {
        rb_statement_bind_int(query, clause->low);
        rb_statement_bind_int(query, clause->high);
        return;
    }
    g_autoptr(GArray) values = values_of(clause, field->words);
    for (guint i = 0; i < values->len; i++) {
        const int64_t value = g_array_index(values, int64_t, i);
        if (field->words == NULL) {
            rb_statement_bind_int(query, value);
        } else if (value > 0 && value < field->words->n) {
            rb_statement_bind_text(query, rb_words_token(field->words, (int)value));
        } else {
            rb_statement_bind_null(query);
        }
    }
}

static GString *query_text(const RbFilter *filter, uint32_t *left)
{
    GString *sql = g_string_new(
        "SELECT s.id AS snap, s.game, c.id AS chart FROM snap s"
        " JOIN game g ON g.id = s.game LEFT JOIN chart c ON c.id = " RB_COUNTING_CHART
        " LEFT JOIN term v ON v.id = c.coverage AND v.removed = 0"
        " WHERE s.removed = 0 AND g.removed = 0");
    for (guint i = 0; i < filter->clauses->len; i++) {
        const RbClause *clause = g_ptr_array_index(filter->clauses, i);
        const FieldSql field = field_sql(clause->field);
        if (field.expression == NULL) {
            *left |= UINT32_C(1) << clause->field;
        } else {
            append_clause(sql, clause, &field);
        }
    }
    g_string_append(sql, " ORDER BY g.played_on, g.id, s.number, s.id");
    return sql;
}

GArray *rb_store_find_snaps(RbStore *store, const RbFilter *filter, uint32_t *left,
                            GError **error)
{
    G_STATIC_ASSERT(RB_FIELDS <= 32);
    uint32_t not_applied = 0;
    g_autoptr(GString) sql = query_text(filter, &not_applied);
    g_autoptr(RbStatement) query = rb_statement_new(store, sql->str, error);
    if (query == NULL) {
        return NULL;
    }
    for (guint i = 0; i < filter->clauses->len; i++) {
        const RbClause *clause = g_ptr_array_index(filter->clauses, i);
        const FieldSql field = field_sql(clause->field);
        if (field.expression != NULL) {
            bind_clause(query, clause, &field);
        }
    }
    g_autoptr(GArray) found = g_array_new(FALSE, FALSE, sizeof(RbFound));
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        const RbFound one = {
            .snap.value = rb_statement_get_int(query, "snap"),
            .game.value = rb_statement_get_int(query, "game"),
            .chart.value = rb_statement_get_int(query, "chart"),
        };
        g_array_append_val(found, one);
    }
    if (left != NULL) {
        *left = not_applied;
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&found) : NULL;
}
