/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "random-season.h"

#include "rb/model/film.h"

enum { US = 11, THEM = 12, OTHERS = 13, SNAPS_A_GAME = 60 };

const RbGameId random_games[RANDOM_GAMES] = { { 201 }, { 202 }, { 203 }, { 204 } };
const RbGameId random_practice = { 203 }, random_scouted = { 204 };

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

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

static void free_chart(void *chart)
{
    rb_chart_free(chart);
}

static void free_clip(void *clip)
{
    rb_clip_free(clip);
}

static RbConcept *concept_new(const char *token, const char *name)
{
    RbConcept *concept = rb_concept_new(token, name);
    for (int i = 1; i <= 3; i++) {
        RbRead *read = rb_read_new(i, i == 1   ? RB_ROUTE_CURL
                                      : i == 2 ? RB_ROUTE_FLAT
                                               : RB_ROUTE_CHECK_DOWN);
        read->runner = i == 3 ? RB_RUNNER_BACK : RB_RUNNER_1 + i - 1;
        read->outlet = i == 3;
        read->clock = (RbClock){ .kind = RB_CLOCK_SECONDS,
                                 .ms = 1400 + 500 * i,
                                 .tolerance_ms = 300 };
        g_ptr_array_add(concept->reads, read);
    }
    return concept;
}

static RbGame *game_new(RbGameId id, RbGameKind kind, int us)
{
    g_autofree char *title = g_strdup_printf("Game %d", (int)(id.value - 200));
    RbGame *game = rb_game_new(id, title);
    g_free(game->played_on);
    game->played_on = g_strdup_printf("2026-09-%02d", (int)(id.value - 200));
    game->kind = kind;
    game->us.value = us;
    game->them.value = THEM;
    return game;
}

static RbNames *names_new(void)
{
    GPtrArray *concepts = g_ptr_array_new_with_free_func(free_concept);
    g_ptr_array_add(concepts, concept_new("curl-flat", "Curl-flat"));
    g_ptr_array_add(concepts, concept_new("smash", "Smash"));
    g_ptr_array_add(concepts, concept_new("flood", "Flood"));
    GPtrArray *games = g_ptr_array_new_with_free_func(free_game);
    g_ptr_array_add(games, game_new(random_games[0], RB_GAME_GAME, US));
    g_ptr_array_add(games, game_new(random_games[1], RB_GAME_GAME, US));
    g_ptr_array_add(games, game_new(random_practice, RB_GAME_SEVEN, US));
    g_ptr_array_add(games, game_new(random_scouted, RB_GAME_GAME, OTHERS));
    GPtrArray *teams = g_ptr_array_new_with_free_func(free_team);
    g_ptr_array_add(teams, rb_team_new((RbTeamId){ US }, "Ridgeline", true));
    g_ptr_array_add(teams, rb_team_new((RbTeamId){ THEM }, "Harbor City", false));
    g_ptr_array_add(teams, rb_team_new((RbTeamId){ OTHERS }, "Lowland", false));
    GPtrArray *players = g_ptr_array_new_with_free_func(free_player);
    g_ptr_array_add(players,
                    rb_player_new((RbPlayerId){ 7 }, (RbTeamId){ US }, "7", NULL));
    g_ptr_array_add(players,
                    rb_player_new((RbPlayerId){ 12 }, (RbTeamId){ US }, "12", NULL));
    GPtrArray *people = g_ptr_array_new_with_free_func(free_person);
    return rb_names_new(rb_vocabulary_defaults(), concepts, games, teams, players,
                        people);
}

static RbSnap *snap_new(RbRandom *random, RbGameId game, int number)
{
    RbSnap *snap = rb_snap_new((RbSnapId){ game.value * 1000 + number }, game, number);
    RbSituation *situation = &snap->situation;
    situation->phase = RB_PHASE_SCRIMMAGE;
    situation->down = rb_random_int(random, 0, 4);
    situation->distance = rb_random_int(random, 0, 20);
    situation->yards_to_goal = rb_random_int(random, 0, 99);
    situation->distance = MIN(situation->distance, situation->yards_to_goal);
    situation->hash = (RbHash)rb_random_int(random, 0, 3);
    situation->quarter = rb_random_int(random, 1, 6);
    situation->offense.value = rb_random_chance(random, 0.1)   ? THEM
                               : rb_random_chance(random, 0.5) ? US
                                                               : 0;
    snap->quarterback.value = rb_random_chance(random, 0.5) ? 7 : 12;
    snap->play =
        (RbPlay)(rb_random_chance(random, 0.8) ? RB_PLAY_DROPBACK
                                               : rb_random_int(random, 0, RB_PLAY_OTHER));
    snap->result = (RbResult)rb_random_int(random, 0, RB_RESULT_THROWN_AWAY);
    if (rb_random_chance(random, 0.9)) {
        snap->has_gain = RB_YES;
        snap->gain = MIN(rb_random_int(random, -8, 30), situation->yards_to_goal);
    }
    snap->result = rb_random_chance(random, 0.05) ? RB_RESULT_NO_PLAY : snap->result;
    for (int tag = 1; tag <= 3; tag++) {
        rb_snap_set_tag(snap, (RbTermId){ tag }, number % (2 + tag) == 0);
    }
    return snap;
}

