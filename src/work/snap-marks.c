/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/snap-marks.h"

#include <glib/gi18n-lib.h>

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

/* The film that clips in a row are of. */
typedef struct {
    RbFilmId film;
    RbReel *reel; /* owned, nullable: it is not in its place */
} Open;

/* Returns false only for what stops the whole job. */
static bool turn_to(Open *open, RbLibrary *library, RbFilmId film, RbCancel *cancel,
                    GError **error)
{
    if (open->film.value == film.value) {
        return true;
    }
    g_clear_pointer(&open->reel, rb_reel_close);
    open->film = film;
    RbFilmStand stand = RB_FILM_MISSING;
    g_autofree char *path = NULL;
    if (film.value == 0) {
        return true;
    }
    if (!rb_library_find_film(library, film, NULL, &stand, &path, cancel, error)) {
        return false;
    }
    /* A film that cannot be opened is as good as missing; check says what is wrong with it. */
    open->reel = path != NULL ? rb_reel_open_wait(path, cancel, 0, NULL, NULL) : NULL;
    return rb_cancel_check(cancel, error);
}

static bool propose(RbLibrary *library, const RbClip *clip, RbReel *reel,
                    RbSnapProposal *proposal, RbCancel *cancel, RbProgress *progress,
                    GError **error)
{
    const RbMark *mark = rb_clip_find_mark(clip, RB_MARK_SNAP);
    g_autoptr(RbSnap) snap = rb_library_load_snap(library, clip->snap, error);
    RbSnapFound found;
    if (snap == NULL) {
        return false;
    }
    *proposal = (RbSnapProposal){ .clip = clip->id,
                                  .snap = clip->snap,
                                  .number = snap->number,
                                  .angle = clip->angle,
                                  .frame = -1,
                                  .marked = mark != NULL ? mark->frame : -1 };
    if (reel == NULL) {
        return true;
    }
    if (!rb_snap_find(reel, clip->first, clip->last, &found, cancel, progress, error)) {
        return false;
    }
    proposal->frame = found.frame;
    proposal->sure = found.sure;
    return found.frame < 0 || rb_reel_get_frame_time(reel, found.frame, &proposal->time);
}

GArray *rb_library_propose_snap_marks(RbLibrary *library, RbGameId game, bool all,
                                      int *missing, RbCancel *cancel,
                                      RbProgress *progress, GError **error)
{
    g_autoptr(GPtrArray) clips =
        rb_store_list_game_clips(rb_library_store(library), game, error);
    if (clips == NULL) {
        return NULL;
    }
    g_autoptr(GArray) proposals = g_array_new(FALSE, FALSE, sizeof(RbSnapProposal));
    Open open = { .film = { 0 } };
    bool ok = true;
    *missing = 0;
    g_ptr_array_sort(clips, compare_clips);
    for (guint i = 0; ok && i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        RbSnapProposal proposal;
        if (!all && rb_clip_find_mark(clip, RB_MARK_SNAP) != NULL) {
            continue;
        }
        RbProgress *part = rb_progress_part(progress, (double)i / clips->len,
                                            (double)(i + 1) / clips->len);
        ok = turn_to(&open, library, clip->film, cancel, error) &&
             propose(library, clip, open.reel, &proposal, cancel, part, error);
        rb_progress_free(part);
        if (ok) {
            *missing += open.reel == NULL;
            g_array_append_val(proposals, proposal);
        }
    }
    g_clear_pointer(&open.reel, rb_reel_close);
    return ok ? g_steal_pointer(&proposals) : NULL;
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
    if (!rb_library_begin(library, _("snap marks found in the film accepted"), error)) {
        return false;
    }
    for (guint i = 0; i < proposals->len; i++) {
        const RbSnapProposal *proposal = &g_array_index(proposals, RbSnapProposal, i);
        bool saved = false;
        if (proposal->frame < 0 || proposal->sure < least || proposal->marked >= 0) {
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
