/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/logging.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/work/error.h"
#include "rb/work/snapshot.h"

#include "library-private.h"

/* What one action writes. All borrowed. */
typedef struct {
    const GPtrArray *snaps; /* nullable: of RbSnap that are new or have moved up */
    const RbFilm *film;     /* nullable: it belongs to the game now */
    const RbClip *clip;     /* nullable */
    const RbClip *other;
    RbClipId dropped; /* 0: none */
} Change;

static bool refuse(GError **error, const char *sentence)
{
    return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, _("%s"), sentence);
}

static bool save_snaps(RbStore *store, const GPtrArray *snaps, GError **error)
{
    for (guint i = 0; snaps != NULL && i < snaps->len; i++) {
        if (!rb_store_save_snap(store, snaps->pdata[i], error)) {
            return false;
        }
    }
    return true;
}

static bool write_change(RbLibrary *library, const Change *change, const char *words,
                         GError **error)
{
    RbStore *store = rb_library_store(library);
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    if (!save_snaps(store, change->snaps, error) ||
        (change->film != NULL && !rb_store_save_film(store, change->film, error)) ||
        (change->clip != NULL && !rb_store_save_clip(store, change->clip, error)) ||
        (change->other != NULL && !rb_store_save_clip(store, change->other, error)) ||
        (change->dropped.value != 0 &&
         !rb_store_remove_clip(store, change->dropped, error))) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, false, error);
}

static RbClip *load_clip(RbLibrary *library, RbClipId id, GError **error)
{
    GError *failure = NULL;
    RbClip *clip = rb_store_load_clip(rb_library_store(library), id, &failure);
    if (clip == NULL) {
        rb_library_not_found(error, failure,
                             _("There is no such clip any more; choose another."));
    }
    return clip;
}

/* Returns: told (transfer full). */
static char *tell_angle(RbAngle angle)
{
    switch (angle) {
    case RB_ANGLE_WIDE:
        return rb_told_in("angle", "wide");
    case RB_ANGLE_TIGHT:
        return rb_told_in("angle", "tight");
    case RB_ANGLE_OTHER:
        break;
    }
    return rb_told_in("angle", "other");
}

/* "snap 12 (Week 2 at Quillbrook)" with the words before it. told: taken. Returns: told (transfer
 * full). */
static char *tell(RbLibrary *library, const RbSnap *snap, char *told)
{
    g_autofree char *what = told;
    g_autoptr(RbNames) names = rb_library_load_names(library, NULL);
    const char *game = names != NULL ? rb_names_game(names, snap->game) : "";
    return rb_told("%s snap %d (%s)", what, snap->number, game);
}

/* The snap before which one that starts at the span belongs: its clip comes next on the same
 * film. 0: there is none. */
static RbSnapId find_next(const GPtrArray *clips, const RbLogSpan *span)
{
    const RbClip *next = NULL;
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->film.value == span->film.value && clip->first > span->first.frame &&
            (next == NULL || clip->first < next->first)) {
            next = clip;
        }
    }
    return next != NULL ? next->snap : (RbSnapId){ 0 };
}

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

/* A new snap, and behind it those that go up by one to make room: before the snap `next`; 0: after
 * the game's last. Returns: (transfer full) (nullable): of RbSnap. */
static GPtrArray *new_snap(RbLibrary *library, RbGameId game, RbSnapId next,
                           GError **error)
{
    g_autoptr(GPtrArray) snaps =
        rb_store_list_snaps(rb_library_store(library), game, error);
    if (snaps == NULL) {
        return NULL;
    }
    int number = 1;
    bool behind = false;
    g_autoptr(GPtrArray) written = g_ptr_array_new_with_free_func(free_snap);
    for (guint i = 0; i < snaps->len; i++) {
        RbSnap *snap = snaps->pdata[i];
        if (snap->id.value == next.value) {
            behind = true;
            number = snap->number;
        }
        if (behind) {
            snap->number++;
            g_ptr_array_add(written, rb_snap_copy(snap));
        } else if (snap->number >= number) {
            number = snap->number + 1;
        }
    }
    g_ptr_array_insert(written, 0,
                       rb_snap_new((RbSnapId){ rb_id_random() }, game, number));
    return g_steal_pointer(&written);
}

