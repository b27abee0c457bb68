/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/snap-marks.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/film/error.h"
#include "rb/film/frames.h"
#include "rb/film/snap-finder.h"
#include "rb/store/films.h"
#include "rb/work/films.h"

#include "library-private.h"

static int compare_clips(const void *a, const void *b)
{
    const RbClip *x = *(RbClip *const *)a;
    const RbClip *y = *(RbClip *const *)b;
    if (x->film.value != y->film.value) {
        return x->film.value < y->film.value ? -1 : 1;
    }
    return (x->first > y->first) - (x->first < y->first);
}

/* Where the films are, each looked for once. */
typedef struct {
    RbLibrary *library;
    RbCancel *cancel;
    RbFilmId film;
    char *path; /* owned, nullable: it is not in its place */
} Finder;

static bool find_path(Finder *finder, RbFilmId film, GError **error)
{
    if (finder->film.value == film.value) {
        return true;
    }
    RbFilmStand stand = RB_FILM_MISSING;
    finder->film = film;
    g_clear_pointer(&finder->path, g_free);
    GError *failure = NULL;
    if (film.value == 0 ||
        rb_library_find_film(finder->library, film, NULL, &stand, &finder->path,
                             finder->cancel, &failure)) {
        return true;
    }
    /* One that cannot be looked for is as good as missing. */
    if (failure->domain == RB_FILM_ERROR && !rb_error_is_cancelled(failure)) {
        g_error_free(failure);
        return true;
    }
    g_propagate_error(error, failure);
    return false;
}

static RbSnapSearch *search_new(void)
{
    RbSnapSearch *search = g_new0(RbSnapSearch, 1);
    search->proposals = g_array_new(FALSE, FALSE, sizeof(RbSnapProposal));
    search->paths = g_ptr_array_new_with_free_func(g_free);
    return search;
}

static bool add_clip(RbSnapSearch *search, Finder *finder, const RbClip *clip,
                     GError **error)
{
    const RbMark *mark = rb_clip_find_mark(clip, RB_MARK_SNAP);
    g_autoptr(RbSnap) snap = rb_library_load_snap(finder->library, clip->snap, error);
    if (snap == NULL || !find_path(finder, clip->film, error)) {
        return false;
    }
    const RbSnapProposal proposal = { .clip = clip->id,
                                      .snap = clip->snap,
                                      .number = snap->number,
                                      .angle = clip->angle,
                                      .film = clip->film,
                                      .first = clip->first,
                                      .last = clip->last,
                                      .frame = -1,
                                      .marked = mark != NULL ? mark->frame : -1 };
    g_array_append_val(search->proposals, proposal);
    g_ptr_array_add(search->paths, g_strdup(finder->path));
    return true;
}

RbSnapSearch *rb_library_start_snap_search(RbLibrary *library, RbGameId game, bool all,
                                           RbCancel *cancel, GError **error)
{
    g_autoptr(GPtrArray) clips =
        rb_store_list_game_clips(rb_library_store(library), game, error);
    if (clips == NULL) {
        return NULL;
    }
    g_autoptr(RbSnapSearch) search = search_new();
    Finder finder = { library, cancel, { 0 }, NULL };
    bool ok = true;
    g_ptr_array_sort(clips, compare_clips);
    for (guint i = 0; ok && i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (all || rb_clip_find_mark(clip, RB_MARK_SNAP) == NULL) {
            ok = add_clip(search, &finder, clip, error);
        }
    }
    g_free(finder.path);
    return ok ? g_steal_pointer(&search) : NULL;
}

void rb_snap_search_free(RbSnapSearch *search)
{
    if (search != NULL) {
        g_array_unref(search->proposals);
        g_ptr_array_unref(search->paths);
        g_free(search);
    }
}

/* A film that cannot be opened is as good as missing; check says what is wrong with it. */
static bool look_at(RbSnapSearch *search, guint i, RbReel *reel, RbCancel *cancel,
                    RbProgress *progress, GError **error)
{
    RbSnapProposal *proposal = &g_array_index(search->proposals, RbSnapProposal, i);
    RbSnapFound found = { -1, 0 };
    if (reel == NULL) {
        g_clear_pointer(&search->paths->pdata[i], g_free);
        return rb_cancel_check(cancel, error);
    }
    if (!rb_snap_find(reel, proposal->first, proposal->last, &found, cancel, progress,
                      error)) {
        return false;
    }
    proposal->frame = found.frame;
    proposal->sure = found.sure;
    return found.frame < 0 || rb_reel_get_frame_time(reel, found.frame, &proposal->time);
}

