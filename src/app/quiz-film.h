/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "deck.h"

/* Plays the film of a snap from stop to stop, and nothing behind the next stop can be seen before
 * it is time. No widgets. */
typedef struct RbQuizFilm RbQuizFilm;

enum { RB_QUIZ_FILM_BEFORE_SNAP = -1, RB_QUIZ_FILM_END = G_MAXINT };

/* stopped: the film stands at the stop, once for each rb_quiz_film_run_to(). */
RbQuizFilm *rb_quiz_film_new(RbDeck *deck, void (*stopped)(void *data), void *data);
void rb_quiz_film_free(RbQuizFilm *film); /* NULL is allowed */

/* The clip with a snap mark, the wide one rather than another. clips: of RbClip; paths: of char *,
 * by clip, "" unknown; both (transfer none). */
void rb_quiz_film_load(RbQuizFilm *film, GPtrArray *clips, GPtrArray *paths);
/* ms: after the snap, or one of the two above. */
void rb_quiz_film_run_to(RbQuizFilm *film, int ms);
/* While it runs: at once to the stop. While it stands: once more from the start to the stop. */
void rb_quiz_film_skip(RbQuizFilm *film);
bool rb_quiz_film_is_standing(const RbQuizFilm *film);
void rb_quiz_film_stop(RbQuizFilm *film);