static RbSnap *refuse_other_game(GError **error)
{
    refuse(error, _("That snap is of another game; choose one of the clip's own game."));
    return NULL;
}

/* The snap of that id, or, for 0, a new one before `next`. made: (out) (transfer full)
 * (nullable): what has to be written with it. Returns: (transfer full) (nullable). */
static RbSnap *snap_for(RbLibrary *library, RbSnapId id, RbGameId game, RbSnapId next,
                        GPtrArray **made, GError **error)
{
    if (id.value == 0) {
        *made = new_snap(library, game, next, error);
        return *made != NULL ? rb_snap_copy((*made)->pdata[0]) : NULL;
    }
    g_autoptr(RbSnap) snap = rb_library_load_snap(library, id, error);
    return snap == NULL || snap->game.value == game.value ? g_steal_pointer(&snap)
                                                          : refuse_other_game(error);
}

static bool check_span(RbMoment first, RbMoment last, GError **error)
{
    return (first.frame >= 0 && first.frame <= last.frame &&
            rb_time_compare(first.time, last.time) <= 0) ||
           refuse(error,
                  _("A clip ends before it begins; mark its start before its end."));
}

static bool check_marks(const RbClip *clip, GError **error)
{
    for (guint i = 0; i < clip->marks->len; i++) {
        const RbMark *mark = &g_array_index(clip->marks, RbMark, i);
        if (mark->frame < clip->first || mark->frame > clip->last) {
            g_autofree char *kind =
                g_utf8_strdown(rb_words_label(&rb_mark_words, (int)mark->kind), -1);
            return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                                _("The mark \"%s\" at frame %" PRId64
                                  " would lie outside the clip; move the mark first."),
                                kind, mark->frame);
        }
    }
    return true;
}

static void set_first(RbClip *clip, RbMoment moment)
{
    clip->first = moment.frame;
    clip->first_time = moment.time;
}

static void set_last(RbClip *clip, RbMoment moment)
{
    clip->last = moment.frame;
    clip->last_time = moment.time;
}

static void add_mark(RbClip *clip, const RbMark *mark, int index_version)
{
    RbMark own = *mark;
    own.id.value = 0;
    own.clip = clip->id;
    own.index_version = index_version;
    g_array_append_val(clip->marks, own);
}

static RbSnap *snap_for_span(RbLibrary *library, RbSnapId id, RbGameId game,
                             const RbLogSpan *span, GPtrArray **made, GError **error)
{
    if (!check_span(span->first, span->last, error)) {
        return NULL;
    }
    g_autoptr(GPtrArray) clips =
        rb_store_list_game_clips(rb_library_store(library), game, error);
    return clips != NULL
               ? snap_for(library, id, game, find_next(clips, span), made, error)
               : NULL;
}

static RbClip *clip_of_span(RbSnapId snap, const RbLogSpan *span)
{
    RbClip *clip =
        rb_clip_new((RbClipId){ rb_id_random() }, snap, span->film, span->angle);
    set_first(clip, span->first);
    set_last(clip, span->last);
    for (int i = 0; i < span->n_marks; i++) {
        add_mark(clip, &span->marks[i], span->index_version);
    }
    return clip;
}

bool rb_library_log_clip(RbLibrary *library, RbGameId game, RbSnapId snap_id,
                         const RbLogSpan *span, RbClipId *clip_id, RbSnapId *logged,
                         GError **error)
{
    g_autoptr(GPtrArray) made = NULL;
    g_autoptr(RbFilm) film =
        rb_store_load_film(rb_library_store(library), span->film, error);
    g_autoptr(RbSnap) snap =
        film != NULL ? snap_for_span(library, snap_id, game, span, &made, error) : NULL;
    if (snap == NULL) {
        return false;
    }
    const bool is_free = film->game.value == 0;
    film->game = is_free ? game : film->game;
    g_autoptr(RbClip) clip = clip_of_span(snap->id, span);
    g_autofree char *words =
        tell(library, snap,
             rb_told("frames %" PRId64 " to %" PRId64 " of %s logged as", clip->first,
                     clip->last, film->title));
    const Change change = { .snaps = made, .film = is_free ? film : NULL, .clip = clip };
    if (!check_marks(clip, error) || !write_change(library, &change, words, error)) {
        return false;
    }
    if (clip_id != NULL) {
        *clip_id = clip->id;
    }
    if (logged != NULL) {
        *logged = snap->id;
    }
    return true;
}

