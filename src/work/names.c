/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/names.h"

#include <glib/gi18n-lib.h>
#include <stdatomic.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"

struct RbNames {
    atomic_int refs;
    GPtrArray *terms;    /* owned, of RbTerm */
    GPtrArray *concepts; /* owned, of RbConcept */
    GPtrArray *games;    /* owned, of RbGame */
    GHashTable
        *game_of; /* owned reference: id (in the game) to it: there can be thousands */
    GPtrArray *teams;   /* owned, of RbTeam */
    GPtrArray *players; /* owned, of RbPlayer */
    GPtrArray *people;  /* owned, of RbPerson */
    GPtrArray *filters; /* owned, of RbSavedFilter */
    RbFootwork footwork;
};

static int compare_games(const void *a, const void *b)
{
    const RbGame *one = *(const RbGame *const *)a;
    const RbGame *other = *(const RbGame *const *)b;
    const int by_date = g_strcmp0(one->played_on, other->played_on);
    const int by_title = g_strcmp0(one->title, other->title);
    const int by_id =
        (one->id.value > other->id.value) - (one->id.value < other->id.value);
    return by_date != 0 ? by_date : by_title != 0 ? by_title : by_id;
}

static GHashTable *index_games(const GPtrArray *games)
{
    GHashTable *index = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < games->len; i++) {
        RbGame *game = games->pdata[i];
        g_hash_table_insert(index, &game->id.value, game);
    }
    return index;
}

RbNames *rb_names_new(GPtrArray *terms, GPtrArray *concepts, GPtrArray *games,
                      GPtrArray *teams, GPtrArray *players, GPtrArray *people)
{
    RbNames *names = g_new0(RbNames, 1);
    atomic_init(&names->refs, 1);
    names->terms = terms;
    names->concepts = concepts;
    names->games = games;
    names->teams = teams;
    names->players = players;
    names->people = people;
    names->filters = g_ptr_array_new();
    names->footwork = *rb_footwork_defaults();
    g_ptr_array_sort(games, compare_games);
    names->game_of = index_games(games);
    return names;
}

static void free_term(void *term)
{
    rb_term_free(term);
}

RbNames *rb_names_with_terms(const RbNames *names, const GPtrArray *terms)
{
    RbNames *more = g_memdup2(names, sizeof *names);
    atomic_init(&more->refs, 1);
    more->terms = g_ptr_array_new_with_free_func(free_term);
    const GPtrArray *const both[] = { names->terms, terms };
    for (size_t i = 0; i < G_N_ELEMENTS(both); i++) {
        for (guint j = 0; j < both[i]->len; j++) {
            g_ptr_array_add(more->terms, rb_term_copy(both[i]->pdata[j]));
        }
    }
    g_ptr_array_ref(more->concepts);
    g_ptr_array_ref(more->games);
    g_hash_table_ref(more->game_of);
    g_ptr_array_ref(more->teams);
    g_ptr_array_ref(more->players);
    g_ptr_array_ref(more->people);
    g_ptr_array_ref(more->filters);
    return more;
}

RbNames *rb_names_ref(const RbNames *names)
{
    /* The count is the one part of the object that changes. */
    RbNames *mine = (RbNames *)names;
    atomic_fetch_add_explicit(&mine->refs, 1, memory_order_relaxed);
    return mine;
}

void rb_names_unref(RbNames *names)
{
    if (names == NULL ||
        atomic_fetch_sub_explicit(&names->refs, 1, memory_order_acq_rel) > 1) {
        return;
    }
    g_ptr_array_unref(names->terms);
    g_ptr_array_unref(names->concepts);
    g_hash_table_unref(names->game_of);
    g_ptr_array_unref(names->games);
    g_ptr_array_unref(names->teams);
    g_ptr_array_unref(names->players);
    g_ptr_array_unref(names->people);
    g_ptr_array_unref(names->filters);
    g_free(names);
}

const GPtrArray *rb_names_terms(const RbNames *names)
{
    return names->terms;
}

const GPtrArray *rb_names_concepts(const RbNames *names)
{
    return names->concepts;
}

const GPtrArray *rb_names_games(const RbNames *names)
{
    return names->games;
}

const GPtrArray *rb_names_teams(const RbNames *names)
{
    return names->teams;
}

const GPtrArray *rb_names_players(const RbNames *names)
{
    return names->players;
}

const GPtrArray *rb_names_people(const RbNames *names)
{
    return names->people;
}

const GPtrArray *rb_names_filters(const RbNames *names)
{
    return names->filters;
}