static RbTermId coverage(RbRandom *random)
{
    static const char *const tokens[] = { "cover-1", "cover-3", "quarters" };
    return rb_random_chance(random, 0.1)
               ? (RbTermId){ 0 }
               : rb_term_id(RB_TERM_COVERAGE, tokens[rb_random_int(random, 0, 2)]);
}

static RbChart *chart_new(RbRandom *random, const RbNames *names, RbSnapId snap)
{
    RbChart *chart = rb_chart_new(snap, (RbPersonId){ 41 });
    const GPtrArray *concepts = rb_names_concepts(names);
    if (rb_random_chance(random, 0.9)) {
        const RbConcept *concept = concepts->pdata[rb_random_int(random, 0, 2)];
        chart->call = (RbCall){ RB_CALL_SINGLE, concept->id, { 0 }, RB_SIDE_LEFT };
    }
    chart->side_worked = (RbSide)rb_random_int(random, 0, 2);
    chart->shown.shell = (RbShell)rb_random_int(random, 0, RB_SHELL_UNCLEAR);
    chart->shown.left.technique = (RbTechnique)rb_random_int(random, 0, 5);
    chart->shown.right.technique = (RbTechnique)rb_random_int(random, 0, 5);
    chart->played.coverage = coverage(random);
    chart->played.left = (RbTechnique)rb_random_int(random, 0, 5);
    chart->played.rushers = rb_random_int(random, -1, 6);
    for (int i = 0; i < 3; i++) {
        chart->looks[i] = (RbLook)rb_random_int(random, 0, 3);
    }
    chart->ball = (RbBall)rb_random_int(random, 0, RB_BALL_THROWN_AWAY);
    chart->ball_read = chart->ball == RB_BALL_READ ? rb_random_int(random, 1, 3) : 0;
    chart->release_ms = rb_random_int(random, -1, 4000);
    chart->pressure = (RbPressure)rb_random_int(random, 0, RB_PRESSURE_CAME);
    chart->pressure_ms =
        chart->pressure == RB_PRESSURE_CAME ? rb_random_int(random, 800, 4000) : -1;
    chart->movement = (RbMovement)rb_random_int(random, 0, RB_MOVEMENT_FORCED);
    chart->contact = (RbContact)rb_random_int(random, 0, RB_CONTACT_SACKED);
    chart->throw_ = (RbThrow)rb_random_int(random, 0, RB_THROW_TIPPED);
    chart->catch_ = (RbCatch)rb_random_int(random, 0, RB_CATCH_OUT_OF_BOUNDS);
    chart->fault = rb_random_chance(random, 0.9) ? RB_FAULT_NONE : RB_FAULT_SLIP;
    return chart;
}

/* 60000/1001 frames a second, ticks of 1/60000 s: 1001 a frame. */
static void add_mark(RbClip *clip, RbMarkKind kind, int64_t frame)
{
    const RbMark mark = { .clip = clip->id,
                          .kind = kind,
                          .frame = frame,
                          .time = { frame * 1001, { 1, 60000 } } };
    g_array_append_val(clip->marks, mark);
}

static RbClip *clip_new(RbRandom *random, RbSnapId snap)
{
    RbClip *clip =
        rb_clip_new((RbClipId){ snap.value + 5 }, snap, (RbFilmId){ 9 }, RB_ANGLE_WIDE);
    add_mark(clip, RB_MARK_SNAP, 100);
    if (rb_random_chance(random, 0.5)) {
        add_mark(clip, RB_MARK_RELEASE, 100 + rb_random_int(random, 40, 240));
    }
    return clip;
}

RandomSeason random_season_new(RbRandom *random)
{
    RandomSeason season = {
        names_new(),
        g_ptr_array_new_with_free_func(free_snap),
        g_ptr_array_new_with_free_func(free_chart),
        g_ptr_array_new_with_free_func(free_clip),
    };
    for (int game = 0; game < RANDOM_GAMES; game++) {
        for (int i = 1; i <= SNAPS_A_GAME; i++) {
            RbSnap *snap = snap_new(random, random_games[game], i);
            g_ptr_array_add(season.snaps, snap);
            if (rb_random_chance(random, 0.9)) {
                g_ptr_array_add(season.charts, chart_new(random, season.names, snap->id));
            }
            if (rb_random_chance(random, 0.2)) {
                g_ptr_array_add(season.clips, clip_new(random, snap->id));
            }
        }
    }
    return season;
}

void random_season_clear(RandomSeason *season)
{
    rb_names_unref(season->names);
    g_ptr_array_unref(season->snaps);
    g_ptr_array_unref(season->charts);
    g_ptr_array_unref(season->clips);
}

const RbChart *random_season_chart(const RandomSeason *season, RbSnapId snap)
{
    for (guint i = 0; i < season->charts->len; i++) {
        const RbChart *chart = season->charts->pdata[i];
        if (chart->snap.value == snap.value) {
            return chart;
        }
    }
    return NULL;
}
