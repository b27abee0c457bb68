/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/snap-rows.h"

#include <string.h>

#include "rb/store/films.h"
#include "rb/store/snaps.h"

#include "library-private.h"

const char *const rb_snap_columns[RB_SNAP_COLUMNS] = {
    "quarter", "down",     "distance", "spot", "formation",
    "concept", "coverage", "result",   "gain",
};

void rb_snap_row_free(RbSnapRow *row)
{
    if (row == NULL) {
        return;
    }
    for (int i = 0; i < RB_SNAP_COLUMNS; i++) {
        g_free(row->value[i]);
        g_free(row->shown[i]);
    }
    g_free(row->sought);
    g_free(row->film);
    g_free(row);
}

static RbSnapRow *make_row(const RbNames *names, const RbSnap *snap, const RbChart *chart)
{
    RbSnapRow *row = g_new0(RbSnapRow, 1);
    row->snap = snap->id;
    row->number = snap->number;
    g_autoptr(GString) all = g_string_new(NULL);
    g_string_printf(all, "%d", snap->number);
    for (int i = 0; i < RB_SNAP_COLUMNS; i++) {
        const RbTaggable *field = rb_taggable_parse(rb_snap_columns[i], NULL);
        g_assert(field != NULL);
        row->value[i] = rb_taggable_get(field, names, snap, chart);
        row->shown[i] = row->value[i][0] == '\0'
                            ? g_strdup("")
                            : rb_taggable_show(field, names, snap, chart);
        g_string_append_printf(all, " %s", row->shown[i]);
    }
    row->sought = g_utf8_casefold(all->str, -1);
    return row;
}

/* Charts of a list go into the index by their snap, over those that are there. */
static void put_charts(GHashTable *index, const GPtrArray *charts)
{
    for (guint i = 0; i < charts->len; i++) {
        RbChart *chart = charts->pdata[i];
        g_hash_table_insert(index, &chart->snap.value, chart);
    }
}

/* ---- stills */

/* Of each film of a game its place, looked up once; NULL: it has none here. */
static bool find_places(RbLibrary *library, const GPtrArray *clips, GHashTable *places,
                        GError **error)
{
    for (guint i = 0; i < clips->len; i++) {
        RbClip *clip = clips->pdata[i];
        if (clip->film.value == 0 || g_hash_table_contains(places, &clip->film.value)) {
            continue;
        }
        GError *failure = NULL;
        char *path = rb_library_film_path(library, clip->film, &failure);
        if (failure != NULL) {
            g_propagate_error(error, failure);
            return false;
        }
        g_hash_table_insert(places, &clip->film.value, path);
    }
    return true;
}

/* The first of its angles that was filmed, at the snap: there the formation is seen. */
static void set_still(RbSnapRow *row, const RbClip *clip, const char *path)
{
    const RbMark *mark = rb_clip_find_mark(clip, RB_MARK_SNAP);
    row->film = g_strdup(path);
    row->frame =
        mark != NULL ? mark->frame : clip->first + (clip->last - clip->first) / 2;
}

static bool add_stills(RbLibrary *library, RbGameId game, const GPtrArray *rows,
                       GError **error)
{
    g_autoptr(GPtrArray) clips =
        rb_store_list_game_clips(rb_library_store(library), game, error);
    g_autoptr(GHashTable) places =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, g_free);
    if (clips == NULL || !find_places(library, clips, places, error)) {
        return false;
    }
    g_autoptr(GHashTable) by_snap = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < rows->len; i++) {
        RbSnapRow *row = rows->pdata[i];
        g_hash_table_insert(by_snap, &row->snap.value, row);
    }
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        RbSnapRow *row = g_hash_table_lookup(by_snap, &clip->snap.value);
        const char *path = g_hash_table_lookup(places, &clip->film.value);
        if (row != NULL && row->film == NULL && path != NULL) {
            set_still(row, clip, path);
        }
    }
    return true;
}

GPtrArray *rb_library_load_snap_rows(RbLibrary *library, RbGameId game, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(GPtrArray) snaps =
        names != NULL ? rb_store_list_snaps(store, game, error) : NULL;
    g_autoptr(GPtrArray) counting =
        snaps != NULL ? rb_store_list_counting_charts(store, game, error) : NULL;
    g_autoptr(GPtrArray) own =
        counting != NULL
            ? rb_store_list_charts(store, game, rb_library_get_person(library), error)
            : NULL;
    if (own == NULL) {
        return NULL;
    }
    g_autoptr(GHashTable) charts = g_hash_table_new(g_int64_hash, g_int64_equal);
    if (!rb_library_is_blind(library)) {
        put_charts(charts, counting);
    }
    put_charts(charts, own);
    g_autoptr(GPtrArray) rows =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_snap_row_free);
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        const RbChart *chart = g_hash_table_lookup(charts, &snap->id.value);
        g_autoptr(RbChart) none =
            chart == NULL ? rb_chart_new(snap->id, rb_library_get_person(library)) : NULL;
        g_ptr_array_add(rows, make_row(names, snap, chart != NULL ? chart : none));
    }
    return add_stills(library, game, rows, error) ? g_steal_pointer(&rows) : NULL;
}

bool rb_snap_row_matches(const RbSnapRow *row, const char *words)
{
    g_autofree char *folded = g_utf8_casefold(words, -1);
    g_auto(GStrv) list = g_strsplit_set(folded, " \t", -1);
    for (int i = 0; list[i] != NULL; i++) {
        if (strstr(row->sought, list[i]) == NULL) {
            return false;
        }
    }
    return true;
}

int rb_snap_row_compare(const RbSnapRow *a, const RbSnapRow *b, int column)
{
    const int by_number = (a->number > b->number) - (a->number < b->number);
    if (column < 0) {
        return by_number;
    }
    const char *x = a->value[column];
    const char *y = b->value[column];
    if (*x == '\0' || *y == '\0') {
        return *x == *y ? by_number : *x == '\0' ? 1 : -1;
    }
    char *end_x = NULL;
    char *end_y = NULL;
    const double one = g_ascii_strtod(x, &end_x);
    const double other = g_ascii_strtod(y, &end_y);
    int order = 0;
    if (*end_x == '\0' && *end_y == '\0') {
        order = (one > other) - (one < other);
    } else {
        order = g_utf8_collate(a->shown[column], b->shown[column]);
    }
    return order != 0 ? order : by_number;
}
