/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "row.h"

#include <inttypes.h>
#include <string.h>

#include "rb/base/error.h"

#include "statement-private.h"

/* One column's value, of either side. Text is borrowed. */
typedef struct {
    bool is_null;
    bool is_text;
    int64_t number;
    const char *text;
} Cell;

static const Cell null_cell = { .is_null = true };

static Cell cell_number(int64_t number, bool known)
{
    return known ? (Cell){ .number = number } : null_cell;
}

static Cell cell_text(const char *text)
{
    return text != NULL ? (Cell){ .is_text = true, .text = text } : null_cell;
}

static int int_at(const void *value, size_t offset)
{
    int number = 0; /* enums have the size of int: asserted below */
    memcpy(&number, (const char *)value + offset, sizeof number);
    return number;
}
G_STATIC_ASSERT(sizeof(RbSide) == sizeof(int));

static Cell cell_of(const RbColumn *column, const void *value)
{
    const void *at = (const char *)value + column->offset;
    switch (column->kind) {
    case RB_COLUMN_INT:
        return cell_number(int_at(at, 0), int_at(at, 0) != column->unknown);
    case RB_COLUMN_LONG:
    case RB_COLUMN_ID: {
        int64_t number = 0;
        memcpy(&number, at, sizeof number);
        return cell_number(number, number != column->unknown);
    }
    case RB_COLUMN_BOOL:
        return cell_number(*(const bool *)at ? 1 : 0, true);
    case RB_COLUMN_WORD:
        return int_at(at, 0) == column->unknown
                   ? null_cell
                   : cell_text(rb_words_token(column->words, int_at(at, 0)));
    case RB_COLUMN_TEXT:
        return cell_text(*(char *const *)at);
    case RB_COLUMN_NAME: {
        const char *text = *(char *const *)at;
        return cell_text(text != NULL && text[0] != '\0' ? text : NULL);
    }
    case RB_COLUMN_GAIN:
        return cell_number(int_at(at, 0), int_at(value, column->flag) == RB_YES);
    }
    return null_cell;
}

static Cell cell_stored(RbStatement *row, const RbColumn *column)
{
    if (rb_statement_is_null(row, column->name)) {
        return null_cell;
    }
    switch (column->kind) {
    case RB_COLUMN_WORD:
    case RB_COLUMN_TEXT:
    case RB_COLUMN_NAME:
        return cell_text(rb_statement_get_text(row, column->name));
    case RB_COLUMN_INT:
    case RB_COLUMN_LONG:
    case RB_COLUMN_ID:
    case RB_COLUMN_BOOL:
    case RB_COLUMN_GAIN:
        break;
    }
    return cell_number(rb_statement_get_int(row, column->name), true);
}

static bool cell_equal(Cell a, Cell b)
{
    if (a.is_null || b.is_null) {
        return a.is_null == b.is_null;
    }
    return a.is_text ? strcmp(a.text, b.text) == 0 : a.number == b.number;
}

static void cell_bind(RbStatement *statement, Cell cell)
{
    if (cell.is_null) {
        rb_statement_bind_null(statement);
    } else if (cell.is_text) {
        rb_statement_bind_text(statement, cell.text);
    } else {
        rb_statement_bind_int(statement, cell.number);
    }
}

static void put_int(void *value, size_t offset, int number)
{
    memcpy((char *)value + offset, &number, sizeof number);
}

static void put_text(char **at, const char *text)
{
    g_free(*at);
    *at = g_strdup(text);
}

/* An int column that holds more than an int is damage or another program's doing. */
static bool read_int(RbStatement *row, const RbColumn *column, void *at, GError **error)
{
    const int64_t fallback = column->unknown == RB_ALWAYS_KNOWN ? 0 : column->unknown;
    const int64_t number = rb_statement_get_int_or(row, column->name, fallback);
    if (number < INT_MIN || number > INT_MAX) {
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
                            "The library holds the number %" PRId64
                            " as %s, which cannot be; restore the newest backup.",
                            number, column->name);
    }
    put_int(at, 0, (int)number);
    return true;
}

