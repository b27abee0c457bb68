/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/chart.h"
#include "rb/model/film.h"
#include "rb/model/game.h"
#include "rb/model/snap.h"

#include "suite.h"

TCase *rb_case_values(void);

START_TEST(test_values__new_chart_knows_nothing)
{
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 5 }, (RbPersonId){ 9 });
    ck_assert_int_eq(chart->shown.left.cushion_tenths, -1);
    ck_assert_int_eq(chart->shown.right.cushion_tenths, -1);
    ck_assert_int_eq(chart->shown.left.split_tenths, -1);
    ck_assert_int_eq(chart->shown.right.split_tenths, -1);
    ck_assert_int_eq(chart->played.rushers, -1);
    ck_assert_int_eq(chart->release_ms, -1);
    ck_assert_int_eq(chart->pressure_ms, -1);
    ck_assert_int_eq(chart->looks[RB_READS_MAX - 1], RB_LOOK_UNKNOWN);
    ck_assert_int_eq(chart->id.value,
                     rb_chart_id((RbSnapId){ 5 }, (RbPersonId){ 9 }).value);
    ck_assert_int_ne(chart->id.value,
                     rb_chart_id((RbSnapId){ 9 }, (RbPersonId){ 5 }).value);
}
END_TEST

START_TEST(test_values__concept_credited)
{
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 5 }, (RbPersonId){ 9 });
    chart->call = (RbCall){ RB_CALL_UNKNOWN, { 11 }, { 22 }, RB_SIDE_LEFT };
    ck_assert_int_eq(rb_chart_concept(chart).value, 0);
    static const RbCallKind first_always[] = { RB_CALL_SINGLE, RB_CALL_MIRRORED,
                                               RB_CALL_ACROSS };
    for (size_t i = 0; i < G_N_ELEMENTS(first_always); i++) {
        chart->call.kind = first_always[i];
        ck_assert_int_eq(rb_chart_concept(chart).value, 11);
    }
    chart->call.kind = RB_CALL_SPLIT;
    ck_assert_int_eq(rb_chart_concept(chart).value, 0);
    chart->side_worked = RB_SIDE_LEFT;
    ck_assert_int_eq(rb_chart_concept(chart).value, 11);
    chart->side_worked = RB_SIDE_RIGHT;
    ck_assert_int_eq(rb_chart_concept(chart).value, 22);
}
END_TEST

START_TEST(test_values__chart_copy_owns_its_note)
{
    RbChart *chart = rb_chart_new((RbSnapId){ 5 }, (RbPersonId){ 9 });
    chart->note = g_strdup("eyes came off early");
    chart->looks[1] = RB_LOOK_OPEN;
    g_autoptr(RbChart) copy = rb_chart_copy(chart);
    rb_chart_free(chart);
    ck_assert_str_eq(copy->note, "eyes came off early");
    ck_assert_int_eq(copy->looks[1], RB_LOOK_OPEN);
    rb_chart_free(NULL);
}
END_TEST

static RbPenalty penalty(RbRuling ruling, RbYesNo down_counts)
{
    return (RbPenalty){ .ruling = ruling, .yards = 10, .down_counts = down_counts };
}

START_TEST(test_values__what_is_a_dropback_that_counts)
{
    static const struct {
        RbPlay play;
        RbResult result;
        RbPhase phase;
        int n_penalties;
        RbRuling ruling;
        RbYesNo down_counts;
        bool wiped_out;
        bool dropback;
    } rows[] = {
        { RB_PLAY_DROPBACK, RB_RESULT_COMPLETE, .dropback = true },
        { RB_PLAY_BOOT, RB_RESULT_SACK, .dropback = true },
        { RB_PLAY_SCREEN, RB_RESULT_COMPLETE },
        { RB_PLAY_RUN, RB_RESULT_RUN },
        { RB_PLAY_SPIKE, RB_RESULT_INCOMPLETE },
        { RB_PLAY_DROPBACK, RB_RESULT_COMPLETE, RB_PHASE_TRY },
        { RB_PLAY_DROPBACK, RB_RESULT_NO_PLAY, .wiped_out = true },
        { RB_PLAY_DROPBACK, RB_RESULT_COMPLETE, 0, 1, RB_RULING_ACCEPTED, RB_NO, true },
        { RB_PLAY_DROPBACK, RB_RESULT_COMPLETE, 0, 1, RB_RULING_OFFSET, RB_NO, true },
        { RB_PLAY_DROPBACK, RB_RESULT_COMPLETE, 0, 1, RB_RULING_DECLINED, RB_NO, false,
          true },
        { RB_PLAY_DROPBACK, RB_RESULT_COMPLETE, 0, 1, RB_RULING_ACCEPTED, RB_YES, false,
          true },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 2 }, 3);
        snap->play = rows[i].play;
        snap->result = rows[i].result;
        snap->situation.phase = rows[i].phase;
        if (rows[i].n_penalties > 0) {
            const RbPenalty p = penalty(rows[i].ruling, rows[i].down_counts);
            g_array_append_val(snap->penalties, p);
        }
        ck_assert_msg(rb_snap_is_wiped_out(snap) == rows[i].wiped_out, "row %zu", i);
        ck_assert_msg(rb_snap_is_dropback(snap) == rows[i].dropback, "row %zu", i);
    }
}
END_TEST

