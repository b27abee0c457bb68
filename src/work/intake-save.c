/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <string.h>

#include "rb/base/ids.h"
#include "rb/base/told.h"
#include "rb/store/error.h"
#include "rb/store/films.h"
#include "rb/store/snaps.h"

#include "intake-private.h"
#include "library-private.h"

typedef struct {
    RbLibrary *library;
    RbStore *store;
    const RbIntake *intake;
    RbIntakeSaved *saved;
    const char *const *paths; /* of each file */
} Saving;

static const RbIntakeFile *file_of(const RbIntake *intake, const RbIntakeClip *clip)
{
    return intake->files->pdata[clip->file];
}

/* Whether the store has it. object: what a load gave, with its error. */
static bool is_known(GError *failure, bool there, bool *known, GError **error)
{
    *known = there;
    if (failure == NULL) {
        return true;
    }
    if (g_error_matches(failure, RB_STORE_ERROR, RB_STORE_ERROR_UNKNOWN)) {
        g_error_free(failure);
        return true;
    }
    g_propagate_error(error, failure);
    return false;
}

static bool save_film(const Saving *saving, const RbIntakeFile *file, const char *path,
                      GError **error)
{
    GError *failure = NULL;
    bool known = false;
    g_autoptr(RbFilm) there =
        rb_store_load_film(saving->store, file->look->film, &failure);
    if (!is_known(failure, there != NULL, &known, error)) {
        return false;
    }
    if (!known) {
        g_autoptr(RbFilm) film = rb_film_new(file->look->film, file->look->title);
        g_free(film->fingerprint);
        film->fingerprint = g_strdup(file->look->fingerprint);
        film->bytes = file->look->bytes;
        film->angle = file->angle;
        film->game = saving->intake->game;
        if (!rb_store_save_film(saving->store, film, error)) {
            return false;
        }
        saving->saved->films++;
    }
    return rb_store_add_film_path(saving->store, file->look->film, path, error);
}

static bool save_clip(const Saving *saving, int at, RbSnapId snap, GError **error)
{
    const RbIntakeClip *from = saving->intake->clips->pdata[at];
    const RbIntakeFile *file = file_of(saving->intake, from);
    const RbFilmId film = file->look->film;
    if (!save_film(saving, file, saving->paths[from->file], error)) {
        return false;
    }
    g_autoptr(GPtrArray) there = rb_store_list_clips(saving->store, snap, error);
    if (there == NULL) {
        return false;
    }
    for (guint i = 0; i < there->len; i++) {
        const RbClip *clip = there->pdata[i];
        if (clip->film.value == film.value) {
            return true; /* with whatever a person made of it since */
        }
    }
    g_autoptr(RbClip) clip =
        rb_clip_new((RbClipId){ rb_id_from_pair("clip", snap.value, film.value) }, snap,
                    film, from->angle);
    clip->first = from->first;
    clip->last = from->last;
    clip->first_time = from->first_time;
    clip->last_time = from->last_time;
    clip->cut_early = from->goes_on ? RB_YES : RB_YES_NO_UNKNOWN;
    saving->saved->clips++;
    return rb_store_save_clip(saving->store, clip, error);
}

/* Two laptops that load the same game make the same snaps. */
static RbSnapId snap_of(const Saving *saving, const RbIntakeRow *row)
{
    if (row->snap.value != 0) {
        return row->snap;
    }
    return (RbSnapId){ rb_id_from_pair("snap", saving->intake->game.value, row->number) };
}

static bool save_row(const Saving *saving, const RbIntakeRow *row, GError **error)
{
    const RbSnapId id = snap_of(saving, row);
    if (row->snap.value == 0) {
        GError *failure = NULL;
        bool known = false;
        g_autoptr(RbSnap) there = rb_store_load_snap(saving->store, id, &failure);
        if (!is_known(failure, there != NULL, &known, error)) {
            return false;
        }
        if (!known) {
            g_autoptr(RbSnap) snap = rb_snap_new(id, saving->intake->game, row->number);
            if (!rb_store_save_snap(saving->store, snap, error)) {
                return false;
            }
            saving->saved->snaps++;
        }
    }
    return (row->wide < 0 || save_clip(saving, row->wide, id, error)) &&
           (row->tight < 0 || save_clip(saving, row->tight, id, error));
}

static bool is_written(const RbIntakeRow *row)
{
    return row->kind == RB_INTAKE_BOTH || row->kind == RB_INTAKE_WIDE_ONLY ||
           row->kind == RB_INTAKE_TIGHT_ONLY;
}

static bool save_rows(const Saving *saving, GError **error)
{
    const GArray *rows = saving->intake->rows;
    for (guint i = 0; i < rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(rows, RbIntakeRow, i);
        if (is_written(row) && !save_row(saving, row, error)) {
            return false;
        }
    }
    return true;
}

static bool is_used(const RbIntake *intake, int file)
{
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
        const int sides[] = { row->wide, row->tight };
        for (int k = 0; is_written(row) && k < 2; k++) {
            if (sides[k] >= 0 &&
                ((RbIntakeClip *)intake->clips->pdata[sides[k]])->file == file) {
                return true;
            }
        }
    }
    return false;
}

/* Where each film will lie: copied, or where it is. Returns: (transfer full) (nullable). */
static GPtrArray *place_films(const RbIntake *intake, const char *copy, RbCancel *cancel,
                              RbProgress *progress, GError **error)
{
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < intake->files->len; i++) {
        const RbIntakeFile *file = intake->files->pdata[i];
        char *path = NULL;
        if (copy != NULL && is_used(intake, (int)i)) {
            RbProgress *part = rb_progress_part(progress, (double)i / intake->files->len,
                                                (double)(i + 1) / intake->files->len);
            path = rb_intake_copy(file->look->path, copy, cancel, part, error);
            rb_progress_free(part);
        } else {
            path = g_strdup(file->look->path);
        }
        if (path == NULL) {
            return NULL;
        }
        g_ptr_array_add(paths, path);
    }
    return g_steal_pointer(&paths);
}

bool rb_library_save_intake(RbLibrary *library, const RbIntake *intake, const char *copy,
                            RbIntakeSaved *saved, RbCancel *cancel, RbProgress *progress,
                            GError **error)
{
    *saved = (RbIntakeSaved){ 0 };
    g_autoptr(GPtrArray) paths = place_films(intake, copy, cancel, progress, error);
    if (paths == NULL || !rb_cancel_check(cancel, error)) {
        return false;
    }
    const Saving saving = { library, rb_library_store(library), intake, saved,
                            (const char *const *)paths->pdata };
    g_autofree char *planned = rb_told("film of a game loaded");
    if (!rb_library_begin(library, planned, error)) {
        return false;
    }
    if (!save_rows(&saving, error)) {
        rb_library_rollback(library);
        return false;
    }
    g_autofree char *words =
        rb_told("film of a game loaded: %d films, %d clips, %d snaps", saved->films,
                saved->clips, saved->snaps);
    rb_store_set_words(saving.store, words);
    return rb_library_commit(library, false, error);
}
