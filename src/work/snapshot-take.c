/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/store/touched.h"
#include "rb/work/snapshot.h"

#include "library-private.h"
#include "snapshot-private.h"

/* More snaps than this are read by games rather than one by one. */
#define FOLLOWED_MAX 200

/* Judges a game's snaps and appends them. */
static bool add_game(RbLibrary *library, RbSnapshot *snapshot, RbGameId game,
                     GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(GPtrArray) snaps = rb_store_list_snaps(store, game, error);
    g_autoptr(GPtrArray) charts =
        snaps != NULL ? rb_store_list_counting_charts(store, game, error) : NULL;
    g_autoptr(GPtrArray) clips =
        charts != NULL ? rb_store_list_game_clips(store, game, error) : NULL;
    if (clips == NULL) {
        return false;
    }
    RbSnapTags tags = rb_snap_tags_new(charts, clips);
    rb_snapshot_add(snapshot, snaps, &tags, false);
    rb_snap_tags_clear(&tags);
    return true;
}

void rb_snapshot_fetch(const RbSnapshot *snapshot, RbLibrary *library, RbSnapId snap)
{
    RbStore *store = rb_library_store(library);
    RbDropback row;
    /* A list of snaps goes through games: one read a game, not three a snap. */
    g_autoptr(GPtrArray) snaps = rb_snapshot_find_row(snapshot, snap, &row)
                                     ? rb_store_list_snaps(store, row.game, NULL)
                                     : NULL;
    g_autoptr(GPtrArray) charts =
        snaps != NULL ? rb_store_list_counting_charts(store, row.game, NULL) : NULL;
    g_autoptr(GPtrArray) clips =
        charts != NULL ? rb_store_list_game_clips(store, row.game, NULL) : NULL;
    if (clips == NULL) {
        return;
    }
    RbSnapTags tags = rb_snap_tags_new(charts, clips);
    rb_snapshot_hold(snapshot, snaps, &tags);
    rb_snap_tags_clear(&tags);
}

/* Rows of an earlier snapshot that are still as they were, and which games are not. */
typedef struct {
    const RbPacked *rows; /* (nullable): everything is judged */
    GHashTable *anew;     /* (nullable): ids of the games that are read again */
    int at;               /* place of the first row of the game that comes */
} Earlier;

static RbGameId game_at(const RbPacked *packed, int place)
{
    RbGameId game = { 0 };
    rb_packed_get_value(packed, place, RB_FIELD_GAME, &game.value);
    return game;
}

/* Past the rows of a game, which are kept when it is not read again. */
static void pass_game(RbSnapshot *snapshot, Earlier *earlier, RbGameId game, bool again)
{
    const int n = earlier->rows != NULL ? rb_packed_get_count(earlier->rows) : 0;
    const int first = earlier->at;
    while (earlier->at < n && game_at(earlier->rows, earlier->at).value == game.value) {
        earlier->at++;
    }
    if (!again && earlier->at > first) {
        rb_packed_append_range(rb_snapshot_edit_packed(snapshot), earlier->rows, first,
                               earlier->at - first);
    }
}

/* Game by game, so that no more than one of them is in memory. */
static bool add_games(RbLibrary *library, RbSnapshot *snapshot, Earlier *earlier,
                      RbCancel *cancel, GError **error)
{
    const GPtrArray *games = rb_names_games(rb_snapshot_get_names(snapshot));
    for (guint i = 0; i < games->len; i++) {
        const RbGame *game = games->pdata[i];
        const bool again = earlier->rows == NULL ||
                           g_hash_table_contains(earlier->anew, &game->id.value);
        if (!rb_cancel_check(cancel, error)) {
            return false;
        }
        pass_game(snapshot, earlier, game->id, again);
        if (again && rb_snapshot_wants_game(snapshot, game) &&
            !add_game(library, snapshot, game->id, error)) {
            return false;
        }
    }
    rb_packed_trim(rb_snapshot_edit_packed(snapshot));
    return true;
}

