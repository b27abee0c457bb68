/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/season.h"

#include "season-private.h"

/* Of a season's planted dropbacks of one pairing in each game: six games make 18. */
enum { PLANTED_A_GAME = 3 };

RbTermId rb_season_term(RbTermKind kind, const char *token)
{
    return rb_term_id(kind, token);
}

int64_t rb_season_id(const RbSeason *season, const char *kind, int a, int b)
{
    g_autofree char *seed = g_strdup_printf("%" G_GUINT64_FORMAT, season->seed);
    g_autofree char *place = g_strdup_printf("%d.%d", a, b);
    return rb_id_from_text("demo season", seed, kind, place, NULL);
}

static void free_season_snap(void *data)
{
    RbSeasonSnap *entry = data;
    rb_snap_free(entry->snap);
    rb_chart_free(entry->chart);
    g_free(entry);
}

static void free_season_game(void *data)
{
    RbSeasonGame *game = data;
    rb_game_free(game->game);
    g_ptr_array_unref(game->snaps);
    g_free(game);
}

static void free_team(void *team)
{
    rb_team_free(team);
}

static void free_player(void *player)
{
    rb_player_free(player);
}

static void add_people(RbSeason *season)
{
    static const char *const teams[RB_SEASON_GAMES + 1] = {
        "Millrace",  "Alder Junction", "Quillbrook", "Redmarsh",
        "Stonewick", "Tallow Bridge",  "Fernhollow",
    };
    /* The two quarterbacks first. */
    static const char *const jerseys[] = { "12", "7", "1", "4", "11", "82", "87", "22" };
    static const char *const charter = "Graduate assistant";
    season->charter = rb_person_new(rb_person_id_of(charter), charter);
    season->teams = g_ptr_array_new_with_free_func(free_team);
    for (int i = 0; i <= RB_SEASON_GAMES; i++) {
        const RbTeamId id = { rb_season_id(season, "team", i, 0) };
        g_ptr_array_add(season->teams, rb_team_new(id, teams[i], i == 0));
    }
    const RbTeam *us = g_ptr_array_index(season->teams, 0);
    season->players = g_ptr_array_new_with_free_func(free_player);
    for (size_t i = 0; i < G_N_ELEMENTS(jerseys); i++) {
        const RbPlayerId id = { rb_season_id(season, "player", (int)i, 0) };
        g_ptr_array_add(season->players, rb_player_new(id, us->id, jerseys[i], NULL));
    }
}

static RbSeasonGame *game_new(const RbSeason *season, int index)
{
    static const char *const dates[RB_SEASON_GAMES] = {
        "2026-09-05", "2026-09-12", "2026-09-19",
        "2026-09-26", "2026-10-03", "2026-10-10",
    };
    const RbTeam *us = g_ptr_array_index(season->teams, 0);
    const RbTeam *them = g_ptr_array_index(season->teams, (guint)index + 1);
    g_autofree char *title = g_strdup_printf(
        "Week %d %s %s", index + 1, index % 2 == 0 ? "against" : "at", them->name);
    RbSeasonGame *game = g_new0(RbSeasonGame, 1);
    game->game = rb_game_new((RbGameId){ rb_season_id(season, "game", index, 0) }, title);
    game->game->rules = RB_RULES_COLLEGE;
    game->game->played_on = g_strdup(dates[index]);
    game->game->us = us->id;
    game->game->them = them->id;
    game->game->ours_only = true;
    game->game->lead = season->charter->id;
    game->snaps = g_ptr_array_new_with_free_func(free_season_snap);
    return game;
}