/* The clip and its snap, for a change of it. */
static RbClip *load_both(RbLibrary *library, RbClipId id, RbSnap **snap, GError **error)
{
    g_autoptr(RbClip) clip = load_clip(library, id, error);
    *snap = clip != NULL ? rb_library_load_snap(library, clip->snap, error) : NULL;
    return *snap != NULL ? g_steal_pointer(&clip) : NULL;
}

bool rb_library_set_clip_end(RbLibrary *library, RbClipId id, bool last, RbMoment moment,
                             GError **error)
{
    g_autoptr(RbSnap) snap = NULL;
    g_autoptr(RbClip) clip = load_both(library, id, &snap, error);
    if (clip == NULL) {
        return false;
    }
    (last ? set_last : set_first)(clip, moment);
    const RbMoment from = { clip->first, clip->first_time };
    const RbMoment to = { clip->last, clip->last_time };
    if (!check_span(from, to, error) || !check_marks(clip, error)) {
        return false;
    }
    g_autofree char *which =
        last ? rb_told_in("of a clip", "end") : rb_told_in("of a clip", "start");
    g_autofree char *words =
        tell(library, snap,
             rb_told("%s set at frame %" PRId64 " for the clip of", which, moment.frame));
    return write_change(library, &(Change){ .clip = clip }, words, error);
}

static void move_marks(RbClip *from, RbClip *to)
{
    for (guint i = from->marks->len; i-- > 0;) {
        const RbMark mark = g_array_index(from->marks, RbMark, i);
        if (mark.frame >= to->first) {
            add_mark(to, &mark, mark.index_version);
            g_array_remove_index(from->marks, i);
        }
    }
}

bool rb_library_split_clip(RbLibrary *library, RbClipId id, RbMoment end, RbMoment second,
                           RbSnapId snap_id, RbClipId *made_clip, GError **error)
{
    g_autoptr(GPtrArray) made = NULL;
    g_autoptr(RbSnap) old = NULL;
    g_autoptr(RbClip) clip = load_both(library, id, &old, error);
    const RbLogSpan rest_span = { .film = clip != NULL ? clip->film : (RbFilmId){ 0 },
                                  .first = second,
                                  .last = second };
    g_autoptr(RbSnap) snap = clip != NULL ? snap_for_span(library, snap_id, old->game,
                                                          &rest_span, &made, error)
                                          : NULL;
    if (snap == NULL) {
        return false;
    }
    if (end.frame < clip->first || second.frame != end.frame + 1 ||
        second.frame > clip->last) {
        return refuse(error,
                      _("A clip is split between two of its own frames; show the first "
                        "frame of the second part."));
    }
    g_autoptr(RbClip) rest =
        rb_clip_new((RbClipId){ rb_id_random() }, snap->id, clip->film, clip->angle);
    set_first(rest, second);
    set_last(rest, (RbMoment){ clip->last, clip->last_time });
    rest->cut_early = clip->cut_early;
    clip->cut_early = RB_YES_NO_UNKNOWN;
    set_last(clip, end);
    move_marks(clip, rest);
    g_autofree char *words =
        tell(library, snap,
             rb_told("clip split at frame %" PRId64 ", the rest is of", second.frame));
    const Change change = { .snaps = made, .clip = clip, .other = rest };
    if (!write_change(library, &change, words, error)) {
        return false;
    }
    if (made_clip != NULL) {
        *made_clip = rest->id;
    }
    return true;
}