void rb_names_take_filters(RbNames *names, GPtrArray *filters)
{
    g_ptr_array_unref(names->filters);
    names->filters = filters;
}

const RbFootwork *rb_names_footwork(const RbNames *names)
{
    return &names->footwork;
}

void rb_names_set_footwork(RbNames *names, const RbFootwork *footwork)
{
    names->footwork = *footwork;
}

/* Every kind of thing here starts with its id. */
static const void *find_id(const GPtrArray *list, int64_t id)
{
    for (guint i = 0; i < list->len; i++) {
        const int64_t *item = list->pdata[i];
        if (*item == id) {
            return item;
        }
    }
    return NULL;
}

const RbTerm *rb_names_find_term(const RbNames *names, RbTermId id)
{
    return find_id(names->terms, id.value);
}

const RbConcept *rb_names_find_concept(const RbNames *names, RbConceptId id)
{
    return find_id(names->concepts, id.value);
}

const RbGame *rb_names_find_game(const RbNames *names, RbGameId id)
{
    return g_hash_table_lookup(names->game_of, &id.value);
}

const RbTeam *rb_names_find_team(const RbNames *names, RbTeamId id)
{
    return find_id(names->teams, id.value);
}

const RbPlayer *rb_names_find_player(const RbNames *names, RbPlayerId id)
{
    return find_id(names->players, id.value);
}

const RbPerson *rb_names_find_person(const RbNames *names, RbPersonId id)
{
    return find_id(names->people, id.value);
}

const char *rb_names_term(const RbNames *names, RbTermId id)
{
    const RbTerm *term = rb_names_find_term(names, id);
    return term != NULL ? term->name : "?";
}

const char *rb_names_concept(const RbNames *names, RbConceptId id)
{
    const RbConcept *concept = rb_names_find_concept(names, id);
    return concept != NULL ? concept->name : "?";
}

const char *rb_names_game(const RbNames *names, RbGameId id)
{
    const RbGame *game = rb_names_find_game(names, id);
    return game != NULL ? game->title : "?";
}

const char *rb_names_term_token(const RbNames *names, RbTermId id)
{
    const RbTerm *term = rb_names_find_term(names, id);
    return term != NULL ? term->token : "";
}

const char *rb_names_concept_token(const RbNames *names, RbConceptId id)
{
    const RbConcept *concept = rb_names_find_concept(names, id);
    return concept != NULL ? concept->token : "";
}

static bool same_text(const char *a, const char *b)
{
    if (a == NULL || b == NULL) {
        return false;
    }
    g_autofree char *one = g_utf8_casefold(a, -1);
    g_autofree char *other = g_utf8_casefold(b, -1);
    return strcmp(one, other) == 0;
}

/* "; there is a, b or c", or "; there is none yet". Long lists are cut. */
static char *choices_text(const GPtrArray *tokens)
{
    if (tokens->len == 0) {
        return g_strdup(_("there is none yet"));
    }
    GString *text = g_string_new(_("there is "));
    const guint shown = MIN(tokens->len, 24);
    for (guint i = 0; i < shown; i++) {
        const char *between = i + 1 == shown && shown == tokens->len ? _(" or ") : ", ";
        g_string_append(text, i == 0 ? "" : between);
        g_string_append(text, tokens->pdata[i]);
    }
    if (shown < tokens->len) {
        g_string_append_printf(text, _(" and %u more"), tokens->len - shown);
    }
    return g_string_free(text, FALSE);
}

static void set_not_found(GError **error, const char *what, const char *text,
                          const GPtrArray *tokens)
{
    g_autofree char *choices = choices_text(tokens);
    rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                 _("There is no %s \"%s\": %s."), what, text, choices);
}

const RbTerm *rb_names_parse_term(const RbNames *names, RbTermKind kind, const char *text,
                                  GError **error)
{
    const RbTerm *term = rb_vocabulary_find_text(names->terms, kind, text);
    int64_t id = 0;
    if (term == NULL && rb_id_parse(text, &id)) {
        term = find_id(names->terms, id);
    }
    if (term != NULL && term->kind == kind) {
        return term;
    }
    g_autoptr(GPtrArray) tokens = g_ptr_array_new();
    for (guint i = 0; i < names->terms->len; i++) {
        const RbTerm *other = names->terms->pdata[i];
        if (other->kind == kind && !other->hidden) {
            g_ptr_array_add(tokens, other->token);
        }
    }
    set_not_found(error, rb_words_token(&rb_term_kind_words, (int)kind), text, tokens);
    return NULL;
}

