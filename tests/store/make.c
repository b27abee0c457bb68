/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "make.h"

#include <string.h>

#include "suite.h"

int64_t make_id(RbRandom *random)
{
    return (int64_t)(rb_random_next(random) >> 1) | 1;
}

static int64_t maybe_id(RbRandom *random)
{
    return rb_random_chance(random, 0.3) ? 0 : make_id(random);
}

static int word(RbRandom *random, const RbWords *words)
{
    return rb_random_int(random, 0, words->n - 1);
}

/* `none`, or one of low to high. */
static int maybe_int(RbRandom *random, int none, int low, int high)
{
    return rb_random_chance(random, 0.3) ? none : rb_random_int(random, low, high);
}

char *make_text(RbRandom *random)
{
    static const char *const texts[] = { "",       "x",          "it's \"quoted\"",
                                         "Zürich", "two\nlines", "a;b--c%s" };
    const int i = rb_random_int(random, 0, G_N_ELEMENTS(texts) - 1);
    return g_strdup_printf("%s%d", texts[i], rb_random_int(random, 0, 99));
}

static char *maybe_text(RbRandom *random)
{
    return rb_random_chance(random, 0.5) ? NULL : make_text(random);
}

static RbTime make_time(RbRandom *random)
{
    return (RbTime){ rb_random_int(random, -1000, 1000000),
                     { 1, rb_random_chance(random, 0.5) ? 90000 : 24000 } };
}

RbPerson *make_person(RbRandom *random)
{
    g_autofree char *name = make_text(random);
    return rb_person_new((RbPersonId){ make_id(random) }, name);
}

RbTeam *make_team(RbRandom *random)
{
    g_autofree char *name = make_text(random);
    return rb_team_new((RbTeamId){ make_id(random) }, name,
                       rb_random_chance(random, 0.5));
}

RbPlayer *make_player(RbRandom *random, RbTeamId team)
{
    g_autofree char *jersey = g_strdup_printf("%d", rb_random_int(random, 0, 99));
    g_autofree char *name = maybe_text(random);
    return rb_player_new((RbPlayerId){ make_id(random) }, team, jersey, name);
}

RbGame *make_game(RbRandom *random)
{
    g_autofree char *title = make_text(random);
    RbGame *game = rb_game_new((RbGameId){ make_id(random) }, title);
    game->kind = (RbGameKind)word(random, &rb_game_kind_words);
    game->rules = (RbRules)word(random, &rb_rules_words);
    g_free(game->played_on);
    game->played_on = g_strdup_printf("2026-%02d-%02d", rb_random_int(random, 1, 12),
                                      rb_random_int(random, 1, 28));
    game->us.value = maybe_id(random);
    game->them.value = maybe_id(random);
    game->ours_only = rb_random_chance(random, 0.5);
    game->lead.value = maybe_id(random);
    return game;
}

RbPenalty make_penalty(RbRandom *random, RbSnapId snap)
{
    return (RbPenalty){
        .id.value = make_id(random),
        .snap = snap,
        .foul.value = maybe_id(random),
        .side = (RbFoulSide)word(random, &rb_foul_side_words),
        .ruling = (RbRuling)word(random, &rb_ruling_words),
        .enforced = (RbEnforced)word(random, &rb_enforced_words),
        .yards = rb_random_int(random, 0, 15),
        .spot = maybe_int(random, 0, 1, 99),
        .down_counts = (RbYesNo)word(random, &rb_yes_no_words),
        .first_down = (RbYesNo)word(random, &rb_yes_no_words),
    };
}

static void fill_situation(RbRandom *random, RbSituation *situation)
{
    situation->phase = (RbPhase)word(random, &rb_phase_words);
    situation->quarter = maybe_int(random, 0, 1, 6);
    situation->clock_s = maybe_int(random, -1, 0, 900);
    situation->down = maybe_int(random, 0, 1, 4);
    situation->distance = maybe_int(random, 0, 1, 30);
    situation->yards_to_goal = maybe_int(random, 0, 1, 99);
    situation->hash = (RbHash)word(random, &rb_hash_words);
    situation->offense.value = maybe_id(random);
    situation->score_offense = maybe_int(random, -1, 0, 50);
    situation->score_defense = maybe_int(random, -1, 0, 50);
}

