/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/films.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/film/fingerprint.h"
#include "rb/film/frames.h"
#include "rb/store/films.h"
#include "rb/work/error.h"

#include "library-private.h"

static const RbWord stand_table[] = {
    [RB_FILM_FOUND] = { "found", N_("In its place") },
    [RB_FILM_MOVED] = { "moved", N_("Found in another place") },
    [RB_FILM_MISSING] = { "missing", N_("Not found") },
    [RB_FILM_CHANGED] = { "changed", N_("Another film lies in its place") },
};
const RbWords rb_film_stand_words = { N_("place of a film"), stand_table,
                                      G_N_ELEMENTS(stand_table) };

void rb_film_look_free(RbFilmLook *look)
{
    if (look == NULL) {
        return;
    }
    g_free(look->path);
    g_free(look->title);
    g_free(look->fingerprint);
    g_free(look->codec);
    g_ptr_array_unref(look->remarks);
    rb_film_facts_free(look->facts);
    g_free(look);
}

static RbFilmLook *look_from(const char *path, const RbFilmFacts *facts, int64_t frames)
{
    RbFilmLook *look = g_new0(RbFilmLook, 1);
    look->path = g_canonicalize_filename(path, NULL);
    look->title = g_filename_display_basename(path);
    look->width = facts->shown_width;
    look->height = facts->shown_height;
    look->rate = facts->rate;
    look->frames = frames;
    look->length_us = facts->duration_us;
    look->codec = g_strdup(facts->codec);
    look->facts = rb_film_facts_copy(facts);
    look->remarks = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < facts->doubts->len; i++) {
        g_ptr_array_add(look->remarks, g_strdup(facts->doubts->pdata[i]));
    }
    return look;
}

RbFilmLook *rb_film_look(const char *path, RbCancel *cancel, RbProgress *progress,
                         GError **error)
{
    g_autoptr(RbReel) reel = rb_reel_open_wait(path, cancel, 0, progress, error);
    if (reel == NULL) {
        return NULL;
    }
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    int64_t bytes = 0;
    g_autofree char *fingerprint = rb_film_fingerprint(path, &bytes, cancel, error);
    if (fingerprint == NULL) {
        return NULL;
    }
    RbFilmLook *look = look_from(path, facts, rb_reel_get_frame_count(reel));
    look->bytes = bytes;
    look->film.value = rb_id_from_text("film", fingerprint, NULL);
    look->fingerprint = g_steal_pointer(&fingerprint);
    return look;
}

static bool save_film(RbLibrary *library, const RbFilmLook *look, RbAngle angle,
                      RbGameId game, GError **error)
{
    g_autoptr(RbFilm) film = rb_film_new(look->film, look->title);
    g_free(film->fingerprint);
    film->fingerprint = g_strdup(look->fingerprint);
    film->bytes = look->bytes;
    film->angle = angle;
    film->game = game;
    g_autofree char *words = rb_told("film \"%s\" added", look->title);
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    if (!rb_store_save_film(rb_library_store(library), film, error)) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, false, error);
}

bool rb_library_add_film(RbLibrary *library, const RbFilmLook *look, RbAngle angle,
                         RbGameId game, bool *added, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(GError) failure = NULL;
    g_autoptr(RbFilm) known = rb_store_load_film(store, look->film, &failure);
    if (failure != NULL &&
        !g_error_matches(failure, RB_STORE_ERROR, RB_STORE_ERROR_UNKNOWN)) {
        g_propagate_error(error, g_steal_pointer(&failure));
        return false;
    }
    if (added != NULL) {
        *added = known == NULL;
    }
    if (known == NULL && !save_film(library, look, angle, game, error)) {
        return false;
    }
    return rb_store_add_film_path(store, look->film, look->path, error);
}

/* Whether the file at `path` is the film. is_there: (out): a file that can be read. */
static bool is_film(const RbFilm *film, const char *path, bool *is_there,
                    RbCancel *cancel)
{
    int64_t bytes = 0;
    g_autofree char *fingerprint = rb_film_fingerprint(path, &bytes, cancel, NULL);
    *is_there = fingerprint != NULL;
    return fingerprint != NULL && strcmp(fingerprint, film->fingerprint) == 0;
}

char *rb_film_folder_of(const char *library)
{
    const size_t suffix =
        g_str_has_suffix(library, RB_STORE_SUFFIX) ? strlen(RB_STORE_SUFFIX) : 0;
    return g_strdup_printf("%.*s film", (int)(strlen(library) - suffix), library);
}

/* The library's own folder, those where the film was, then the caller's.
 * Returns: (transfer full): NULL-ended. */
static char **folders_to_search(RbLibrary *library, const GPtrArray *paths,
                                const char *const *folders)
{
    GPtrArray *all = g_ptr_array_new();
    g_ptr_array_add(all, g_path_get_dirname(rb_library_get_path(library)));
    for (guint i = 0; i < paths->len; i++) {
        g_autofree char *folder = g_path_get_dirname(paths->pdata[i]);
        if (!g_ptr_array_find_with_equal_func(all, folder, g_str_equal, NULL)) {
            g_ptr_array_add(all, g_steal_pointer(&folder));
        }
    }
    for (; folders != NULL && *folders != NULL; folders++) {
        g_ptr_array_add(all, g_strdup(*folders));
    }
    g_ptr_array_add(all, NULL);
    return (char **)g_ptr_array_free(all, FALSE);
}

bool rb_library_find_film(RbLibrary *library, RbFilmId id, const char *const *folders,
                          RbFilmStand *stand, char **path, RbCancel *cancel,
                          GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbFilm) film = rb_store_load_film(store, id, error);
    g_autoptr(GPtrArray) paths =
        film != NULL ? rb_store_list_film_paths(store, id, error) : NULL;
    if (paths == NULL) {
        return false;
    }
    *path = NULL;
    *stand = RB_FILM_MISSING;
    for (guint i = 0; i < paths->len; i++) {
        bool is_there = false;
        if (is_film(film, paths->pdata[i], &is_there, cancel)) {
            *stand = RB_FILM_FOUND;
            *path = g_strdup(paths->pdata[i]);
            return true;
        }
        *stand = is_there ? RB_FILM_CHANGED : *stand;
    }
    g_auto(GStrv) search = folders_to_search(library, paths, folders);
    GError *failure = NULL;
    char *found = rb_film_find_moved(film->fingerprint, film->bytes,
                                     (const char *const *)search, cancel, NULL, &failure);
    if (failure != NULL) {
        g_propagate_error(error, failure);
        return false;
    }
    if (found != NULL) {
        *stand = RB_FILM_MOVED;
        *path = found;
        /* A library that can only be read is searched again the next time. */
        return rb_store_is_read_only(store) ||
               rb_store_add_film_path(store, id, found, error);
    }
    return true;
}