START_TEST(test_values__snap_copy_is_its_own)
{
    RbSnap *snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 2 }, 3);
    const RbPenalty p = penalty(RB_RULING_ACCEPTED, RB_NO);
    g_array_append_val(snap->penalties, p);
    snap->note = g_strdup("wind");
    g_autoptr(RbSnap) copy = rb_snap_copy(snap);
    g_array_set_size(snap->penalties, 0);
    rb_snap_free(snap);
    ck_assert_uint_eq(copy->penalties->len, 1);
    ck_assert_str_eq(copy->note, "wind");
    ck_assert_int_eq(copy->timeouts_offense, -1);
    rb_snap_free(NULL);
}
END_TEST

START_TEST(test_values__people_teams_games)
{
    g_autoptr(RbPerson) person = rb_person_new((RbPersonId){ 1 }, "GA");
    g_autoptr(RbTeam) team = rb_team_new((RbTeamId){ 2 }, "Ours", true);
    g_autoptr(RbPlayer) player = rb_player_new((RbPlayerId){ 3 }, team->id, "12", NULL);
    g_autoptr(RbGame) game = rb_game_new((RbGameId){ 4 }, "Week 1");
    ck_assert_str_eq(person->name, "GA");
    ck_assert(team->ours);
    ck_assert_ptr_null(player->name);
    ck_assert_str_eq(player->jersey, "12");
    ck_assert_int_eq(game->kind, RB_GAME_GAME);
    ck_assert_int_eq(game->rules, RB_RULES_COLLEGE);
    rb_person_free(NULL);
    rb_team_free(NULL);
    rb_player_free(NULL);
    rb_game_free(NULL);
}
END_TEST

START_TEST(test_values__marks_of_a_clip)
{
    g_autoptr(RbFilm) film = rb_film_new((RbFilmId){ 1 }, "g1.mp4");
    g_autoptr(RbClip) clip =
        rb_clip_new((RbClipId){ 2 }, (RbSnapId){ 3 }, film->id, RB_ANGLE_TIGHT);
    ck_assert_ptr_null(rb_clip_find_mark(clip, RB_MARK_SNAP));
    const RbMark mark = { .kind = RB_MARK_SNAP, .frame = 42 };
    g_array_append_val(clip->marks, mark);
    ck_assert_int_eq(rb_clip_find_mark(clip, RB_MARK_SNAP)->frame, 42);
    ck_assert_ptr_null(rb_clip_find_mark(clip, RB_MARK_END));
    rb_film_free(NULL);
    rb_clip_free(NULL);
}
END_TEST

static RbConcept *make_concept(void)
{
    RbConcept *concept = rb_concept_new("curl-flat", "Curl-flat");
    RbRead *curl = rb_read_new(1, RB_ROUTE_CURL);
    curl->landmark = g_strdup("top of the numbers");
    g_ptr_array_add(concept->reads, curl);
    RbRule *rule = rb_rule_new(RB_DO_DROP, 1);
    const RbCondition condition = { RB_IF_DOWN, .value = 3 };
    g_array_append_val(rule->conditions, condition);
    g_ptr_array_add(concept->rules, rule);
    const RbPick pick = { RB_PICK_FIELD, 0 };
    g_array_append_val(concept->picks, pick);
    return concept;
}

