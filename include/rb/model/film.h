/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/base/rational.h"
#include "rb/model/ids.h"
#include "rb/model/words.h"

/* A film as the library knows it: by what it is, not by where it lies. */
typedef struct {
    RbFilmId id;       /* from the fingerprint, so that two laptops agree */
    char *title;       /* owned: the file's name when it was added */
    char *fingerprint; /* owned: see rb/film/fingerprint.h */
    int64_t bytes;
    RbAngle angle;
    RbGameId game; /* 0: none yet */
} RbFilm;

/* A frame that a person named: enough to find it again in a remade index. */
typedef struct {
    RbMarkId id;
    RbClipId clip;
    RbMarkKind kind;
    int64_t frame; /* ordinal in display order, from 0 */
    RbTime time;   /* its pts and time base */
    int index_version;
} RbMark;

/* The span of one film that shows one snap. */
typedef struct {
    RbClipId id;
    RbSnapId snap;
    RbFilmId film; /* 0: this angle was not filmed */
    RbAngle angle;
    int64_t first; /* frames, both ends included */
    int64_t last;
    RbTime first_time;
    RbTime last_time;
    RbYesNo cut_early; /* the camera stopped before the end of the play */
    GArray *marks;     /* owned, of RbMark; never NULL */
} RbClip;

RbFilm *rb_film_new(RbFilmId id, const char *title);
void rb_film_free(RbFilm *film);
RbClip *rb_clip_new(RbClipId id, RbSnapId snap, RbFilmId film, RbAngle angle);
void rb_clip_free(RbClip *clip);

/* Returns: (transfer none) (nullable): the mark of that kind. */
const RbMark *rb_clip_find_mark(const RbClip *clip, RbMarkKind kind);

/* True if the mark is on one of two moments of its frame: then its ticks are half the clip's. */
bool rb_mark_is_of_field(const RbClip *clip, const RbMark *mark);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilm, rb_film_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbClip, rb_clip_free)
