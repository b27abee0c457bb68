/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/demo-film.h"

#include "random-play.h"
#include "suite.h"

TCase *rb_case_adapter(void);

static RbConcept *curl_flat(void)
{
    static const struct {
        RbRoute route;
        RbRunner runner;
        int depth;
    } rows[] = { { RB_ROUTE_FLAT, RB_RUNNER_2, 0 },
                 { RB_ROUTE_CURL, RB_RUNNER_1, 12 },
                 { RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, 4 } };
    RbConcept *concept = rb_concept_new("curl-flat", "Curl-flat");
    for (int i = 0; i < 3; i++) {
        RbRead *read = rb_read_new(i + 1, rows[i].route);
        read->runner = rows[i].runner;
        read->depth_yd = rows[i].depth;
        read->clock = (RbClock){ .kind = RB_CLOCK_FOOTWORK,
                                 .backfield = RB_BACKFIELD_CENTRE,
                                 .steps = 5 };
        g_ptr_array_add(concept->reads, read);
    }
    return concept;
}

typedef struct {
    RbSnap *snap;
    RbChart *chart;
    RbConcept *concept;
    GPtrArray *terms;
    RbReadContext context;
} Case;

static void case_init(Case *c)
{
    c->terms = rb_vocabulary_defaults();
    c->concept = curl_flat();
    c->snap = rb_snap_new((RbSnapId){ 41 }, (RbGameId){ 1 }, 17);
    c->chart = rb_chart_new(c->snap->id, (RbPersonId){ 5 });
    c->snap->situation.yards_to_goal = 35;
    c->snap->situation.distance = 7;
    c->snap->situation.hash = RB_HASH_RIGHT;
    c->snap->formation = rb_term_id(RB_TERM_FORMATION, "3x1");
    c->snap->personnel = rb_term_id(RB_TERM_PERSONNEL, "11");
    c->snap->play = RB_PLAY_DROPBACK;
    c->snap->result = RB_RESULT_COMPLETE;
    c->snap->has_gain = RB_YES;
    c->snap->gain = 9;
    c->chart->call = (RbCall){ RB_CALL_SINGLE, c->concept->id, { 0 }, RB_SIDE_LEFT };
    c->chart->side_worked = RB_SIDE_LEFT;
    c->chart->played.coverage = rb_term_id(RB_TERM_COVERAGE, "cover-2");
    c->chart->played.rushers = 5;
    c->chart->shown.left =
        (RbSideShown){ RB_TECHNIQUE_SQUAT, 55, RB_LEVERAGE_OUTSIDE, 0, -1, 0 };
    c->chart->looks[0] = RB_LOOK_COVERED;
    c->chart->looks[1] = RB_LOOK_OPEN;
    c->chart->ball = RB_BALL_READ;
    c->chart->ball_read = 2;
    c->chart->release_ms = 2440;
    c->context =
        (RbReadContext){ c->snap, c->concept, NULL, c->terms, rb_footwork_defaults() };
}

static void case_clear(Case *c)
{
    rb_snap_free(c->snap);
    rb_chart_free(c->chart);
    rb_concept_free(c->concept);
    g_ptr_array_unref(c->terms);
}

START_TEST(test_adapter__takes_situation_picture_and_ball)
{
    Case c;
    case_init(&c);
    RbDemoPlay play = rb_demo_play_default();
    rb_demo_play_set_chart(&play, &c.context, c.chart);
    ck_assert_int_eq(play.snap.value, 41);
    ck_assert_int_eq(play.number, 17);
    ck_assert_int_eq(play.yards_to_goal, 35);
    ck_assert_int_eq(play.distance, 7);
    ck_assert_int_eq(play.hash, RB_HASH_RIGHT);
    ck_assert_int_eq(play.receivers_left, 3);
    ck_assert_int_eq(play.receivers_right, 1);
    ck_assert_int_eq(play.tight_end, RB_SIDE_LEFT); /* one, on the side of more men */
    ck_assert_str_eq(play.coverage, "cover-2");
    ck_assert_int_eq(play.family, RB_FAMILY_ZONE);
    ck_assert_int_eq(play.deep, 2);
    ck_assert_int_eq(play.rushers, 5);
    ck_assert_int_eq(play.technique_left, RB_TECHNIQUE_SQUAT);
    ck_assert_int_eq(play.cushion_left_tenths, 55);
    ck_assert_int_eq(play.leverage_left, RB_LEVERAGE_OUTSIDE);
    ck_assert_int_eq(play.release_ms, 2440);
    ck_assert_int_eq(play.gain, 9);
    ck_assert_int_eq(play.backfield, RB_BACKFIELD_CENTRE);
    ck_assert_int_eq(play.drop_steps, 5);
    case_clear(&c);
}
END_TEST

