/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/film.h"

RbFilm *rb_film_new(RbFilmId id, const char *title)
{
    RbFilm *film = g_new0(RbFilm, 1);
    film->id = id;
    film->title = g_strdup(title);
    return film;
}

void rb_film_free(RbFilm *film)
{
    if (film == NULL) {
        return;
    }
    g_free(film->title);
    g_free(film->fingerprint);
    g_free(film);
}

RbClip *rb_clip_new(RbClipId id, RbSnapId snap, RbFilmId film, RbAngle angle)
{
    RbClip *clip = g_new0(RbClip, 1);
    clip->id = id;
    clip->snap = snap;
    clip->film = film;
    clip->angle = angle;
    clip->marks = g_array_new(FALSE, FALSE, sizeof(RbMark));
    return clip;
}

void rb_clip_free(RbClip *clip)
{
    if (clip == NULL) {
        return;
    }
    g_array_unref(clip->marks);
    g_free(clip);
}

bool rb_mark_is_of_field(const RbClip *clip, const RbMark *mark)
{
    const RbRational whole = clip->first_time.base;
    const RbRational own = mark->time.base;
    return whole.num > 0 && own.num == whole.num && own.den == 2 * (int64_t)whole.den;
}

const RbMark *rb_clip_find_mark(const RbClip *clip, RbMarkKind kind)
{
    for (guint i = 0; i < clip->marks->len; i++) {
        const RbMark *mark = &g_array_index(clip->marks, RbMark, i);
        if (mark->kind == kind) {
            return mark;
        }
    }
    return NULL;
}