RbSnap *make_snap(RbRandom *random, RbGameId game, int number)
{
    RbSnap *snap = rb_snap_new((RbSnapId){ make_id(random) }, game, number);
    fill_situation(random, &snap->situation);
    snap->timeouts_offense = maybe_int(random, -1, 0, 3);
    snap->timeouts_defense = maybe_int(random, -1, 0, 3);
    snap->hurry = (RbYesNo)word(random, &rb_yes_no_words);
    snap->quarterback.value = maybe_id(random);
    snap->personnel.value = maybe_id(random);
    snap->formation.value = maybe_id(random);
    snap->motion.value = maybe_id(random);
    snap->strong = (RbStrong)word(random, &rb_strong_words);
    snap->width = (RbWidth)word(random, &rb_width_words);
    snap->play = (RbPlay)word(random, &rb_play_words);
    snap->result = (RbResult)word(random, &rb_result_words);
    snap->ending = (RbEnding)word(random, &rb_ending_words);
    snap->has_gain = rb_random_chance(random, 0.5) ? RB_YES : RB_YES_NO_UNKNOWN;
    snap->gain = snap->has_gain == RB_YES ? rb_random_int(random, -20, 99) : 0;
    snap->intended.value = maybe_id(random);
    snap->note = maybe_text(random);
    for (int i = rb_random_int(random, -2, 3); i > 0; i--) {
        const RbPenalty penalty = make_penalty(random, snap->id);
        g_array_append_val(snap->penalties, penalty);
    }
    for (int i = rb_random_int(random, -2, 3); i > 0; i--) {
        rb_snap_set_tag(snap, (RbTermId){ rb_random_int(random, 1, 6) }, true);
    }
    return snap;
}

static void fill_picture(RbRandom *random, RbChart *chart)
{
    chart->shown.shell = (RbShell)word(random, &rb_shell_words);
    chart->shown.rotation = (RbRotation)word(random, &rb_rotation_words);
    chart->shown.left.technique = (RbTechnique)word(random, &rb_technique_words);
    chart->shown.right.technique = (RbTechnique)word(random, &rb_technique_words);
    chart->shown.left.cushion_tenths = maybe_int(random, -1, 0, 150);
    chart->shown.right.cushion_tenths = maybe_int(random, -1, 0, 150);
    chart->shown.left.cushion_pm_tenths = maybe_int(random, 0, 1, 20);
    chart->shown.right.cushion_pm_tenths = maybe_int(random, 0, 1, 20);
    /* Not drawn, so that what is drawn after it stays the same. */
    const RbSideShown left = chart->shown.left;
    chart->shown.left.split_tenths = chart->shown.right.cushion_tenths;
    chart->shown.left.split_pm_tenths = chart->shown.right.cushion_pm_tenths;
    chart->shown.right.split_tenths = left.cushion_tenths;
    chart->shown.right.split_pm_tenths = left.cushion_pm_tenths;
    chart->shown.left.leverage = (RbLeverage)word(random, &rb_leverage_words);
    chart->shown.right.leverage = (RbLeverage)word(random, &rb_leverage_words);
    chart->played.coverage.value = maybe_id(random);
    chart->played.rotation = (RbRotation)word(random, &rb_rotation_words);
    chart->played.left = (RbTechnique)word(random, &rb_technique_words);
    chart->played.right = (RbTechnique)word(random, &rb_technique_words);
    chart->played.safety_left = (RbYesNo)word(random, &rb_yes_no_words);
    chart->played.safety_right = (RbYesNo)word(random, &rb_yes_no_words);
    chart->played.rushers = maybe_int(random, -1, 0, 8);
    chart->played.unblocked = (RbYesNo)word(random, &rb_yes_no_words);
    chart->played.unblocked_side = (RbSide)word(random, &rb_side_words);
}

void fill_chart(RbRandom *random, RbChart *chart)
{
    chart->call.kind = (RbCallKind)word(random, &rb_call_words);
    chart->call.first.value = maybe_id(random);
    chart->call.second.value = maybe_id(random);
    chart->call.first_side = (RbSide)word(random, &rb_side_words);
    chart->side_worked = (RbSide)word(random, &rb_side_words);
    fill_picture(random, chart);
    chart->adjusted = (RbYesNo)word(random, &rb_yes_no_words);
    chart->adjustment.value = maybe_id(random);
    for (int i = 0; i < RB_READS_MAX; i++) {
        chart->looks[i] = (RbLook)word(random, &rb_look_words);
    }
    chart->ball = (RbBall)word(random, &rb_ball_words);
    chart->ball_read = maybe_int(random, 0, 1, RB_READS_MAX);
    chart->release_ms = maybe_int(random, -1, 0, 5000);
    chart->release_pm_ms = maybe_int(random, 0, 1, 200);
    chart->pressure = (RbPressure)word(random, &rb_pressure_words);
    chart->pressure_ms = maybe_int(random, -1, 0, 5000);
    chart->movement = (RbMovement)word(random, &rb_movement_words);
    chart->contact = (RbContact)word(random, &rb_contact_words);
    chart->throw_ = (RbThrow)word(random, &rb_throw_words);
    chart->catch_ = (RbCatch)word(random, &rb_catch_words);
    chart->fault = (RbFault)word(random, &rb_fault_words);
    chart->fault_read = maybe_int(random, 0, 1, RB_READS_MAX);
    g_free(chart->note);
    chart->note = maybe_text(random);
}

