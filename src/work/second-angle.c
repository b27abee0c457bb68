/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/logging.h"

static const RbTime zero = { 0, { 1, 1 } };

/* Of one snap, the last clip that is (or is not) on the film; clips without film are none. */
static const RbClip *find_clip(const GPtrArray *clips, RbSnapId snap, RbFilmId film,
                               bool on_it)
{
    const RbClip *found = NULL;
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->snap.value == snap.value && clip->film.value != 0 &&
            (clip->film.value == film.value) == on_it) {
            found = clip;
        }
    }
    return found;
}

/* The nearest earlier snap that both films show. */
static bool find_before(const GPtrArray *clips, RbSnapId snap, RbFilmId film,
                        RbFilmId like, const RbClip **here, const RbClip **there)
{
    *here = NULL;
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->snap.value == snap.value) {
            break;
        }
        const RbClip *other = clip->film.value == film.value
                                  ? find_clip(clips, clip->snap, like, true)
                                  : NULL;
        if (other != NULL) {
            *here = clip;
            *there = other;
        }
    }
    return *here != NULL;
}

bool rb_guess_clip(const GPtrArray *clips, RbFilmId film, RbSnapId snap,
                   RbClipGuess *guess)
{
    const RbClip *model = find_clip(clips, snap, film, false);
    *guess = (RbClipGuess){ .snap = snap };
    if (model == NULL) {
        return false;
    }
    guess->like = model->film;
    const RbClip *here = NULL;
    const RbClip *there = NULL;
    if (find_before(clips, snap, film, model->film, &here, &there)) {
        /* What lies between two clips is as long on both films: nothing on films that were
         * cut to the plays, the huddle on films that ran. */
        guess->first_us = rb_time_diff_us(here->last_time, zero) +
                          rb_time_diff_us(model->first_time, there->last_time);
    } else {
        guess->first_us = rb_time_diff_us(model->first_time, zero);
    }
    guess->first_us = MAX(guess->first_us, 0);
    guess->last_us =
        guess->first_us + rb_time_diff_us(model->last_time, model->first_time);
    for (guint i = 0; i < model->marks->len; i++) {
        const RbMark *mark = &g_array_index(model->marks, RbMark, i);
        guess->has_mark[mark->kind] = true;
        guess->mark_us[mark->kind] =
            guess->first_us + rb_time_diff_us(mark->time, model->first_time);
    }
    return true;
}

RbSnapId rb_next_unlogged(const GPtrArray *clips, RbFilmId film)
{
    RbSnapId next = { 0 };
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->film.value == film.value) {
            next.value = 0;
        } else if (next.value == 0 && clip->film.value != 0 &&
                   find_clip(clips, clip->snap, film, true) == NULL) {
            next = clip->snap;
        }
    }
    return next;
}
