/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sample.h"

const RbTeamId sample_us = { 11 }, sample_them = { 12 };
const RbGameId sample_early = { 21000 }, sample_late = { 22000 };
const RbPlayerId sample_seven = { 31000 }, sample_twelve = { 32000 },
                 sample_their_twelve = { 33000 };

static void free_concept(void *concept)
{
    rb_concept_free(concept);
}

static void free_game(void *game)
{
    rb_game_free(game);
}

static void free_team(void *team)
{
    rb_team_free(team);
}

static void free_player(void *player)
{
    rb_player_free(player);
}

static void free_person(void *person)
{
    rb_person_free(person);
}

static RbGame *game_new(RbGameId id, const char *title, const char *date)
{
    RbGame *game = rb_game_new(id, title);
    g_free(game->played_on);
    game->played_on = g_strdup(date);
    game->us = sample_us;
    game->them = sample_them;
    return game;
}

RbNames *sample_names_new(void)
{
    GPtrArray *concepts = g_ptr_array_new_with_free_func(free_concept);
    g_ptr_array_add(concepts, rb_concept_new("curl-flat", "Curl-flat"));
    g_ptr_array_add(concepts, rb_concept_new("smash", "Smash"));
    GPtrArray *games = g_ptr_array_new_with_free_func(free_game);
    g_ptr_array_add(games, game_new(sample_late, "Week 2 at Lowland", "2026-09-12"));
    g_ptr_array_add(games, game_new(sample_early, "Week 1 Harbor City", "2026-09-05"));
    GPtrArray *teams = g_ptr_array_new_with_free_func(free_team);
    g_ptr_array_add(teams, rb_team_new(sample_us, "Ridgeline", true));
    g_ptr_array_add(teams, rb_team_new(sample_them, "Harbor City", false));
    GPtrArray *players = g_ptr_array_new_with_free_func(free_player);
    g_ptr_array_add(players, rb_player_new(sample_their_twelve, sample_them, "12", NULL));
    g_ptr_array_add(players, rb_player_new(sample_seven, sample_us, "7", "Dana Ruiz"));
    g_ptr_array_add(players, rb_player_new(sample_twelve, sample_us, "12", NULL));
    GPtrArray *people = g_ptr_array_new_with_free_func(free_person);
    g_ptr_array_add(people, rb_person_new((RbPersonId){ 41 }, "Coach"));
    GPtrArray *terms = rb_vocabulary_defaults();
    g_ptr_array_add(terms, rb_term_new(RB_TERM_OWN_TAG, "trick-play", "Trick play"));
    g_ptr_array_add(terms, rb_term_new(RB_TERM_OWN_TAG, "two-minute", "Two-minute"));
    return rb_names_new(terms, concepts, games, teams, players, people);
}
