/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-log-errand.h"

#include <glib/gi18n.h>
#include <inttypes.h>

#include "rb/base/error.h"
#include "rb/film/reel.h"
#include "rb/work/error.h"

RbLogClipAsk *rb_log_clip_ask_new(RbGameId game, const RbFilm *film, RbMoment first,
                                  RbMoment last)
{
    RbLogClipAsk *ask = g_new0(RbLogClipAsk, 1);
    ask->game = game;
    ask->span = (RbLogSpan){ .film = film->id,
                             .angle = film->angle,
                             .first = first,
                             .last = last,
                             .index_version = rb_reel_get_index_version() };
    return ask;
}

void rb_log_clip_ask_mark(RbLogClipAsk *ask, RbMarkKind kind, RbMoment moment)
{
    ask->marks[ask->span.n_marks++] =
        (RbMark){ .kind = kind, .frame = moment.frame, .time = moment.time };
}

/* Keys can come faster than the window reads again: what is next is asked of the library. A
 * proposal taken twice is one clip. */
static bool find_snap(RbLibrary *library, RbLogClipAsk *ask, GError **error)
{
    g_autoptr(RbFilmLog) log = rb_library_load_film_log(library, ask->game, error);
    if (log == NULL) {
        return false;
    }
    const RbSnapId next = rb_next_unlogged(log->clips, ask->span.film);
    if (ask->snap.value != 0 && ask->snap.value != next.value) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                            _("That snap is logged on this film by now."));
    }
    ask->snap = next;
    return true;
}

void *rb_errand_log_clip(RbStoreSide *side, void *data, RbCancel *cancel,
                         RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    RbLogClipAsk *ask = data;
    ask->span.marks = ask->marks;
    RbSnapId logged = { 0 };
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    if (!find_snap(side->library, ask, error) ||
        !rb_library_log_clip(side->library, ask->game, ask->snap, &ask->span, NULL,
                             &logged, error)) {
        return NULL;
    }
    rb_library_has_changed(side->library); /* the window reads again anyway */
    g_autoptr(RbSnap) snap = rb_library_load_snap(side->library, logged, NULL);
    return rb_words_answer_new(g_strdup_printf(
        _("snap %d logged, frames %" PRId64 " to %" PRId64),
        snap != NULL ? snap->number : 0, ask->span.first.frame, ask->span.last.frame));
}
