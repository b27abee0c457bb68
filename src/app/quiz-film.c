/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quiz-film.h"

struct RbQuizFilm {
    RbDeck *deck; /* owned reference */
    void (*stopped)(void *data);
    void *data;
    int64_t first;
    int64_t last;
    int64_t snap;
    int ms;         /* asked for last */
    int64_t target; /* frame of it; -1: not known yet */
    bool standing;
    bool told; /* of this stop */
};

/* The frame of the stop; -1 while the film's times are not known. */
static int64_t find_target(const RbQuizFilm *film)
{
    if (film->ms == RB_QUIZ_FILM_BEFORE_SNAP) {
        return MAX(film->snap - 1, film->first);
    }
    if (film->ms == RB_QUIZ_FILM_END) {
        return film->last;
    }
    RbProjector *projector = rb_deck_get_projector(film->deck);
    RbReel *reel = projector != NULL ? rb_projector_get_reel(projector) : NULL;
    const int64_t snap = reel != NULL ? rb_reel_get_frame_us(reel, film->snap) : -1;
    if (snap < 0) {
        return -1;
    }
    /* Half a millisecond over, so that rounding never lands on the frame before. */
    const int64_t us = snap + (int64_t)film->ms * 1000 + 500;
    return CLAMP(rb_reel_find_frame_at(reel, us), film->first, film->last);
}

/* A film that cannot be shown stands at once: the question can still be answered. */
static bool is_lost(const RbQuizFilm *film)
{
    RbProjector *projector = rb_deck_get_projector(film->deck);
    return projector == NULL || rb_projector_get_state(projector) == RB_PROJECTOR_FAILED;
}

/* The moment asked about is on the screen: a question must not come while the picture of another
 * moment, or of the snap before, still stands there. A frame that can't be read never comes. */
static bool is_seen(const RbQuizFilm *film)
{
    RbProjector *projector = rb_deck_get_projector(film->deck);
    return rb_projector_get_frame(projector) == rb_deck_get_frame(film->deck) ||
           rb_projector_get_sentence(projector) != NULL;
}

static void stand(RbQuizFilm *film)
{
    film->standing = true;
    if (!film->told) {
        film->told = true;
        film->stopped(film->data);
    }
}

static void start(RbQuizFilm *film)
{
    if (film->target >= 0) {
        return;
    }
    film->target = find_target(film);
    if (film->target < 0) {
        return;
    }
    rb_projector_set_limits(rb_deck_get_projector(film->deck), film->first, film->target);
    if (rb_deck_get_frame(film->deck) < film->target) {
        rb_deck_play(film->deck, 1);
    }
}

static void on_news(RbQuizFilm *film)
{
    if (film->standing) {
        return;
    }
    if (is_lost(film)) {
        stand(film);
        return;
    }
    start(film);
    if (film->target >= 0 && rb_deck_get_speed(film->deck) == 0 &&
        rb_deck_get_frame(film->deck) >= film->target && is_seen(film)) {
        stand(film);
    }
}

RbQuizFilm *rb_quiz_film_new(RbDeck *deck, void (*stopped)(void *data), void *data)
{
    RbQuizFilm *film = g_new0(RbQuizFilm, 1);
    film->deck = g_object_ref(deck);
    film->stopped = stopped;
    film->data = data;
    film->standing = true;
    film->told = true;
    g_signal_connect_swapped(deck, "changed", G_CALLBACK(on_news), film);
    g_signal_connect_swapped(deck, "frame", G_CALLBACK(on_news), film);
    return film;
}

void rb_quiz_film_free(RbQuizFilm *film)
{
    if (film == NULL) {
        return;
    }
    g_signal_handlers_disconnect_by_data(film->deck, film);
    rb_deck_play(film->deck, 0);
    g_object_unref(film->deck);
    g_free(film);
}

void rb_quiz_film_load(RbQuizFilm *film, GPtrArray *clips, GPtrArray *paths)
{
    int best = -1;
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        const char *path = paths->pdata[i];
        if (path[0] != '\0' && rb_clip_find_mark(clip, RB_MARK_SNAP) != NULL &&
            (best < 0 || clip->angle == RB_ANGLE_WIDE)) {
            best = (int)i;
        }
    }
    g_autoptr(GPtrArray) one =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_clip_free);
    g_autoptr(GPtrArray) where = g_ptr_array_new_with_free_func(g_free);
    film->standing = true;
    film->told = true;
    if (best >= 0) {
        /* Without marks: the deck begins at the start of the clip, not on its snap. */
        const RbClip *clip = clips->pdata[best];
        RbClip *plain = rb_clip_new(clip->id, clip->snap, clip->film, clip->angle);
        plain->first = clip->first;
        plain->last = clip->last;
        g_ptr_array_add(one, plain);
        g_ptr_array_add(where, g_strdup(paths->pdata[best]));
        film->first = clip->first;
        film->last = clip->last;
        film->snap = rb_clip_find_mark(clip, RB_MARK_SNAP)->frame;
    }
    rb_deck_set_clips(film->deck, one, where);
    if (best >= 0) {
        rb_deck_show(film->deck, film->first); /* the same snap once more begins anew */
    }
}

void rb_quiz_film_run_to(RbQuizFilm *film, int ms)
{
    film->ms = ms;
    film->target = -1;
    film->standing = false;
    film->told = false;
    on_news(film);
}

void rb_quiz_film_skip(RbQuizFilm *film)
{
    if (is_lost(film) || film->target < 0) {
        return;
    }
    if (film->standing) {
        film->standing = false;
        rb_deck_show(film->deck, film->first);
        rb_deck_play(film->deck, 1);
    } else {
        rb_deck_show(film->deck, film->target);
        on_news(film);
    }
}

bool rb_quiz_film_is_standing(const RbQuizFilm *film)
{
    return film->standing;
}

void rb_quiz_film_stop(RbQuizFilm *film)
{
    film->standing = true;
    film->told = true;
    rb_deck_play(film->deck, 0);
}
