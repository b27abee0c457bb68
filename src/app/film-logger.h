/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/logging.h"

#include "deck.h"
#include "session.h"

/* Logging the snaps of a whole film by hand: the deck shows a film of the game from its first to
 * its last frame; keys say where clips start and end and where their marks are, and each clip is
 * on disk as soon as its end is given. On the second film the next clip is proposed by the order
 * and the lengths of the first. No widgets. Signal "changed": film, draft, proposal or clips. */
#define RB_TYPE_FILM_LOGGER (rb_film_logger_get_type())
G_DECLARE_FINAL_TYPE(RbFilmLogger, rb_film_logger, RB, FILM_LOGGER, GObject)

/* Both (transfer none): references are taken. */
RbFilmLogger *rb_film_logger_new(RbSession *session, RbDeck *deck);

/* While it is on, the deck is the logger's. */
void rb_film_logger_set_on(RbFilmLogger *logger, bool on);
bool rb_film_logger_is_on(RbFilmLogger *logger);

/* The game's next film, where it was left or at its proposal. */
void rb_film_logger_next_film(RbFilmLogger *logger);
/* To the nearest mark, start or end before (-1) or after (1) the frame shown. */
void rb_film_logger_jump(RbFilmLogger *logger, int direction);
/* To a snap's clip of the film shown. */
void rb_film_logger_go(RbFilmLogger *logger, RbSnapId snap);

/* Each takes the frame shown; false with a sentence when it means nothing there. A clip that is
 * begun gets the marks; its end logs it. mark: false without a sentence when no clip is begun:
 * then it is for the clip that holds the frame. */
bool rb_film_logger_begin(RbFilmLogger *logger, char **sentence);
bool rb_film_logger_end(RbFilmLogger *logger, char **sentence);
bool rb_film_logger_mark(RbFilmLogger *logger, RbMarkKind kind);
/* Logs the clip that is proposed. */
bool rb_film_logger_accept(RbFilmLogger *logger, char **sentence);
/* Gives up a clip that is begun; false: there is none. */
bool rb_film_logger_drop(RbFilmLogger *logger);

/* For showing. All (transfer none) (nullable). */
const RbFilmLog *rb_film_logger_get_log(RbFilmLogger *logger);
const RbFilm *rb_film_logger_get_film(RbFilmLogger *logger);
/* The logged clip that holds the frame shown. */
const RbClip *rb_film_logger_get_clip(RbFilmLogger *logger);
/* Of the clip that is begun: its start, its marks; NULL: not given. */
const RbMoment *rb_film_logger_get_start(RbFilmLogger *logger);
const RbMoment *rb_film_logger_get_mark(RbFilmLogger *logger, RbMarkKind kind);
/* Which snap the next clip of this film is of: the one another film shows; 0: a new one. */
RbSnapId rb_film_logger_get_next(RbFilmLogger *logger);
/* first, last: (out): frames of the proposal. False: there is none. */
bool rb_film_logger_get_proposal(RbFilmLogger *logger, int64_t *first, int64_t *last);