bool rb_snap_search_run(RbSnapSearch *search, RbCancel *cancel, RbProgress *progress,
                        GError **error)
{
    const guint n = search->proposals->len;
    RbReel *reel = NULL;
    bool ok = true;
    for (guint i = 0; ok && i < n; i++) {
        const char *path = search->paths->pdata[i];
        if (i == 0 || g_strcmp0(path, search->paths->pdata[i - 1]) != 0) {
            g_clear_pointer(&reel, rb_reel_close);
            reel = path != NULL ? rb_reel_open_wait(path, cancel, 0, NULL, NULL) : NULL;
        }
        RbProgress *part = rb_progress_part(progress, (double)i / n, (double)(i + 1) / n);
        rb_progress_set(part, 0, _("looking for the snap"));
        ok = look_at(search, i, reel, cancel, part, error);
        rb_progress_free(part);
    }
    g_clear_pointer(&reel, rb_reel_close);
    return ok;
}

RbSnapSearch *rb_snap_search_choose(const RbSnapSearch *search, const bool *chosen)
{
    RbSnapSearch *some = search_new();
    for (guint i = 0; i < search->proposals->len; i++) {
        if (chosen[i]) {
            g_array_append_val(some->proposals,
                               g_array_index(search->proposals, RbSnapProposal, i));
            g_ptr_array_add(some->paths, g_strdup(search->paths->pdata[i]));
        }
    }
    return some;
}

bool rb_snap_search_tell_times(RbSnapSearch *search, RbCancel *cancel, GError **error)
{
    for (guint i = 0; i < search->proposals->len; i++) {
        RbSnapProposal *proposal = &g_array_index(search->proposals, RbSnapProposal, i);
        const char *path = search->paths->pdata[i];
        if (!proposal->moved || path == NULL) {
            continue;
        }
        g_autoptr(RbReel) reel = rb_reel_open_wait(path, cancel, 0, NULL, error);
        if (reel == NULL) {
            return false;
        }
        proposal->moved = !rb_reel_get_frame_time(reel, proposal->frame, &proposal->time);
    }
    return true;
}

GArray *rb_library_propose_snap_marks(RbLibrary *library, RbGameId game, bool all,
                                      int *missing, RbCancel *cancel,
                                      RbProgress *progress, GError **error)
{
    g_autoptr(RbSnapSearch) search =
        rb_library_start_snap_search(library, game, all, cancel, error);
    *missing = 0;
    if (search == NULL || !rb_snap_search_run(search, cancel, progress, error)) {
        return NULL;
    }
    for (guint i = 0; i < search->paths->len; i++) {
        *missing += search->paths->pdata[i] == NULL;
    }
    return g_array_ref(search->proposals);
}

static bool save_one(RbStore *store, const RbSnapProposal *proposal, bool *saved,
                     GError **error)
{
    g_autoptr(RbClip) clip = rb_store_load_clip(store, proposal->clip, error);
    *saved = false;
    if (clip == NULL) {
        return false;
    }
    /* Somebody may have set it while the film was looked at. */
    if (rb_clip_find_mark(clip, RB_MARK_SNAP) != NULL) {
        return true;
    }
    const RbMark mark = { .clip = clip->id,
                          .kind = RB_MARK_SNAP,
                          .frame = proposal->frame,
                          .time = proposal->time,
                          .index_version = rb_reel_get_index_version() };
    g_array_append_val(clip->marks, mark);
    *saved = true;
    return rb_store_save_clip(store, clip, error);
}

bool rb_library_save_snap_marks(RbLibrary *library, const GArray *proposals, double least,
                                int *written, GError **error)
{
    *written = 0;
    g_autofree char *words = rb_told("snap marks found in the film accepted");
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    for (guint i = 0; i < proposals->len; i++) {
        const RbSnapProposal *proposal = &g_array_index(proposals, RbSnapProposal, i);
        bool saved = false;
        if (proposal->frame < 0 || proposal->moved || proposal->sure < least ||
            proposal->marked >= 0) {
            continue;
        }
        if (!save_one(rb_library_store(library), proposal, &saved, error)) {
            rb_library_rollback(library);
            return false;
        }
        *written += saved;
    }
    if (*written == 0) {
        rb_library_rollback(library);
        return true;
    }
    return rb_library_commit(library, false, error);
}