static bool read_column(RbStatement *row, const RbColumn *column, void *value,
                        GError **error)
{
    void *at = (char *)value + column->offset;
    switch (column->kind) {
    case RB_COLUMN_INT:
        return read_int(row, column, at, error);
    case RB_COLUMN_LONG:
    case RB_COLUMN_ID: {
        const int64_t number = rb_statement_get_int(row, column->name);
        memcpy(at, &number, sizeof number);
        return true;
    }
    case RB_COLUMN_BOOL:
        *(bool *)at = rb_statement_get_int(row, column->name) != 0;
        return true;
    case RB_COLUMN_WORD: {
        int word = 0;
        if (!rb_statement_get_word(row, column->name, column->words, &word, error)) {
            return false;
        }
        put_int(at, 0, word);
        return true;
    }
    case RB_COLUMN_TEXT:
        put_text(at, rb_statement_get_text(row, column->name));
        return true;
    case RB_COLUMN_NAME: {
        const char *text = rb_statement_get_text(row, column->name);
        put_text(at, text != NULL ? text : "");
        return true;
    }
    case RB_COLUMN_GAIN: {
        const bool known = !rb_statement_is_null(row, column->name);
        put_int(value, column->flag, known ? RB_YES : RB_YES_NO_UNKNOWN);
        return read_int(row, column, at, error);
    }
    }
    return true;
}

bool rb_row_read(RbStatement *statement, const RbTable *table, void *value,
                 GError **error)
{
    const int64_t id = rb_statement_get_int(statement, "id");
    memcpy(value, &id, sizeof id);
    for (int i = 0; i < table->n; i++) {
        if (!read_column(statement, &table->columns[i], value, error)) {
            return false;
        }
    }
    return true;
}

/* "SELECT t.id, t.a, t.b FROM table t " */
static GString *select_text(const RbTable *table)
{
    GString *sql = g_string_new("SELECT t.id, t.removed");
    for (int i = 0; i < table->n; i++) {
        g_string_append_printf(sql, ", t.%s", table->columns[i].name);
    }
    g_string_append_printf(sql, " FROM %s t ", table->name);
    return sql;
}

GPtrArray *rb_row_list(RbStore *store, const RbTable *table, const char *tail,
                       const int64_t *ids, int n_ids, GError **error)
{
    g_autoptr(GString) sql = select_text(table);
    g_string_append(sql, tail);
    g_autoptr(RbStatement) query = rb_statement_new(store, sql->str, error);
    if (query == NULL) {
        return NULL;
    }
    for (int i = 0; i < n_ids; i++) {
        rb_statement_bind_int(query, ids[i]);
    }
    g_autoptr(GPtrArray) list = g_ptr_array_new_with_free_func(table->free);
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        void *value = table->make();
        g_ptr_array_add(list, value);
        if (!rb_row_read(query, table, value, error)) {
            return NULL;
        }
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&list) : NULL;
}

bool rb_row_unknown(RbStore *store, const RbTable *table, GError **error)
{
    g_autofree char *name = g_filename_display_name(store->path);
    return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_UNKNOWN,
                        "The library %s has no such %s; it may have been removed.", name,
                        table->thing);
}

void *rb_row_first(RbStore *store, const RbTable *table, GPtrArray *list, GError **error)
{
    if (list->len == 0) {
        rb_row_unknown(store, table, error);
        return NULL;
    }
    return g_ptr_array_steal_index(list, 0);
}

void *rb_row_load(RbStore *store, const RbTable *table, int64_t id, GError **error)
{
    g_autoptr(GPtrArray) list =
        rb_row_list(store, table, "WHERE t.id = ? AND t.removed = 0", &id, 1, error);
    return list != NULL ? rb_row_first(store, table, list, error) : NULL;
}

static bool insert_row(RbStore *store, const RbTable *table, int64_t id,
                       const void *value, GError **error)
{
    g_autoptr(GString) sql = g_string_new(NULL);
    g_autoptr(GString) places = g_string_new(NULL);
    g_string_printf(sql, "INSERT INTO %s (id, removed", table->name);
    for (int i = 0; i < table->n; i++) {
        g_string_append_printf(sql, ", %s", table->columns[i].name);
        g_string_append(places, ", ?");
    }
    g_string_append_printf(sql, ") VALUES (?, 0%s)", places->str);
    g_autoptr(RbStatement) insert = rb_statement_new(store, sql->str, error);
    if (insert == NULL) {
        return false;
    }
    rb_statement_bind_int(insert, id);
    for (int i = 0; i < table->n; i++) {
        cell_bind(insert, cell_of(&table->columns[i], value));
    }
    return rb_statement_run(insert, error);
}

