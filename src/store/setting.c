/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/ids.h"
#include "rb/store/playbook.h"

#include "tables.h"

typedef struct {
    int64_t id;
    char *name;  /* borrowed */
    char *value; /* borrowed, nullable */
} Setting;

static const RbColumn columns[] = {
    RB_NAME(Setting, name, "name"),
    RB_TEXT(Setting, value, "value"),
};

const RbTable rb_setting_table = {
    "setting", "setting", columns, G_N_ELEMENTS(columns), NULL, NULL,
};

/* The value of a one-row query over a name. NULL without `error` for no row. */
static char *get(RbStore *store, const char *sql, const char *name, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, error);
    if (query == NULL) {
        return NULL;
    }
    rb_statement_bind_text(query, name);
    return rb_statement_step(query, error) == RB_STEP_ROW
               ? g_strdup(rb_statement_get_text(query, "value"))
               : NULL;
}

char *rb_store_get_setting(RbStore *store, const char *name, GError **error)
{
    return get(store,
               "SELECT value FROM setting WHERE name = ? AND removed = 0 ORDER BY id",
               name, error);
}

bool rb_store_set_setting(RbStore *store, const char *name, const char *value,
                          GError **error)
{
    const Setting setting = {
        .id = rb_id_from_text("setting", name, NULL),
        .name = (char *)name,
        .value = (char *)value,
    };
    return rb_row_save(store, &rb_setting_table, &setting, error);
}

char *rb_store_get_state(RbStore *store, const char *name, GError **error)
{
    return get(store, "SELECT value FROM state WHERE name = ?", name, error);
}

bool rb_store_set_state(RbStore *store, const char *name, const char *value,
                        GError **error)
{
    g_autoptr(RbStatement) statement = rb_statement_new(
        store,
        value != NULL ? "INSERT OR REPLACE INTO state (name, value) VALUES (?, ?)"
                      : "DELETE FROM state WHERE name = ?",
        error);
    if (statement == NULL) {
        return false;
    }
    rb_statement_bind_text(statement, name);
    if (value != NULL) {
        rb_statement_bind_text(statement, value);
    }
    return rb_statement_run(statement, error);
}