/* Everything judged. seen: how far the history was before the names were read. */
static RbSnapshot *take_anew(RbLibrary *library, const RbNames *names,
                             const RbSnapshotOptions *options, GArray *seen,
                             RbCancel *cancel, GError **error)
{
    Earlier none = { 0 };
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_new(names, options, NULL);
    if (!add_games(library, snapshot, &none, cancel, error)) {
        return NULL;
    }
    rb_snapshot_set_source(snapshot, library, seen);
    rb_snapshot_keep_columns(snapshot, library);
    return g_steal_pointer(&snapshot);
}

/* As the library keeps it, which may be behind; NULL when it keeps none that holds. */
static RbSnapshot *load_kept(RbLibrary *library, const RbNames *names,
                             const RbSnapshotOptions *options)
{
    g_autoptr(GArray) seen = NULL;
    RbPacked *packed = rb_snapshot_load_columns(library, options, &seen);
    if (packed == NULL) {
        return NULL;
    }
    RbSnapshot *snapshot = rb_snapshot_new(names, options, packed);
    rb_snapshot_set_source(snapshot, library, seen);
    return snapshot;
}

/* After this many snaps that had to be followed the columns are kept anew. */
#define BEHIND_MAX 50

RbSnapshot *rb_snapshot_take(RbLibrary *library, const RbSnapshotOptions *options,
                             RbCancel *cancel, GError **error)
{
    const RbSnapshotOptions defaults = rb_snapshot_options_default();
    options = options != NULL ? options : &defaults;
    /* First of all: what another laptop adds while this reads is then followed later. */
    g_autoptr(GArray) seen = rb_store_list_seen(rb_library_store(library), error);
    g_autoptr(RbNames) names =
        seen != NULL ? rb_library_load_names(library, error) : NULL;
    if (names == NULL) {
        return NULL;
    }
    g_autoptr(RbSnapshot) kept = load_kept(library, names, options);
    return kept != NULL ? rb_snapshot_take_after(library, kept, cancel, error)
                        : take_anew(library, names, options, seen, cancel, error);
}

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

static void free_chart(void *chart)
{
    rb_chart_free(chart);
}

static void free_clip(void *clip)
{
    rb_clip_free(clip);
}

/* What is read again: lists as rb_snapshot_follow() wants them. */
typedef struct {
    GPtrArray *snaps;
    GPtrArray *charts;
    GPtrArray *clips;
} Again;

static void move_all(GPtrArray *from, GPtrArray *to)
{
    while (from->len > 0) {
        g_ptr_array_add(to, g_ptr_array_steal_index(from, 0));
    }
}

/* A snap that is gone is left out, which leaves less than was asked for. */
static bool read_again(RbLibrary *library, const RbNames *names, RbSnapId id,
                       const Again *again, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbSnap) snap = rb_store_load_snap(store, id, NULL);
    if (snap == NULL) {
        return true;
    }
    const RbGame *game = rb_names_find_game(names, snap->game);
    g_autoptr(GPtrArray) charts = rb_library_load_charts(library, id, error);
    g_autoptr(GPtrArray) clips =
        charts != NULL ? rb_store_list_clips(store, id, error) : NULL;
    if (clips == NULL) {
        return false;
    }
    const RbChart *counts =
        rb_chart_that_counts(charts, game != NULL ? game->lead : (RbPersonId){ 0 });
    if (counts != NULL) {
        g_ptr_array_add(again->charts, rb_chart_copy(counts));
    }
    move_all(clips, again->clips);
    g_ptr_array_add(again->snaps, g_steal_pointer(&snap));
    return true;
}

/* NULL without `error` when a new snapshot is needed. */
static RbSnapshot *follow(RbLibrary *library, const RbSnapshot *before,
                          const GArray *touched, GError **error)
{
    g_autoptr(GPtrArray) snaps = g_ptr_array_new_with_free_func(free_snap);
    g_autoptr(GPtrArray) charts = g_ptr_array_new_with_free_func(free_chart);
    g_autoptr(GPtrArray) clips = g_ptr_array_new_with_free_func(free_clip);
    const Again again = { snaps, charts, clips };
    for (guint i = 0; i < touched->len; i++) {
        if (!read_again(library, rb_snapshot_get_names(before),
                        g_array_index(touched, RbSnapId, i), &again, error)) {
            return NULL;
        }
    }
    return snaps->len == touched->len ? rb_snapshot_follow(before, snaps, charts, clips)
                                      : NULL;
}