bool rb_library_join_clips(RbLibrary *library, RbClipId id, RbClipId other_id,
                           GError **error)
{
    g_autoptr(RbSnap) snap = NULL;
    g_autoptr(RbClip) clip = load_both(library, id, &snap, error);
    g_autoptr(RbClip) other = clip != NULL ? load_clip(library, other_id, error) : NULL;
    if (other == NULL) {
        return false;
    }
    if (id.value == other_id.value || clip->film.value == 0 ||
        clip->film.value != other->film.value) {
        return refuse(error,
                      _("Only two clips of one film can be joined; choose another."));
    }
    if (other->first < clip->first) {
        set_first(clip, (RbMoment){ other->first, other->first_time });
    }
    if (other->last > clip->last) {
        set_last(clip, (RbMoment){ other->last, other->last_time });
        clip->cut_early = other->cut_early;
    }
    for (guint i = 0; i < other->marks->len; i++) {
        const RbMark *mark = &g_array_index(other->marks, RbMark, i);
        if (rb_clip_find_mark(clip, mark->kind) == NULL) {
            add_mark(clip, mark, mark->index_version);
        }
    }
    g_autofree char *words = tell(library, snap, rb_told("two clips joined for"));
    g_array_set_size(other->marks, 0); /* a clip that goes takes its marks along */
    const Change change = { .clip = clip, .other = other, .dropped = other_id };
    return write_change(library, &change, words, error);
}

bool rb_library_move_clip(RbLibrary *library, RbClipId id, RbSnapId snap_id,
                          GError **error)
{
    g_autoptr(GPtrArray) made = NULL;
    g_autoptr(RbSnap) old = NULL;
    g_autoptr(RbClip) clip = load_both(library, id, &old, error);
    g_autoptr(RbSnap) snap = clip != NULL ? snap_for(library, snap_id, old->game,
                                                     (RbSnapId){ 0 }, &made, error)
                                          : NULL;
    if (snap == NULL) {
        return false;
    }
    if (snap->id.value == old->id.value) {
        return true;
    }
    clip->snap = snap->id;
    g_autofree char *words =
        tell(library, snap, rb_told("clip moved from snap %d to", old->number));
    const Change change = { .snaps = made, .clip = clip };
    return write_change(library, &change, words, error);
}

bool rb_library_drop_clip(RbLibrary *library, RbClipId id, GError **error)
{
    g_autoptr(RbSnap) snap = NULL;
    g_autoptr(RbClip) clip = load_both(library, id, &snap, error);
    if (clip == NULL) {
        return false;
    }
    g_autofree char *words = tell(library, snap, rb_told("clip removed from"));
    g_array_set_size(clip->marks, 0);
    return write_change(library, &(Change){ .clip = clip, .dropped = id }, words, error);
}

bool rb_library_set_cut_early(RbLibrary *library, RbClipId id, RbYesNo cut,
                              GError **error)
{
    g_autoptr(RbSnap) snap = NULL;
    g_autoptr(RbClip) clip = load_both(library, id, &snap, error);
    if (clip == NULL || clip->cut_early == cut) {
        return clip != NULL;
    }
    clip->cut_early = cut;
    g_autofree char *what =
        cut == RB_YES ? rb_told("cut early") : rb_told("not cut early");
    g_autofree char *which = tell_angle(clip->angle);
    g_autofree char *words =
        tell(library, snap, rb_told("%s noted for the %s clip of", what, which));
    return write_change(library, &(Change){ .clip = clip }, words, error);
}

bool rb_library_set_not_filmed(RbLibrary *library, RbSnapId id, RbAngle angle,
                               bool not_filmed, GError **error)
{
    g_autoptr(RbSnap) snap = rb_library_load_snap(library, id, error);
    g_autoptr(GPtrArray) clips =
        snap != NULL ? rb_store_list_clips(rb_library_store(library), id, error) : NULL;
    if (clips == NULL) {
        return false;
    }
    const RbClip *note = NULL;
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->angle == angle && clip->film.value != 0 && not_filmed) {
            return refuse(error,
                          _("There is a clip of the snap from there; remove or move it "
                            "before saying that it was not filmed."));
        }
        note = clip->angle == angle && clip->film.value == 0 ? clip : note;
    }
    if ((note != NULL) == not_filmed) {
        return true;
    }
    g_autoptr(RbClip) made =
        rb_clip_new((RbClipId){ rb_id_random() }, id, (RbFilmId){ 0 }, angle);
    g_autofree char *what = not_filmed ? rb_told("not filmed") : rb_told("filmed");
    g_autofree char *which = tell_angle(angle);
    g_autofree char *words =
        tell(library, snap, rb_told("%s noted for the %s angle of", what, which));
    const Change change = { .clip = not_filmed ? made : NULL,
                            .dropped = not_filmed ? (RbClipId){ 0 } : note->id };
    return write_change(library, &change, words, error);
}
