/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/model/film.h"
#include "rb/work/library.h"

/* Snaps logged on film by hand: which frames of which film show which snap. Each call is one
 * action in the journal, told in words and undone like any other. A call that fails has changed
 * nothing. Frames are ordinals in display order; a moment brings its frame's own time along, so
 * no rate is ever assumed. */

typedef struct {
    int64_t frame;
    RbTime time;
} RbMoment;

/* A span of film that is to become a clip. */
typedef struct {
    RbFilmId film;
    RbAngle angle;
    RbMoment first; /* both ends included */
    RbMoment last;
    const RbMark *marks; /* within the span; their ids and clips are set here */
    int n_marks;
    int index_version;
} RbLogSpan;

/* What a game's films show so far, for logging by hand. */
typedef struct {
    RbGameId game;
    GPtrArray *films; /* owned, of RbFilm: of the game, wide first, then of no game yet */
    GPtrArray *paths; /* owned, of char *, by film; "" where it is not known here */
    GPtrArray *clips; /* owned, of RbClip: of the game, in the order of its snaps */
    GPtrArray *snaps; /* owned, of RbSnap: of the game, in order */
} RbFilmLog;
/* Returns: (transfer full) (nullable): with `error` set. */
RbFilmLog *rb_library_load_film_log(RbLibrary *library, RbGameId game, GError **error);
void rb_film_log_free(RbFilmLog *log); /* NULL is allowed */
/* The clip of that film that holds the frame; of several the one that starts last. Returns:
 * (transfer none) (nullable). Pure. */
const RbClip *rb_film_log_clip_at(const RbFilmLog *log, RbFilmId film, int64_t frame);
/* The number of a snap of the log; 0: it is not there. Pure. */
int rb_film_log_number(const RbFilmLog *log, RbSnapId snap);

/* Logs the span as a clip of the snap; when snap is 0, of a new snap: before the one whose clip
 * comes next on the film, whose number and all later ones go up by one, else after the game's
 * last. A film of no game becomes the game's. clip, logged: (out) (nullable). */
bool rb_library_log_clip(RbLibrary *library, RbGameId game, RbSnapId snap,
                         const RbLogSpan *span, RbClipId *clip, RbSnapId *logged,
                         GError **error);

/* Moves one end of a clip. Refused where a mark would lie outside. */
bool rb_library_set_clip_end(RbLibrary *library, RbClipId clip, bool last,
                             RbMoment moment, GError **error);

/* Cuts a clip in two: `second` becomes the first frame of a new clip, and the frame before it,
 * `end`, the last of the old one. Each mark goes where its frame is. The new clip is of `snap`;
 * of a new snap when it is 0; give the old clip's snap for two clips of one. made: (out)
 * (nullable). */
bool rb_library_split_clip(RbLibrary *library, RbClipId clip, RbMoment end,
                           RbMoment second, RbSnapId snap, RbClipId *made,
                           GError **error);

/* Makes one clip, of the first one's snap, of two of one film, from the earlier first to the
 * later last frame. Where both have a mark, the first one's stands. */
bool rb_library_join_clips(RbLibrary *library, RbClipId clip, RbClipId other,
                           GError **error);

/* Another snap of the same game. */
bool rb_library_move_clip(RbLibrary *library, RbClipId clip, RbSnapId snap,
                          GError **error);
bool rb_library_drop_clip(RbLibrary *library, RbClipId clip, GError **error);

/* The camera stopped before the end of the play, or not. */
bool rb_library_set_cut_early(RbLibrary *library, RbClipId clip, RbYesNo cut,
                              GError **error);
/* Notes that nobody filmed the snap from there, or takes the note back. Refused while there is
 * a clip from there. With wide or tight alone noted so, the snap has one angle only. */
bool rb_library_set_not_filmed(RbLibrary *library, RbSnapId snap, RbAngle angle,
                               bool not_filmed, GError **error);

/* Where the snap should be on the other film: as long after that film's clip of the snap before
 * as it is on the film where both are logged, and as long; marks as long after the snap mark.
 * Times, because the second camera need not run at the first one's rate. */
typedef struct {
    RbSnapId snap;
    RbFilmId like;    /* the film it was taken from */
    int64_t first_us; /* from the start of the film */
    int64_t last_us;
    bool has_mark[RB_MARK_END + 1];
    int64_t mark_us[RB_MARK_END + 1];
} RbClipGuess;

/* clips: of RbClip, of one game, in the order of its snaps; film: the one to be logged; snap: which
 * to look for. Nothing is guessed (false) where no other film shows the snap. With no snap before it on
 * `film`, the same place from the start. Pure. */
bool rb_guess_clip(const GPtrArray *clips, RbFilmId film, RbSnapId snap,
                   RbClipGuess *guess);
/* The first snap of the game that another film shows and `film` does not, after the last one
 * that it does. 0: none. Pure. */
RbSnapId rb_next_unlogged(const GPtrArray *clips, RbFilmId film);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilmLog, rb_film_log_free)
