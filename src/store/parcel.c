/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "parcel.h"

#include <stdio.h>
#include <string.h>

#include "rb/base/ids.h"

static void field_free(void *data)
{
    RbParcelField *field = data;
    g_free(field->table);
    g_free(field->column);
    g_free(field);
}

static void op_free(void *data)
{
    RbParcelOp *op = data;
    g_free(op->old.text);
    g_free(op->new_.text);
    g_array_unref(op->base);
    g_free(op);
}

static void action_free(void *data)
{
    RbParcelAction *action = data;
    g_free(action->words);
    g_free(action->forget_table);
    g_ptr_array_unref(action->ops);
    g_free(action);
}

RbParcelOp *rb_parcel_op_new(void)
{
    RbParcelOp *op = g_new0(RbParcelOp, 1);
    op->base = g_array_new(FALSE, FALSE, sizeof(RbOpId));
    return op;
}

RbParcelAction *rb_parcel_action_new(void)
{
    RbParcelAction *action = g_new0(RbParcelAction, 1);
    action->ops = g_ptr_array_new_with_free_func(op_free);
    return action;
}

RbParcel *rb_parcel_new(void)
{
    RbParcel *parcel = g_new0(RbParcel, 1);
    parcel->fields = g_ptr_array_new_with_free_func(field_free);
    parcel->actions = g_ptr_array_new_with_free_func(action_free);
    return parcel;
}

void rb_parcel_free(RbParcel *parcel)
{
    if (parcel != NULL) {
        g_ptr_array_unref(parcel->fields);
        g_ptr_array_unref(parcel->actions);
        g_free(parcel);
    }
}

guint rb_parcel_add_field(RbParcel *parcel, const char *table, const char *column)
{
    for (guint i = 0; i < parcel->fields->len; i++) {
        const RbParcelField *field = g_ptr_array_index(parcel->fields, i);
        if (strcmp(field->table, table) == 0 && strcmp(field->column, column) == 0) {
            return i;
        }
    }
    RbParcelField *field = g_new0(RbParcelField, 1);
    field->table = g_strdup(table);
    field->column = g_strdup(column);
    g_ptr_array_add(parcel->fields, field);
    return parcel->fields->len - 1;
}

RbParcelRange rb_parcel_range(const RbParcel *parcel)
{
    return (RbParcelRange){
        .laptop = parcel->laptop,
        .first = parcel->first,
        .last = parcel->first + (int64_t)parcel->actions->len - 1,
    };
}

int64_t rb_parcel_forgotten(const RbParcel *parcel)
{
    return parcel->forgotten;
}

char *rb_parcel_file_name(const RbParcelRange *range)
{
    return g_strdup_printf("%" G_GINT64_FORMAT "-%" G_GINT64_FORMAT
                           "-%" G_GINT64_FORMAT RB_PARCEL_SUFFIX,
                           range->laptop, range->first, range->last);
}

bool rb_parcel_file_name_parse(const char *name, RbParcelRange *range)
{
    if (!g_str_has_suffix(name, RB_PARCEL_SUFFIX)) {
        return false;
    }
    g_autofree char *stem = g_strndup(name, strlen(name) - strlen(RB_PARCEL_SUFFIX));
    g_auto(GStrv) parts = g_strsplit(stem, "-", -1);
    return g_strv_length(parts) == 3 && rb_id_parse(parts[0], &range->laptop) &&
           rb_id_parse(parts[1], &range->first) && rb_id_parse(parts[2], &range->last) &&
           range->first <= range->last;
}
