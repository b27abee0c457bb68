/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/error.h"
#include "rb/film/frames.h"
#include "rb/store/films.h"
#include "rb/work/films.h"

#include "library-private.h"
#include "reports-private.h"

enum { STILL_WIDTH = 640, STILL_HEIGHT = 360 };

struct RbStills {
    GHashTable *clips; /* owned: snap id to its RbClip in `list` */
    GPtrArray *list;   /* owned, of RbClip */
    GHashTable *paths; /* owned: film id to char *, of films that were found */
    /* The reel opened last: the frames of a page are often of one film. */
    RbReel *reel; /* owned, nullable */
    RbFilmId film;
};

static bool find_paths(RbStills *stills, RbLibrary *library, RbCancel *cancel,
                       GError **error)
{
    g_autoptr(GPtrArray) films =
        rb_store_list_films(rb_library_store(library), (RbGameId){ 0 }, error);
    if (films == NULL) {
        return false;
    }
    for (guint i = 0; i < films->len; i++) {
        const RbFilm *film = films->pdata[i];
        RbFilmStand stand = RB_FILM_MISSING;
        char *path = NULL;
        if (!rb_library_find_film(library, film->id, NULL, &stand, &path, cancel,
                                  error)) {
            return false;
        }
        if (path != NULL && (stand == RB_FILM_FOUND || stand == RB_FILM_MOVED)) {
            int64_t *key = g_new(int64_t, 1);
            *key = film->id.value;
            g_hash_table_insert(stills->paths, key, g_steal_pointer(&path));
        }
        g_free(path);
    }
    return true;
}

/* The first clip of each snap that has film: the wide angle where there is one. */
static void index_clips(RbStills *stills)
{
    for (guint i = 0; i < stills->list->len; i++) {
        RbClip *clip = stills->list->pdata[i];
        if (clip->film.value != 0 &&
            !g_hash_table_contains(stills->clips, &clip->snap.value)) {
            g_hash_table_insert(stills->clips, &clip->snap.value, clip);
        }
    }
}

RbStills *rb_stills_load(RbLibrary *library, RbCancel *cancel, GError **error)
{
    g_autoptr(RbStills) stills = g_new0(RbStills, 1);
    stills->clips = g_hash_table_new(g_int64_hash, g_int64_equal);
    stills->paths = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
    stills->list =
        rb_store_list_game_clips(rb_library_store(library), (RbGameId){ 0 }, error);
    if (stills->list == NULL || !find_paths(stills, library, cancel, error)) {
        return NULL;
    }
    index_clips(stills);
    return g_steal_pointer(&stills);
}

void rb_stills_free(RbStills *stills)
{
    if (stills == NULL) {
        return;
    }
    g_clear_pointer(&stills->reel, rb_reel_close);
    g_hash_table_unref(stills->clips);
    g_hash_table_unref(stills->paths);
    g_clear_pointer(&stills->list, g_ptr_array_unref);
    g_free(stills);
}

int rb_still_moment_ms(const RbSnapshot *snapshot, RbSnapId snap)
{
    enum { COMMON_MS = 2000 }; /* a dropback without any time of its own */
    const RbJudgment *judgment = rb_snapshot_find_judgment(snapshot, snap);
    const RbChart *chart = rb_snapshot_find_chart(snapshot, snap);
    for (int i = 0; judgment != NULL && i < judgment->order.n; i++) {
        const RbRung *rung = &judgment->order.rungs[i];
        if (rung->slot == judgment->stage_read && rung->clock_ms >= 0) {
            return rung->clock_ms;
        }
    }
    return chart != NULL && chart->release_ms >= 0 ? chart->release_ms : COMMON_MS;
}

static bool open_reel(RbStills *stills, RbFilmId film, RbCancel *cancel, GError **error)
{
    if (stills->reel != NULL && stills->film.value == film.value) {
        return true;
    }
    const char *path = g_hash_table_lookup(stills->paths, &film.value);
    g_clear_pointer(&stills->reel, rb_reel_close);
    stills->film = film;
    stills->reel = path != NULL ? rb_reel_open_wait(path, cancel, 0, NULL, error) : NULL;
    return stills->reel != NULL;
}

/* Of the clip: from its snap mark, else from the middle; never outside the clip. */
static int64_t frame_of(const RbStills *stills, const RbClip *clip, int moment_ms)
{
    const RbMark *snap = rb_clip_find_mark(clip, RB_MARK_SNAP);
    if (snap == NULL) {
        return clip->first + (clip->last - clip->first) / 2;
    }
    const int64_t start_us = rb_reel_get_frame_us(stills->reel, snap->frame);
    const int64_t frame =
        start_us >= 0
            ? rb_reel_find_frame_at(stills->reel, start_us + (int64_t)moment_ms * 1000)
            : snap->frame;
    return CLAMP(frame, clip->first, clip->last);
}

RbPicture *rb_stills_fetch(RbStills *stills, const RbSnapshot *snapshot, RbSnapId snap,
                           RbCancel *cancel, GError **error)
{
    const RbClip *clip = g_hash_table_lookup(stills->clips, &snap.value);
    g_autoptr(GError) failure = NULL;
    RbPicture *picture = NULL;
    if (clip != NULL && open_reel(stills, clip->film, cancel, &failure)) {
        const RbFrameOptions options = { .max_width = STILL_WIDTH,
                                         .max_height = STILL_HEIGHT };
        const int64_t frame = frame_of(stills, clip, rb_still_moment_ms(snapshot, snap));
        picture = rb_reel_wait_frame(stills->reel, frame, &options, cancel, 0, &failure);
    }
    if (failure != NULL &&
        g_error_matches(failure, RB_BASE_ERROR, RB_BASE_ERROR_CANCELLED)) {
        g_propagate_error(error, g_steal_pointer(&failure));
    }
    return picture;
}