RbChart *make_chart(RbRandom *random, RbSnapId snap, RbPersonId author)
{
    RbChart *chart = rb_chart_new(snap, author);
    fill_chart(random, chart);
    return chart;
}

RbFilm *make_film(RbRandom *random, RbGameId game)
{
    g_autofree char *title = make_text(random);
    RbFilm *film = rb_film_new((RbFilmId){ make_id(random) }, title);
    g_free(film->fingerprint);
    film->fingerprint = make_text(random);
    film->bytes = make_id(random);
    film->angle = (RbAngle)word(random, &rb_angle_words);
    film->game = game;
    return film;
}

RbClip *make_clip(RbRandom *random, RbSnapId snap, RbFilmId film)
{
    RbClip *clip = rb_clip_new((RbClipId){ make_id(random) }, snap, film,
                               (RbAngle)word(random, &rb_angle_words));
    clip->first = rb_random_int(random, 0, 100000);
    clip->last = clip->first + rb_random_int(random, 1, 900);
    clip->first_time = make_time(random);
    clip->last_time = make_time(random);
    clip->cut_early = (RbYesNo)word(random, &rb_yes_no_words);
    for (int kind = 0; kind < rb_mark_words.n; kind++) {
        if (rb_random_chance(random, 0.5)) {
            const RbMark mark = {
                .id = rb_mark_id(clip->id, (RbMarkKind)kind),
                .clip = clip->id,
                .kind = (RbMarkKind)kind,
                .frame = clip->first + kind,
                .time = make_time(random),
                .index_version = rb_random_int(random, 0, 9),
            };
            g_array_append_val(clip->marks, mark);
        }
    }
    return clip;
}

static void fill_cut(RbRandom *random, RbCut *cut)
{
    cut->view = (RbView)word(random, &rb_view_words);
    cut->start = (RbPoint)rb_random_int(random, RB_POINT_FIRST, RB_POINT_SNAP);
    cut->stop = (RbPoint)rb_random_int(random, RB_POINT_TOP, RB_POINT_LAST);
    cut->speed = rb_random_int(random, RB_SPEED_MIN, RB_SPEED_MAX);
    g_free(cut->card);
    cut->card = rb_card_text((unsigned)rb_random_int(random, 0, 511));
}

RbCutup *make_cutup(RbRandom *random)
{
    g_autofree char *name = make_text(random);
    RbCutup *cutup = rb_cutup_new((RbCutupId){ make_id(random) }, name,
                                  (RbCutupKind)word(random, &rb_cutup_kind_words));
    cutup->filter = maybe_text(random);
    fill_cut(random, &cutup->cut);
    cutup->note = maybe_text(random);
    return cutup;
}

RbCutupEntry *make_cutup_entry(RbRandom *random, RbCutupId cutup, RbSnapId snap)
{
    RbCutupEntry *entry =
        rb_cutup_entry_new((RbCutupEntryId){ make_id(random) }, cutup, snap);
    entry->place = make_id(random) - (INT64_C(1) << 62);
    fill_cut(random, &entry->cut);
    entry->cut.loops = rb_random_int(random, 1, RB_LOOPS_MAX);
    entry->cut.freeze = (RbPoint)word(random, &rb_point_words);
    entry->cut.freeze_ms = rb_random_int(random, 0, RB_FREEZE_MS_MAX);
    entry->note = maybe_text(random);
    return entry;
}

RbTerm *make_term(RbRandom *random)
{
    g_autofree char *token = g_strdup_printf("t-%d", rb_random_int(random, 0, 1 << 30));
    g_autofree char *name = make_text(random);
    RbTerm *term =
        rb_term_new((RbTermKind)word(random, &rb_term_kind_words), token, name);
    term->family = (RbFamily)word(random, &rb_family_words);
    term->deep = maybe_int(random, -1, 0, 4);
    term->sort = rb_random_int(random, 0, 99);
    term->hidden = rb_random_chance(random, 0.3);
    return term;
}

RbConceptRow *make_concept(RbRandom *random)
{
    g_autofree char *name = make_text(random);
    g_autofree char *document = make_text(random);
    return rb_concept_row_new((RbConceptId){ make_id(random) }, "token", name, document);
}
