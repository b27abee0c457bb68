/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "parcel-check.h"

#include <limits.h>
#include <string.h>

#include "rb/base/error.h"

#include "tables.h"

/* Ids are 63 random bits; counts and times fit easily. */
static bool is_time_base(const char *column)
{
    return g_str_has_suffix(column, "num") || g_str_has_suffix(column, "den");
}

static bool fits_number(const RbColumn *column, int64_t number)
{
    switch (column->kind) {
    case RB_COLUMN_INT:
        return number >= INT_MIN && number <= INT_MAX &&
               (!is_time_base(column->name) || number > 0);
    case RB_COLUMN_GAIN:
        return number >= INT_MIN && number <= INT_MAX;
    case RB_COLUMN_LONG:
        return true;
    case RB_COLUMN_ID:
        return number > 0;
    case RB_COLUMN_BOOL:
        return number == 0 || number == 1;
    case RB_COLUMN_WORD:
    case RB_COLUMN_TEXT:
    case RB_COLUMN_NAME:
        return false;
    }
    return false;
}

static bool fits_text(const RbColumn *column, const char *text)
{
    int word = 0;
    return column->kind == RB_COLUMN_TEXT || column->kind == RB_COLUMN_NAME ||
           (column->kind == RB_COLUMN_WORD && rb_words_parse(column->words, text, &word));
}

/* column: (nullable): `removed`, which is never without a value. */
static bool fits(const RbColumn *column, const RbCell *value)
{
    switch (value->kind) {
    case RB_CELL_NONE:
        return true;
    case RB_CELL_INT:
        return column != NULL ? fits_number(column, value->number)
                              : value->number == 0 || value->number == 1;
    case RB_CELL_TEXT:
        return column != NULL && fits_text(column, value->text);
    }
    return false;
}

/* column: (out) (nullable): NULL for `removed`. */
static bool find_column(const RbParcelField *field, const RbColumn **column)
{
    const RbTable *table = rb_table_find(field->table);
    *column = table != NULL ? rb_table_find_column(table, field->column) : NULL;
    return *column != NULL || (table != NULL && strcmp(field->column, "removed") == 0);
}

/* columns: of each of the parcel's fields. */
static bool check_action(const RbParcelAction *action, const RbColumn *const *columns)
{
    if (action->type == RB_ACTION_FORGET && strcmp(action->forget_table, "player") != 0 &&
        strcmp(action->forget_table, "person") != 0) {
        return false;
    }
    for (guint i = 0; i < action->ops->len; i++) {
        const RbParcelOp *op = g_ptr_array_index(action->ops, i);
        const RbColumn *column = columns[op->field];
        if (!fits(column, &op->old) || !fits(column, &op->new_) ||
            (column == NULL && op->new_.kind == RB_CELL_NONE)) {
            return false;
        }
    }
    return true;
}

static bool check(const RbParcel *parcel)
{
    g_autofree const RbColumn **columns = g_new0(const RbColumn *, parcel->fields->len);
    for (guint i = 0; i < parcel->fields->len; i++) {
        if (!find_column(g_ptr_array_index(parcel->fields, i), &columns[i])) {
            return false;
        }
    }
    for (guint i = 0; i < parcel->actions->len; i++) {
        if (!check_action(g_ptr_array_index(parcel->actions, i), columns)) {
            return false;
        }
    }
    return true;
}

bool rb_parcel_check(const RbParcel *parcel, const char *name, GError **error)
{
    return check(parcel) ||
           rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
                        "The file %s says something that no library can hold, so nothing "
                        "of it was taken; ask who sent it.",
                        name);
}