const RbConcept *rb_names_parse_concept(const RbNames *names, const char *text,
                                        GError **error)
{
    int64_t id = 0;
    const bool is_id = rb_id_parse(text, &id);
    g_autoptr(GPtrArray) tokens = g_ptr_array_new();
    for (guint i = 0; i < names->concepts->len; i++) {
        const RbConcept *concept = names->concepts->pdata[i];
        if (same_text(concept->token, text) || same_text(concept->name, text) ||
            (is_id && concept->id.value == id)) {
            return concept;
        }
        g_ptr_array_add(tokens, concept->token);
    }
    set_not_found(error, "concept", text, tokens);
    return NULL;
}

const RbGame *rb_names_parse_game(const RbNames *names, const char *text, GError **error)
{
    int64_t number = 0;
    const bool is_number = rb_id_parse(text, &number);
    for (guint i = 0; i < names->games->len; i++) {
        const RbGame *game = names->games->pdata[i];
        if (same_text(game->title, text) || same_text(game->played_on, text) ||
            (is_number && (game->id.value == number || (int64_t)i + 1 == number))) {
            return game;
        }
    }
    if (names->games->len == 0) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("There is no game \"%s\": the library has no games yet."), text);
        return NULL;
    }
    rb_error_set(
        error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
        _("There is no game \"%s\": give a number from 1 to %u in order of date, a "
          "date such as %s, or a title."),
        text, names->games->len, ((const RbGame *)names->games->pdata[0])->played_on);
    return NULL;
}

const RbTeam *rb_names_parse_team(const RbNames *names, const char *text, GError **error)
{
    int64_t id = 0;
    const bool is_id = rb_id_parse(text, &id);
    g_autoptr(GPtrArray) tokens = g_ptr_array_new();
    for (guint i = 0; i < names->teams->len; i++) {
        const RbTeam *team = names->teams->pdata[i];
        if (same_text(team->name, text) || (is_id && team->id.value == id)) {
            return team;
        }
        g_ptr_array_add(tokens, team->name);
    }
    set_not_found(error, "team", text, tokens);
    return NULL;
}

/* Higher is better; 0: not this player. */
static int player_match(const RbNames *names, const RbPlayer *player, RbTeamId team,
                        const char *text)
{
    int64_t id = 0;
    if (rb_id_parse(text, &id) && player->id.value == id) {
        return 4;
    }
    if (g_strcmp0(player->jersey, text) != 0 && !same_text(player->name, text)) {
        return 0;
    }
    if (team.value != 0) {
        return player->team.value == team.value ? 3 : 0;
    }
    const RbTeam *of = rb_names_find_team(names, player->team);
    return of != NULL && of->ours ? 2 : 1;
}

const RbPlayer *rb_names_parse_player(const RbNames *names, RbTeamId team,
                                      const char *text, GError **error)
{
    const RbPlayer *best = NULL;
    int best_match = 0;
    g_autoptr(GPtrArray) tokens = g_ptr_array_new();
    for (guint i = 0; i < names->players->len; i++) {
        const RbPlayer *player = names->players->pdata[i];
        const int match = player_match(names, player, team, text);
        if (match > best_match) {
            best = player;
            best_match = match;
        }
        if (team.value == 0 || player->team.value == team.value) {
            g_ptr_array_add(tokens, player->jersey);
        }
    }
    if (best == NULL) {
        set_not_found(error, "player", text, tokens);
    }
    return best;
}

char *rb_names_player_text(const RbNames *names, RbPlayerId id)
{
    const RbPlayer *player = rb_names_find_player(names, id);
    if (player == NULL) {
        return g_strdup("?");
    }
    return player->name != NULL ? g_strdup_printf("%s (%s)", player->jersey, player->name)
                                : g_strdup(player->jersey);
}

char *rb_names_snap_text(const RbNames *names, const RbSnap *snap)
{
    return g_strdup_printf(_("%s, snap %d"), rb_names_game(names, snap->game),
                           snap->number);
}

char *rb_names_call_text(const RbNames *names, const RbCall *call)
{
    const char *first = rb_names_concept(names, call->first);
    if (call->kind == RB_CALL_UNKNOWN || call->first.value == 0) {
        return g_strdup("?");
    }
    if (call->second.value == 0) {
        return g_strdup(first);
    }
    const char *between = call->kind == RB_CALL_ACROSS ? _(" to ") : " / ";
    return g_strconcat(first, between, rb_names_concept(names, call->second), NULL);
}
