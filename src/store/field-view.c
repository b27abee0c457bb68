/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/ids.h"
#include "rb/store/film-measures.h"

#include "children.h"
#include "tables.h"

static const RbColumn view_columns[] = {
    RB_ID(RbFieldView, film, "film"),
    RB_LONG(RbFieldView, frame, "frame"),
    RB_LONG(RbFieldView, time.ticks, "ticks"),
    RB_INT(RbFieldView, time.base.num, "num", RB_ALWAYS_KNOWN),
    RB_INT(RbFieldView, time.base.den, "den", RB_ALWAYS_KNOWN),
    RB_KNOWN_WORD(RbFieldView, rules, "rules", rb_rules_words),
    RB_INT(RbFieldView, width, "width", RB_ALWAYS_KNOWN),
    RB_INT(RbFieldView, height, "height", RB_ALWAYS_KNOWN),
};

static void *make_view(void)
{
    return rb_field_view_new((RbFilmId){ 0 }, 0);
}

const RbTable rb_field_view_table = {
    "field_view", "view of the field",
    view_columns, G_N_ELEMENTS(view_columns),
    make_view,    (GDestroyNotify)rb_field_view_free,
};

/* A sight on its way to its row, which keeps the name as a text. */
typedef struct {
    RbFieldSightId id;
    RbFieldViewId view;
    char *name;
    int x;
    int y;
} SightRow;

static const RbColumn sight_columns[] = {
    RB_ID(SightRow, view, "view"),
    RB_TEXT(SightRow, name, "name"),
    RB_INT(SightRow, x, "x", RB_ALWAYS_KNOWN),
    RB_INT(SightRow, y, "y", RB_ALWAYS_KNOWN),
};

const RbTable rb_field_sight_table = {
    "field_sight", "mark of the field", sight_columns, G_N_ELEMENTS(sight_columns), NULL,
    NULL,
};

static bool take_sight(RbStatement *row, void *data, GError **error)
{
    SightRow read = { 0 };
    if (!rb_row_read(row, &rb_field_sight_table, &read, error)) {
        return false;
    }
    RbFieldView *view = rb_children_find(data, read.view.value);
    if (view != NULL && read.name != NULL) {
        RbFieldSight sight = {
            .id = read.id, .view = read.view, .x = read.x, .y = read.y
        };
        g_strlcpy(sight.name, read.name, sizeof sight.name);
        g_array_append_val(view->sights, sight);
    }
    g_free(read.name);
    return true;
}

/* Views t by `tail`, then their sights by `of_views`, a condition on v. */
static GPtrArray *list(RbStore *store, const char *tail, const char *of_views, int64_t id,
                       GError **error)
{
    g_autoptr(GPtrArray) found =
        rb_row_list(store, &rb_field_view_table, tail, &id, 1, error);
    if (found == NULL) {
        return NULL;
    }
    g_autoptr(GHashTable) index = rb_children_index(found);
    g_autofree char *sql =
        g_strconcat("SELECT s.* FROM field_view v JOIN field_sight s ON s.view = v.id"
                    " WHERE s.removed = 0 AND ",
                    of_views, " ORDER BY s.view, s.name, s.id", NULL);
    return rb_children_read(store, sql, &id, 1, take_sight, index, error)
               ? g_steal_pointer(&found)
               : NULL;
}

RbFieldView *rb_store_load_field_view(RbStore *store, RbFieldViewId id, GError **error)
{
    g_autoptr(GPtrArray) found =
        list(store, "WHERE t.id = ? AND t.removed = 0", "v.id = ?", id.value, error);
    return found != NULL ? rb_row_first(store, &rb_field_view_table, found, error) : NULL;
}

GPtrArray *rb_store_list_field_views(RbStore *store, RbFilmId film, GError **error)
{
    return list(store, "WHERE t.film = ? AND t.removed = 0 ORDER BY t.frame, t.id",
                "v.film = ?", film.value, error);
}

bool rb_store_save_field_view(RbStore *store, const RbFieldView *view, GError **error)
{
    if (!rb_row_save(store, &rb_field_view_table, view, error)) {
        return false;
    }
    g_autoptr(GArray) keep = g_array_new(FALSE, FALSE, sizeof(int64_t));
    for (guint i = 0; i < view->sights->len; i++) {
        RbFieldSight *sight = &g_array_index(view->sights, RbFieldSight, i);
        SightRow row = { .id = sight->id,
                         .view = view->id,
                         .name = sight->name,
                         .x = sight->x,
                         .y = sight->y };
        row.id.value = row.id.value != 0 ? row.id.value : rb_id_random();
        g_array_append_val(keep, row.id.value);
        if (!rb_row_save(store, &rb_field_sight_table, &row, error)) {
            return false;
        }
    }
    return rb_row_remove_others(store, &rb_field_sight_table, "view", view->id.value,
                                keep, error);
}