/* Ids of the games in which the snaps are now or were. */
static GHashTable *games_of(RbLibrary *library, const RbSnapshot *before,
                            const GArray *touched)
{
    GHashTable *games = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    for (guint i = 0; i < touched->len; i++) {
        const RbSnapId id = g_array_index(touched, RbSnapId, i);
        RbDropback row;
        g_autoptr(RbSnap) snap = rb_store_load_snap(rb_library_store(library), id, NULL);
        if (snap != NULL) {
            g_hash_table_add(games, g_memdup2(&snap->game.value, sizeof(int64_t)));
        }
        if (rb_snapshot_find_row(before, id, &row)) {
            g_hash_table_add(games, g_memdup2(&row.game.value, sizeof(int64_t)));
        }
    }
    return games;
}

/* Snaps came, went or moved: their games are read again, all other rows are taken over. */
static RbSnapshot *take_games(RbLibrary *library, const RbSnapshot *before,
                              const GArray *touched, RbCancel *cancel, GError **error)
{
    const RbSnapshotOptions options = rb_snapshot_get_options(before);
    g_autoptr(GHashTable) games = games_of(library, before, touched);
    Earlier earlier = { rb_snapshot_get_packed(before), games, 0 };
    RbSnapshot *snapshot = rb_snapshot_new(rb_snapshot_get_names(before), &options, NULL);
    bool well = add_games(library, snapshot, &earlier, cancel, error);
    /* Rows of a game that is not among the names any more, or in another order: none is lost. */
    if (well && earlier.at < rb_packed_get_count(earlier.rows)) {
        rb_snapshot_unref(snapshot);
        snapshot = rb_snapshot_new(rb_snapshot_get_names(before), &options, NULL);
        well = add_games(library, snapshot, &(Earlier){ 0 }, cancel, error);
    }
    if (!well) {
        g_clear_pointer(&snapshot, rb_snapshot_unref);
    }
    return snapshot;
}

/* What came of `touched`, without its source. NULL with `error`. */
static RbSnapshot *catch_up(RbLibrary *library, const RbSnapshot *before,
                            const GArray *touched, RbCancel *cancel, GError **error)
{
    GError *failure = NULL;
    RbSnapshot *next =
        touched->len <= FOLLOWED_MAX ? follow(library, before, touched, &failure) : NULL;
    if (failure != NULL) {
        g_propagate_error(error, failure);
        return NULL;
    }
    return next != NULL ? next : take_games(library, before, touched, cancel, error);
}

RbSnapshot *rb_snapshot_take_after(RbLibrary *library, const RbSnapshot *before,
                                   RbCancel *cancel, GError **error)
{
    RbStore *store = rb_library_store(library);
    const GArray *seen = rb_snapshot_get_seen(before, library);
    bool everything = seen == NULL;
    g_autoptr(GArray) now = rb_store_list_seen(store, error);
    g_autoptr(GArray) touched =
        now != NULL && !everything
            ? rb_store_list_touched(store, seen, &everything, error)
            : NULL;
    if (now == NULL || (touched == NULL && !everything)) {
        return NULL;
    }
    if (everything) {
        const RbSnapshotOptions options = rb_snapshot_get_options(before);
        g_autoptr(RbNames) names = rb_library_load_names(library, error);
        return names != NULL ? take_anew(library, names, &options, now, cancel, error)
                             : NULL;
    }
    if (touched->len == 0) {
        return rb_snapshot_ref(before);
    }
    RbSnapshot *next = catch_up(library, before, touched, cancel, error);
    if (next != NULL) {
        rb_snapshot_set_source(next, library, now);
    }
    if (next != NULL && touched->len > BEHIND_MAX) {
        rb_snapshot_keep_columns(next, library);
    }
    return next;
}
