/* SPDX-License-Identifier: GPL-3.0-or-later */
/* bench-grow LIBRARY SNAPS: adds copies of its games until it has that many snaps, for
 * bench-keys.py. */
#include <stdio.h>
#include <stdlib.h>

#include "rb/store/snaps.h"
#include "rb/store/staff.h"

#include "library-private.h"

static bool copy_snap(RbLibrary *library, RbGameId game, const RbSnap *from,
                      GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(GPtrArray) charts = rb_library_load_charts(library, from->id, error);
    g_autoptr(RbSnap) snap = rb_snap_copy(from);
    snap->id.value = rb_id_random();
    snap->game = game;
    g_array_set_size(snap->penalties, 0); /* records with ids of their own */
    if (charts == NULL || !rb_store_save_snap(store, snap, error)) {
        return false;
    }
    for (guint i = 0; i < charts->len; i++) {
        RbChart *chart = charts->pdata[i];
        chart->snap = snap->id;
        chart->id = rb_chart_id(chart->snap, chart->author);
        if (!rb_store_save_chart(store, chart, error)) {
            return false;
        }
    }
    return true;
}

/* Returns how many snaps were added; -1 with `error`. */
static int copy_game(RbLibrary *library, const RbGame *from, int year, GError **error)
{
    RbGame game = *from;
    g_autofree char *day = g_strdup_printf("%d%s", year, from->played_on + 4);
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, from->id, error);
    game.id.value = rb_id_random();
    game.played_on = day;
    if (snaps == NULL || !rb_library_begin(library, "a game copied", error)) {
        return -1;
    }
    bool well = rb_store_save_game(rb_library_store(library), &game, error);
    for (guint i = 0; well && i < snaps->len; i++) {
        well = copy_snap(library, game.id, snaps->pdata[i], error);
    }
    if (!well) {
        rb_library_rollback(library);
        return -1;
    }
    return rb_library_commit(library, true, error) ? (int)snaps->len : -1;
}

static int count_all(RbLibrary *library, const RbNames *names)
{
    int n = 0;
    for (guint i = 0; i < rb_names_games(names)->len; i++) {
        const RbGame *game = rb_names_games(names)->pdata[i];
        g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, game->id, NULL);
        n += snaps != NULL ? (int)snaps->len : 0;
    }
    return n;
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: bench-grow LIBRARY SNAPS\n");
        return 2;
    }
    g_autoptr(GError) error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open(argv[1], "Bench", &error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, &error) : NULL;
    if (names == NULL) {
        fprintf(stderr, "%s\n", error->message);
        return 1;
    }
    const GPtrArray *games = rb_names_games(names);
    int n = count_all(library, names);
    for (int year = 2025; n < atoi(argv[2]) && n > 0; year--) {
        for (guint i = 0; i < games->len && n < atoi(argv[2]); i++) {
            const int added = copy_game(library, games->pdata[i], year, &error);
            if (added < 0) {
                fprintf(stderr, "%s\n", error->message);
                return 1;
            }
            n += added;
        }
    }
    printf("%d snaps\n", n);
    return 0;
}
