/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/model/chart.h"
#include "rb/model/game.h"
#include "rb/model/saved-filter.h"
#include "rb/model/snap.h"
#include "rb/model/vocabulary.h"

/* What a library calls its things: an immutable picture of vocabulary, playbook, games and
 * people. Made on the library's thread, then read from any thread; counted atomically. */
typedef struct RbNames RbNames;

/* Takes over the lists (transfer full), each with its own free function: RbTerm, RbConcept,
 * RbGame, RbTeam, RbPlayer, RbPerson. Sorts games by date, then title. Returns: (transfer full). */
RbNames *rb_names_new(GPtrArray *terms, GPtrArray *concepts, GPtrArray *games,
                      GPtrArray *teams, GPtrArray *players, GPtrArray *people);
RbNames *rb_names_ref(const RbNames *names);
void rb_names_unref(RbNames *names); /* NULL is allowed */

/* Borrowed lists, in the order in which a menu shows them. */
/* The same names and a few words more (of RbTerm, copied). Returns: (transfer full). */
RbNames *rb_names_with_terms(const RbNames *names, const GPtrArray *terms);

const GPtrArray *rb_names_terms(const RbNames *names);    /* of RbTerm */
const GPtrArray *rb_names_concepts(const RbNames *names); /* of RbConcept */
const GPtrArray *rb_names_games(const RbNames *names);    /* of RbGame, by date */
const GPtrArray *rb_names_teams(const RbNames *names);    /* of RbTeam */
const GPtrArray *rb_names_players(const RbNames *names);  /* of RbPlayer */
const GPtrArray *rb_names_people(const RbNames *names);   /* of RbPerson: the staff */

/* Each returns: (transfer none) (nullable). */
const RbTerm *rb_names_find_term(const RbNames *names, RbTermId id);
const RbConcept *rb_names_find_concept(const RbNames *names, RbConceptId id);
const RbGame *rb_names_find_game(const RbNames *names, RbGameId id);
const RbTeam *rb_names_find_team(const RbNames *names, RbTeamId id);
const RbPlayer *rb_names_find_player(const RbNames *names, RbPlayerId id);
const RbPerson *rb_names_find_person(const RbNames *names, RbPersonId id);

/* Never NULL: the name, or "?" for an id that is not there (0 included). */
const char *rb_names_term(const RbNames *names, RbTermId id);
const char *rb_names_concept(const RbNames *names, RbConceptId id);
const char *rb_names_game(const RbNames *names, RbGameId id);
/* The same as tokens for files and the command line; "" for an id that is not there. */
const char *rb_names_term_token(const RbNames *names, RbTermId id);
const char *rb_names_concept_token(const RbNames *names, RbConceptId id);

/* The filters kept by name, of RbSavedFilter, by name; none until set. take: (transfer full),
 * before the names are shared. */
const GPtrArray *rb_names_filters(const RbNames *names);
void rb_names_take_filters(RbNames *names, GPtrArray *filters);

/* The staff's footwork table; the defaults until it is set. set: before the names are shared. */
const RbFootwork *rb_names_footwork(const RbNames *names);
void rb_names_set_footwork(RbNames *names, const RbFootwork *footwork);

/* What a person typed, by token, name, id or (games) number in order of date from 1; any case.
 * NULL with a sentence in `error` that names what was read and what there is.
 * Returns: (transfer none). */
const RbTerm *rb_names_parse_term(const RbNames *names, RbTermKind kind, const char *text,
                                  GError **error);
const RbConcept *rb_names_parse_concept(const RbNames *names, const char *text,
                                        GError **error);
const RbGame *rb_names_parse_game(const RbNames *names, const char *text, GError **error);
const RbTeam *rb_names_parse_team(const RbNames *names, const char *text, GError **error);
/* By jersey (of `team` if not 0, else our own team first) or name. */
const RbPlayer *rb_names_parse_player(const RbNames *names, RbTeamId team,
                                      const char *text, GError **error);

/* "12 (Dana Ruiz)" or "12". Returns: (transfer full). */
char *rb_names_player_text(const RbNames *names, RbPlayerId id);
/* "Week 3 at Harbor City, snap 34". Returns: (transfer full). */
char *rb_names_snap_text(const RbNames *names, const RbSnap *snap);
/* The concept or concepts called: "Curl-flat", "Curl-flat / Smash". Returns: (transfer full). */
char *rb_names_call_text(const RbNames *names, const RbCall *call);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbNames, rb_names_unref)