START_TEST(test_values__concept_copy_is_deep)
{
    RbConcept *concept = make_concept();
    g_autoptr(RbConcept) copy = rb_concept_copy(concept);
    ck_assert_int_eq(copy->id.value, concept->id.value);
    rb_concept_free(concept);
    ck_assert_str_eq(copy->token, "curl-flat");
    ck_assert_str_eq(rb_concept_find_read(copy, 1)->landmark, "top of the numbers");
    ck_assert_ptr_null(rb_concept_find_read(copy, 2));
    const RbRule *rule = g_ptr_array_index(copy->rules, 0);
    ck_assert_int_eq(g_array_index(rule->conditions, RbCondition, 0).value, 3);
    ck_assert_int_eq(g_array_index(copy->picks, RbPick, 0).kind, RB_PICK_FIELD);
    rb_concept_free(NULL);
    rb_read_free(NULL);
    rb_rule_free(NULL);
}
END_TEST

START_TEST(test_values__clock_times)
{
    const RbFootwork *table = rb_footwork_defaults();
    int ms = -7;
    ck_assert(!rb_clock_ms(&(RbClock){ RB_CLOCK_UNKNOWN }, table, &ms));
    ck_assert_int_eq(ms, -7);
    ck_assert(rb_clock_ms(&(RbClock){ RB_CLOCK_SECONDS, .ms = 1850 }, table, &ms));
    ck_assert_int_eq(ms, 1850);
    RbClock clock = { RB_CLOCK_FOOTWORK, .backfield = RB_BACKFIELD_CENTRE, .steps = 3 };
    ck_assert(rb_clock_ms(&clock, table, &ms));
    /* Three steps from centre, about 1.5 s: common practice, no source. */
    ck_assert_int_eq(ms, 1500);
    clock.hitches = 2;
    ck_assert(rb_clock_ms(&clock, table, &ms));
    ck_assert_int_eq(ms, 1500 + 2 * table->hitch_ms);
    clock.fake = true;
    ck_assert(rb_clock_ms(&clock, table, &ms));
    ck_assert_int_eq(ms, 1500 + table->fake_ms + 2 * table->hitch_ms);
    clock.steps = 4;
    ck_assert(!rb_clock_ms(&clock, table, &ms));
}
END_TEST

/* A boot and a sprint have their own time, whatever the steps; the fake of a boot is in it. */
START_TEST(test_values__clock_times_on_the_move)
{
    const RbFootwork *table = rb_footwork_defaults();
    RbClock clock = { RB_CLOCK_FOOTWORK, .drop = RB_DROP_BOOT, .fake = true };
    int ms = -7;
    ck_assert(rb_clock_ms(&clock, table, &ms));
    ck_assert_int_eq(ms, table->boot_ms);
    clock.drop = RB_DROP_SPRINT;
    clock.hitches = 1;
    ck_assert(rb_clock_ms(&clock, table, &ms));
    ck_assert_int_eq(ms, table->sprint_ms + table->hitch_ms);
    const RbFootwork without = { .hitch_ms = 400 };
    ms = -7;
    ck_assert(!rb_clock_ms(&clock, &without, &ms));
    ck_assert_int_eq(ms, -7);
}
END_TEST

START_TEST(test_values__footwork_grows_with_steps)
{
    const RbFootwork *table = rb_footwork_defaults();
    for (int i = 1; i < table->n; i++) {
        if (table->rows[i].backfield == table->rows[i - 1].backfield) {
            ck_assert_int_gt(table->rows[i].steps, table->rows[i - 1].steps);
            ck_assert_int_gt(table->rows[i].ms, table->rows[i - 1].ms);
        }
    }
}
END_TEST

TCase *rb_case_values(void)
{
    TCase *tcase = rb_case_new("values");
    tcase_add_test(tcase, test_values__new_chart_knows_nothing);
    tcase_add_test(tcase, test_values__concept_credited);
    tcase_add_test(tcase, test_values__chart_copy_owns_its_note);
    tcase_add_test(tcase, test_values__what_is_a_dropback_that_counts);
    tcase_add_test(tcase, test_values__snap_copy_is_its_own);
    tcase_add_test(tcase, test_values__people_teams_games);
    tcase_add_test(tcase, test_values__marks_of_a_clip);
    tcase_add_test(tcase, test_values__concept_copy_is_deep);
    tcase_add_test(tcase, test_values__clock_times);
    tcase_add_test(tcase, test_values__clock_times_on_the_move);
    tcase_add_test(tcase, test_values__footwork_grows_with_steps);
    return tcase;
}