/* Which pairings fail this season: of three each, so that no figure can be learnt by heart. */
static void plant(SeasonMaker *maker)
{
    static const SeasonPair eyes[] = {
        { SEASON_CURL_FLAT, SEASON_COVER_3, 2 },
        { SEASON_SMASH, SEASON_COVER_2, 2 },
        { SEASON_FLOOD, SEASON_QUARTERS, 2 },
    };
    static const SeasonPair covered[] = {
        { SEASON_DRIVE, SEASON_ROBBER, 4 },
        { SEASON_MESH, SEASON_DROP_EIGHT, 4 },
        { SEASON_FOUR_VERTICALS, SEASON_QUARTERS, 4 },
    };
    static const RbStage stages[] = { RB_STAGE_EYES, RB_STAGE_COVERED };
    maker->pairs[0] = eyes[rb_random_int(&maker->random, 0, 2)];
    maker->pairs[1] = covered[rb_random_int(&maker->random, 0, 2)];
    for (int i = 0; i < RB_SEASON_PLANTED; i++) {
        const SeasonPair *pair = &maker->pairs[i];
        const RbConcept *concept =
            g_ptr_array_index(maker->season->concepts, pair->concept);
        maker->season->planted[i] = (RbPlanted){
            .concept = concept->id,
            .coverage = rb_season_term(RB_TERM_COVERAGE,
                                       rb_season_coverage_token(pair->coverage)),
            .read = pair->read,
            .stage = stages[i],
        };
    }
}

static void draw_luck(SeasonMaker *maker)
{
    for (int i = 0; i < SEASON_CONCEPTS; i++) {
        for (int j = 0; j < SEASON_COVERAGES; j++) {
            for (int k = 0; k < RB_READS_MAX; k++) {
                maker->luck[i][j][k] = rb_random_normal(&maker->random, 0.0, 0.10);
            }
        }
    }
}

/* Charted in the small hours after the game: five minutes a snap would be slow, one is usual. */
static void stamp_charts(const RbSeasonGame *game, int index)
{
    const int64_t first_night = INT64_C(1788656400); /* 2026-09-06 01:00 UTC */
    const int64_t start = first_night + INT64_C(604800) * index;
    for (guint i = 0; i < game->snaps->len; i++) {
        const RbSeasonSnap *entry = g_ptr_array_index(game->snaps, i);
        if (entry->chart != NULL) {
            entry->chart->stamp_us = (start + INT64_C(60) * i) * 1000000;
        }
    }
}

RbSeason *rb_season_new(uint64_t seed)
{
    RbSeason *season = g_new0(RbSeason, 1);
    SeasonMaker maker = { .season = season };
    season->seed = seed;
    season->terms = rb_vocabulary_defaults();
    season->concepts = rb_season_playbook();
    season->games = g_ptr_array_new_with_free_func(free_season_game);
    add_people(season);
    rb_random_seed_stream(&maker.random, seed, 0);
    plant(&maker);
    draw_luck(&maker);
    for (int i = 0; i < RB_SEASON_GAMES; i++) {
        maker.game = game_new(season, i);
        maker.game_index = i;
        maker.dropbacks = 0;
        for (int p = 0; p < RB_SEASON_PLANTED; p++) {
            maker.wanted[p] = MAX(maker.wanted[p], 0) + PLANTED_A_GAME;
        }
        g_ptr_array_add(season->games, maker.game);
        rb_season_play_game(&maker);
        stamp_charts(maker.game, i);
    }
    return season;
}

void rb_season_free(RbSeason *season)
{
    if (season == NULL) {
        return;
    }
    rb_person_free(season->charter);
    g_ptr_array_unref(season->terms);
    g_ptr_array_unref(season->teams);
    g_ptr_array_unref(season->players);
    g_ptr_array_unref(season->concepts);
    g_ptr_array_unref(season->games);
    g_free(season);
}

const RbConcept *rb_season_find_concept(const RbSeason *season, RbConceptId id)
{
    for (guint i = 0; i < season->concepts->len; i++) {
        const RbConcept *concept = g_ptr_array_index(season->concepts, i);
        if (concept->id.value == id.value) {
            return concept;
        }
    }
    return NULL;
}