START_TEST(test_adapter__routes_carry_looks_and_the_target)
{
    Case c;
    case_init(&c);
    RbDemoPlay play = rb_demo_play_default();
    rb_demo_play_set_chart(&play, &c.context, c.chart);
    ck_assert_int_eq(play.n_routes, 3);
    ck_assert_int_eq(play.routes[0].route, RB_ROUTE_FLAT);
    ck_assert_int_eq(play.routes[0].look, RB_LOOK_COVERED);
    ck_assert_int_eq(play.routes[1].route, RB_ROUTE_CURL);
    ck_assert_int_eq(play.routes[1].look, RB_LOOK_OPEN);
    ck_assert_int_eq(play.routes[1].depth_yd, 12);
    ck_assert_int_eq(play.routes[1].side, RB_SIDE_LEFT);
    ck_assert_int_eq(play.routes[2].runner, RB_RUNNER_BACK);
    ck_assert_int_eq(play.target, 1);
    case_clear(&c);
}
END_TEST

START_TEST(test_adapter__mirrored_call_runs_on_both_sides)
{
    Case c;
    case_init(&c);
    c.snap->formation = rb_term_id(RB_TERM_FORMATION, "2x2");
    c.chart->call.kind = RB_CALL_MIRRORED;
    RbDemoPlay play = rb_demo_play_default();
    rb_demo_play_set_chart(&play, &c.context, c.chart);
    ck_assert_int_eq(play.n_routes, 5);
    int right = 0;
    for (int i = 0; i < play.n_routes; i++) {
        if (play.routes[i].side == RB_SIDE_RIGHT) {
            right++;
            ck_assert_int_eq(play.routes[i].look, RB_LOOK_UNKNOWN);
        }
    }
    ck_assert_int_eq(right, 2);
    case_clear(&c);
}
END_TEST

/* A formation that has no such man gets one: the route was run. */
START_TEST(test_adapter__men_of_the_routes_are_lined_up)
{
    Case c;
    case_init(&c);
    c.snap->formation = rb_term_id(RB_TERM_FORMATION, "1x3");
    RbDemoPlay play = rb_demo_play_default();
    rb_demo_play_set_chart(&play, &c.context, c.chart);
    ck_assert_int_eq(play.receivers_left, 2);
    ck_assert_int_eq(play.receivers_right, 3);
    case_clear(&c);
}
END_TEST

START_TEST(test_adapter__untagged_chart_still_makes_a_film)
{
    Case c;
    case_init(&c);
    g_autoptr(RbChart) empty = rb_chart_new(c.snap->id, (RbPersonId){ 6 });
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 42 }, (RbGameId){ 1 }, 18);
    const RbReadContext context = { snap, NULL, NULL, c.terms, rb_footwork_defaults() };
    RbDemoPlay play = rb_demo_play_default();
    rb_demo_play_set_chart(&play, &context, empty);
    RbDemoPlan plan;
    g_autoptr(RbDemoAction) action = act_out(&play, 1, &plan);
    ck_assert_int_gt(action->frames, 100);
    case_clear(&c);
}
END_TEST

TCase *rb_case_adapter(void)
{
    TCase *tcase = rb_case_new("adapter");
    tcase_add_test(tcase, test_adapter__takes_situation_picture_and_ball);
    tcase_add_test(tcase, test_adapter__routes_carry_looks_and_the_target);
    tcase_add_test(tcase, test_adapter__mirrored_call_runs_on_both_sides);
    tcase_add_test(tcase, test_adapter__men_of_the_routes_are_lined_up);
    tcase_add_test(tcase, test_adapter__untagged_chart_still_makes_a_film);
    return tcase;
}