/* Writes the columns named in `differ` (one flag each), and removed = 0. */
static bool update_row(RbStore *store, const RbTable *table, int64_t id,
                       const void *value, const bool *differ, GError **error)
{
    g_autoptr(GString) sql = g_string_new(NULL);
    g_string_printf(sql, "UPDATE %s SET removed = 0", table->name);
    for (int i = 0; i < table->n; i++) {
        if (differ[i]) {
            g_string_append_printf(sql, ", %s = ?", table->columns[i].name);
        }
    }
    g_string_append(sql, " WHERE id = ?");
    g_autoptr(RbStatement) update = rb_statement_new(store, sql->str, error);
    if (update == NULL) {
        return false;
    }
    for (int i = 0; i < table->n; i++) {
        if (differ[i]) {
            cell_bind(update, cell_of(&table->columns[i], value));
        }
    }
    rb_statement_bind_int(update, id);
    return rb_statement_run(update, error);
}

bool rb_row_save(RbStore *store, const RbTable *table, const void *value, GError **error)
{
    rb_store_assert_in_action(store);
    int64_t id = 0;
    memcpy(&id, value, sizeof id);
    g_assert(id > 0);
    g_autoptr(GString) sql = select_text(table);
    g_string_append(sql, "WHERE t.id = ?");
    g_autoptr(RbStatement) query = rb_statement_new(store, sql->str, error);
    if (query == NULL) {
        return false;
    }
    rb_statement_bind_int(query, id);
    const RbStep step = rb_statement_step(query, error);
    if (step != RB_STEP_ROW) {
        return step == RB_STEP_DONE && insert_row(store, table, id, value, error);
    }
    bool any = rb_statement_get_int(query, "removed") != 0;
    g_autofree bool *differ = g_new0(bool, table->n);
    for (int i = 0; i < table->n; i++) {
        const RbColumn *column = &table->columns[i];
        differ[i] = !cell_equal(cell_of(column, value), cell_stored(query, column));
        any = any || differ[i];
    }
    rb_statement_reset(query);
    return !any || update_row(store, table, id, value, differ, error);
}

bool rb_row_remove(RbStore *store, const RbTable *table, int64_t id, GError **error)
{
    rb_store_assert_in_action(store);
    g_autofree char *sql = g_strdup_printf(
        "UPDATE %s SET removed = 1 WHERE id = ? AND removed = 0", table->name);
    g_autoptr(RbStatement) update = rb_statement_new(store, sql, error);
    if (update == NULL) {
        return false;
    }
    rb_statement_bind_int(update, id);
    if (!rb_statement_run(update, error)) {
        return false;
    }
    return sqlite3_changes(store->db) > 0 || rb_row_unknown(store, table, error);
}

static bool has_id(const GArray *ids, int64_t id)
{
    for (guint i = 0; i < ids->len; i++) {
        if (g_array_index(ids, int64_t, i) == id) {
            return true;
        }
    }
    return false;
}

bool rb_row_remove_others(RbStore *store, const RbTable *table, const char *parent,
                          int64_t id, const GArray *keep, GError **error)
{
    g_autofree char *sql = g_strdup_printf(
        "SELECT id FROM %s WHERE %s = ? AND removed = 0", table->name, parent);
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, error);
    if (query == NULL) {
        return false;
    }
    rb_statement_bind_int(query, id);
    g_autoptr(GArray) gone = g_array_new(FALSE, FALSE, sizeof(int64_t));
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        const int64_t row = rb_statement_get_int(query, "id");
        if (!has_id(keep, row)) {
            g_array_append_val(gone, row);
        }
    }
    bool ok = step == RB_STEP_DONE;
    for (guint i = 0; ok && i < gone->len; i++) {
        ok = rb_row_remove(store, table, g_array_index(gone, int64_t, i), error);
    }
    return ok;
}
