/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/work/logging.h"

#include "library-private.h"

static void free_film(void *film)
{
    rb_film_free(film);
}

/* Wide before tight, as a game is logged. */
static int by_angle(const void *a, const void *b)
{
    const RbFilm *x = *(const RbFilm *const *)a;
    const RbFilm *y = *(const RbFilm *const *)b;
    return x->angle != y->angle ? (int)x->angle - (int)y->angle
                                : g_strcmp0(x->title, y->title);
}

/* The films of the game, then those of no game, each with its place. */
static bool add_films(RbLibrary *library, RbFilmLog *log, RbGameId game, GError **error)
{
    g_autoptr(GPtrArray) films = rb_library_load_films(library, error);
    if (films != NULL) {
        g_ptr_array_sort(films, by_angle);
    }
    for (guint i = 0; films != NULL && i < films->len; i++) {
        const RbFilm *film = films->pdata[i];
        if (film->game.value != game.value) {
            continue;
        }
        g_autoptr(GError) failure = NULL;
        char *path = rb_library_film_path(library, film->id, &failure);
        if (failure != NULL) {
            g_propagate_error(error, g_steal_pointer(&failure));
            return false;
        }
        g_ptr_array_add(log->films, films->pdata[i]);
        films->pdata[i] =
            rb_film_new((RbFilmId){ 0 }, ""); /* the list owns the film now */
        g_ptr_array_add(log->paths, path != NULL ? path : g_strdup(""));
    }
    return films != NULL;
}

RbFilmLog *rb_library_load_film_log(RbLibrary *library, RbGameId game, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbFilmLog) log = g_new0(RbFilmLog, 1);
    log->game = game;
    log->films = g_ptr_array_new_with_free_func(free_film);
    log->paths = g_ptr_array_new_with_free_func(g_free);
    log->snaps = rb_store_list_snaps(store, game, error);
    log->clips = log->snaps != NULL ? rb_store_list_game_clips(store, game, error) : NULL;
    if (log->clips == NULL || !add_films(library, log, game, error) ||
        !add_films(library, log, (RbGameId){ 0 }, error)) {
        return NULL;
    }
    return g_steal_pointer(&log);
}

void rb_film_log_free(RbFilmLog *log)
{
    if (log == NULL) {
        return;
    }
    g_ptr_array_unref(log->films);
    g_ptr_array_unref(log->paths);
    g_clear_pointer(&log->clips, g_ptr_array_unref);
    g_clear_pointer(&log->snaps, g_ptr_array_unref);
    g_free(log);
}

const RbClip *rb_film_log_clip_at(const RbFilmLog *log, RbFilmId film, int64_t frame)
{
    const RbClip *found = NULL;
    for (guint i = 0; i < log->clips->len; i++) {
        const RbClip *clip = log->clips->pdata[i];
        if (clip->film.value == film.value && clip->first <= frame &&
            frame <= clip->last && (found == NULL || clip->first > found->first)) {
            found = clip;
        }
    }
    return found;
}

int rb_film_log_number(const RbFilmLog *log, RbSnapId id)
{
    for (guint i = 0; i < log->snaps->len; i++) {
        const RbSnap *snap = log->snaps->pdata[i];
        if (snap->id.value == id.value) {
            return snap->number;
        }
    }
    return 0;
}
