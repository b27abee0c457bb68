/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/model/film.h"
#include "rb/model/game.h"
#include "rb/store/cutups.h"
#include "rb/store/films.h"
#include "rb/store/playbook.h"
#include "rb/store/snaps.h"
#include "rb/store/staff.h"

/* Values for tests: every field drawn from all it may hold, unknown among it. */
RbPerson *make_person(RbRandom *random);
RbTeam *make_team(RbRandom *random);
RbPlayer *make_player(RbRandom *random, RbTeamId team);
RbGame *make_game(RbRandom *random);
RbSnap *make_snap(RbRandom *random, RbGameId game, int number);
RbPenalty make_penalty(RbRandom *random, RbSnapId snap);
RbChart *make_chart(RbRandom *random, RbSnapId snap, RbPersonId author);
/* Draws every tag anew; id, snap and author stay. */
void fill_chart(RbRandom *random, RbChart *chart);
RbFilm *make_film(RbRandom *random, RbGameId game);
RbClip *make_clip(RbRandom *random, RbSnapId snap, RbFilmId film);
RbCutup *make_cutup(RbRandom *random);
RbCutupEntry *make_cutup_entry(RbRandom *random, RbCutupId cutup, RbSnapId snap);
RbTerm *make_term(RbRandom *random);
RbConceptRow *make_concept(RbRandom *random);
int64_t make_id(RbRandom *random);
char *make_text(RbRandom *random);

/* Each fails the test unless all fields are equal. */
void assert_same_snap(const RbSnap *a, const RbSnap *b);
void assert_same_chart(const RbChart *a, const RbChart *b);
void assert_same_clip(const RbClip *a, const RbClip *b);

/* A new library in the test's folder. Returns: (transfer full). */
RbStore *make_store(const char *name);
/* Does one of the things a staff does, drawn at random, as an action of its own; some fail to
 * change anything. A library of a few games and snaps comes about by itself. */
void random_action(RbRandom *random, RbStore *store);

/* Begin and commit, or fail the test. */
void begin(RbStore *store, const char *words);
void commit(RbStore *store);
#define check(call)                                                                      \
    do {                                                                                 \
        GError *error_ = NULL;                                                           \
        const bool done_ = (call);                                                       \
        rb_assert_no_error(error_);                                                      \
        ck_assert(done_);                                                                \
    } while (0)
