/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"
#include "random-play.h"
#include "suite.h"

TCase *rb_case_plan(void);

#define ROUNDS 250

/* Back from the field to the offense's frame. */
static RbPoint2 from_field(const RbDemoPlan *plan, RbPoint2 p)
{
    const double way = plan->play.attacks_right ? 1 : -1;
    return (RbPoint2){ way * (p.x - plan->ball.x), -way * (p.y - plan->ball.y) };
}

static RbPoint2 place(const RbDemoPlan *plan, const RbDemoAction *action, int frame,
                      int who)
{
    return from_field(plan, action->poses[frame * RB_DEMO_PLAYERS + who].at);
}

static double apart(RbPoint2 a, RbPoint2 b)
{
    return hypot(a.x - b.x, a.y - b.y);
}

/* NFL Rule 7-5-1 and NCAA 7-1-4: seven on the line at the snap (at least; the rest is enough
 * behind it), nobody beyond it, one man in motion at most and not toward the line. */
START_TEST(test_plan__offense_is_legal_at_the_snap)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(41));
    for (int round = 0; round < ROUNDS; round++) {
        const RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        int on_line = 0;
        int moving = 0;
        for (int i = 0; i < RB_DEMO_OFFENSE; i++) {
            const RbPoint2 now = place(&plan, action, action->snap, i);
            const RbPoint2 before = place(&plan, action, action->snap - 6, i);
            ck_assert_double_lt(now.x, -0.3);
            on_line += now.x > -1.35 ? 1 : 0;
            moving += apart(now, before) > 0.12 ? 1 : 0;
        }
        const int sides = (plan.play.receivers_left > 0 ? 1 : 0) +
                          (plan.play.receivers_right > 0 ? 1 : 0);
        ck_assert_int_eq(on_line, 5 + sides);
        ck_assert_int_le(moving, 1);
        for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
            ck_assert_double_gt(place(&plan, action, action->snap, i).x, 0.2);
        }
    }
}
END_TEST

START_TEST(test_plan__formation_has_the_men_that_were_asked_for)
{
    RbDemoPlay play = sample_play();
    play.receivers_left = 1;
    play.receivers_right = 3;
    play.tight_end = RB_SIDE_RIGHT;
    RbDemoPlan plan;
    g_autoptr(RbDemoAction) action = act_out(&play, 3, &plan);
    int left = 0;
    int right = 0;
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        const RbPoint2 p = place(&plan, action, action->snap, i);
        left += p.y < -4.2 && p.x > -4 ? 1 : 0;
        right += p.y > 4.2 && p.x > -4 ? 1 : 0;
    }
    ck_assert_int_eq(left, 1);
    ck_assert_int_eq(right, 3);
}
END_TEST

/* At the left hash the left sideline is the near one: the boundary, from the offense's view
 * in whichever direction it goes. */
START_TEST(test_plan__hash_is_seen_from_the_offense)
{
    for (int right = 0; right < 2; right++) {
        RbDemoPlay play = sample_play();
        play.attacks_right = right == 1;
        play.hash = RB_HASH_LEFT;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 1, &plan);
        ck_assert_double_eq_tol(-plan.left, 20, 1e-9); /* NCAA: 60 ft */
        ck_assert_double_eq_tol(plan.right - plan.left, RB_FIELD_WIDTH_YD, 1e-9);
        ck_assert_double_eq_tol(action->line_x, right == 1 ? 40 : 60, 1e-9);
    }
}
END_TEST

START_TEST(test_plan__marks_come_in_order_inside_the_clip)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(42));
    for (int round = 0; round < ROUNDS; round++) {
        const RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        int last = 0;
        for (int kind = RB_MARK_SET; kind <= RB_MARK_END; kind++) {
            const int frame = action->marks[kind];
            if (frame < 0) {
                ck_assert(kind == RB_MARK_RELEASE || kind == RB_MARK_ARRIVAL);
                continue;
            }
            ck_assert_int_gt(frame, last);
            last = frame;
        }
        ck_assert_int_lt(last, action->frames);
        ck_assert(action->marks[RB_MARK_RELEASE] >= 0 ||
                  action->marks[RB_MARK_ARRIVAL] < 0);
        ck_assert_int_lt(action->frames, 60 * 24); /* no clip of more than 24 s */
    }
}
END_TEST

START_TEST(test_plan__release_is_where_the_chart_has_it)
{
    for (int ms = 700; ms < 4000; ms += 137) {
        RbDemoPlay play = sample_play();
        play.release_ms = ms;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 5, &plan);
        const double measured = rb_demo_action_ms(action, action->marks[RB_MARK_RELEASE]);
        ck_assert_double_eq_tol(measured, ms, 1001.0 / 60000 * 500 + 0.01);
    }
}
END_TEST

START_TEST(test_plan__nobody_is_faster_than_a_man)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(43));
    for (int round = 0; round < ROUNDS; round++) {
        const RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        for (int frame = 1; frame < action->frames; frame++) {
            for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
                const RbPoint2 a = place(&plan, action, frame - 1, i);
                const RbPoint2 b = place(&plan, action, frame, i);
                const double speed = apart(a, b) / RB_DEMO_STEP_S;
                ck_assert_msg(speed <= RB_DEMO_SPEED_MAX + 1e-6,
                              "round %d, man %d at frame %d: %.2f yd/s", round, i, frame,
                              speed);
            }
        }
    }
}
END_TEST

START_TEST(test_plan__bodies_do_not_stand_in_each_other)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(44));
    int close = 0;
    for (int round = 0; round < 60; round++) {
        const RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
            for (int k = 0; k < i; k++) {
                close += apart(place(&plan, action, action->snap, i),
                               place(&plan, action, action->snap, k)) < 0.45
                             ? 1
                             : 0;
            }
        }
    }
    ck_assert_int_eq(close, 0);
}
END_TEST

/* Free fall: the second difference of the height is g, 9.80665 m/s2 or 10.725 yd/s2. */
START_TEST(test_plan__thrown_ball_flies_a_parabola)
{
    RbDemoPlay play = sample_play();
    RbDemoPlan plan;
    g_autoptr(RbDemoAction) action = act_out(&play, 6, &plan);
    const int from = action->marks[RB_MARK_RELEASE];
    const int to = action->marks[RB_MARK_ARRIVAL];
    ck_assert_int_gt(to - from, 20);
    for (int i = from + 1; i < to; i++) {
        const RbPoint3 a = action->ball[i - 1];
        const RbPoint3 b = action->ball[i];
        const RbPoint3 c = action->ball[i + 1];
        const double step = RB_DEMO_STEP_S * RB_DEMO_STEP_S;
        ck_assert_double_eq_tol((a.z - 2 * b.z + c.z) / step, -9.80665 / 0.9144, 1e-3);
        ck_assert_double_eq_tol(a.x - 2 * b.x + c.x, 0, 1e-9);
    }
    const double way = hypot(action->ball[to].x - action->ball[from].x,
                             action->ball[to].y - action->ball[from].y);
    const double speed = way / ((to - from) * RB_DEMO_STEP_S) * 0.9144;
    ck_assert_double_gt(speed,
                        13); /* published for college passers: about 18 to 21 m/s */
    ck_assert_double_lt(speed, 21);
}
END_TEST

START_TEST(test_plan__ball_leaves_the_ground_at_the_snap)
{
    RbDemoPlay play = sample_play();
    RbDemoPlan plan;
    g_autoptr(RbDemoAction) action = act_out(&play, 6, &plan);
    const RbPoint3 first = action->ball[0];
    for (int i = 0; i <= action->snap; i++) {
        ck_assert_double_eq(action->ball[i].z, first.z);
        ck_assert_double_eq(action->ball[i].x, first.x);
    }
    ck_assert_double_gt(action->ball[action->snap + 1].z, first.z);
    for (int i = 1; i < action->frames; i++) { /* and it never jumps */
        const RbPoint3 a = action->ball[i - 1];
        const RbPoint3 b = action->ball[i];
        ck_assert_double_lt(hypot(hypot(a.x - b.x, a.y - b.y), a.z - b.z), 0.75);
    }
}
END_TEST

START_TEST(test_plan__caught_ball_ends_where_the_gain_says)
{
    for (int gain = 0; gain <= 30; gain += 3) {
        RbDemoPlay play = sample_play();
        play.gain = gain;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 7, &plan);
        const int end = action->marks[RB_MARK_END];
        ck_assert_int_eq(plan.catcher, plan.receiver);
        const RbPoint2 carrier = place(&plan, action, end, plan.catcher);
        ck_assert_double_eq_tol(carrier.x, gain, 1.5);
        const RbPoint3 ball = action->ball[action->marks[RB_MARK_ARRIVAL]];
        const RbPoint2 held = from_field(&plan, (RbPoint2){ ball.x, ball.y });
        const RbPoint2 him =
            place(&plan, action, action->marks[RB_MARK_ARRIVAL], plan.catcher);
        ck_assert_double_lt(apart(held, him), 0.9);
    }
}
END_TEST

START_TEST(test_plan__sack_ends_at_the_loss)
{
    for (int loss = 3; loss <= 11; loss += 2) {
        RbDemoPlay play = sample_play();
        play.ball = RB_BALL_SACK;
        play.result = RB_RESULT_SACK;
        play.target = -1;
        play.release_ms = 3200;
        play.gain = -loss;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 8, &plan);
        const int end = action->marks[RB_MARK_END];
        ck_assert_int_lt(action->marks[RB_MARK_RELEASE], 0);
        const RbPoint2 passer = place(&plan, action, end, 0);
        ck_assert_double_eq_tol(passer.x, -loss, 1.5);
        double nearest = 100;
        for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
            nearest = MIN(nearest, apart(passer, place(&plan, action, end, i)));
        }
        ck_assert_double_lt(nearest, 1.6);
    }
}
END_TEST

START_TEST(test_plan__incomplete_ball_ends_on_the_ground)
{
    static const RbThrow throws[] = { RB_THROW_NOT_CATCHABLE, RB_THROW_TIPPED,
                                      RB_THROW_ON_TARGET };
    for (size_t i = 0; i < sizeof throws / sizeof throws[0]; i++) {
        RbDemoPlay play = sample_play();
        play.result = RB_RESULT_INCOMPLETE;
        play.throw_ = throws[i];
        play.catch_ = throws[i] == RB_THROW_ON_TARGET ? RB_CATCH_DROPPED : RB_CATCH_NONE;
        play.gain = 0;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 9, &plan);
        ck_assert_int_lt(plan.catcher, 0);
        ck_assert_double_lt(action->ball[action->frames - 1].z, 1.0);
        if (throws[i] == RB_THROW_TIPPED) {
            const RbPoint3 ball = action->ball[action->marks[RB_MARK_ARRIVAL]];
            const RbPoint2 at = from_field(&plan, (RbPoint2){ ball.x, ball.y });
            ck_assert_double_eq_tol(at.x, 0.4, 0.5);
        }
    }
}
END_TEST

/* Rushers and deep men by coverage: common practice, no source for who they are, but their
 * number is what the chart says. */
START_TEST(test_plan__coverage_has_its_rushers_and_deep_men)
{
    static const struct {
        const char *token;
        RbFamily family;
        int deep;
        int rushers;
        int deep_men;
    } rows[] = {
        { "cover-0", RB_FAMILY_MAN, 0, 6, 0 },
        { "cover-1", RB_FAMILY_MAN, 1, 5, 1 },
        { "cover-2", RB_FAMILY_ZONE, 2, 4, 2 },
        { "two-man", RB_FAMILY_MAN, 2, 4, 2 },
        { "tampa-2", RB_FAMILY_ZONE, 2, 4, 3 },
        { "cover-3", RB_FAMILY_ZONE, 3, 4, 3 },
        { "cover-3-cloud", RB_FAMILY_ZONE, 3, 4, 3 },
        { "quarters", RB_FAMILY_MATCH, 4, 4, 4 },
        { "quarter-quarter-half", RB_FAMILY_ZONE, 3, 4, 3 },
        { "fire-zone", RB_FAMILY_ZONE, 3, 5, 3 },
        { "drop-eight", RB_FAMILY_ZONE, -1, 3, 3 },
    };
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        RbDemoPlay play = sample_play();
        play.coverage = rows[r].token;
        play.family = rows[r].family;
        play.deep = rows[r].deep;
        play.rushers = rows[r].rushers;
        play.shell = RB_SHELL_ONE_HIGH;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 10, &plan);
        int count[RB_DEMO_TASK_DEEP + 1] = { 0 };
        for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
            count[plan.men[i].task]++;
        }
        ck_assert_int_eq(count[RB_DEMO_TASK_RUSH], rows[r].rushers);
        ck_assert_int_eq(count[RB_DEMO_TASK_DEEP], rows[r].deep_men);
        ck_assert_int_eq(count[RB_DEMO_TASK_MAN] > 0, rows[r].family == RB_FAMILY_MAN);
        ck_assert_int_eq(count[RB_DEMO_TASK_PROTECT], 0);
    }
}
END_TEST

static double cushion_of(RbDemoPlay play, RbTechnique technique, int tenths)
{
    play.technique_left = technique;
    play.cushion_left_tenths = tenths;
    RbDemoPlan plan;
    g_autoptr(RbDemoAction) action = act_out(&play, 11, &plan);
    const RbPoint2 corner = place(&plan, action, action->snap, RB_DEMO_CORNER_LEFT);
    const RbPoint2 wide = place(&plan, action, action->snap, RB_DEMO_FIRST_ELIGIBLE);
    return corner.x - wide.x;
}

START_TEST(test_plan__corner_has_the_cushion_that_was_charted)
{
    const RbDemoPlay play = sample_play();
    for (int tenths = 20; tenths <= 90; tenths += 10) {
        ck_assert_double_eq_tol(cushion_of(play, RB_TECHNIQUE_OFF, tenths), tenths / 10.0,
                                0.15);
    }
    ck_assert_double_lt(cushion_of(play, RB_TECHNIQUE_PRESS, 0), 3);
    ck_assert_double_gt(cushion_of(play, RB_TECHNIQUE_OFF, 0), 5);
}
END_TEST

START_TEST(test_plan__shell_shows_its_safeties)
{
    static const struct {
        RbShell shell;
        int deep;
    } rows[] = { { RB_SHELL_NONE_DEEP, 0 },
                 { RB_SHELL_ONE_HIGH, 1 },
                 { RB_SHELL_TWO_HIGH, 2 },
                 { RB_SHELL_THREE_HIGH, 3 } };
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        RbDemoPlay play = sample_play();
        play.shell = rows[r].shell;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 12, &plan);
        int deep = 0;
        for (int i = RB_DEMO_FIRST_BACKER; i < RB_DEMO_PLAYERS; i++) {
            deep += place(&plan, action, action->snap, i).x > 9.5 ? 1 : 0;
        }
        ck_assert_int_eq(deep, rows[r].deep);
    }
}
END_TEST

/* Distance of the nearest defender to the man of a route when the ball leaves. */
static double room_at_release(const RbDemoPlan *plan, const RbDemoAction *action,
                              int route)
{
    double nearest = 100;
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        if (plan->men[i].route != route) {
            continue;
        }
        const int frame = action->marks[RB_MARK_RELEASE] + 10;
        for (int k = RB_DEMO_FIRST_FRONT; k < RB_DEMO_PLAYERS; k++) {
            nearest = MIN(nearest, apart(place(plan, action, frame, i),
                                         place(plan, action, frame, k)));
        }
    }
    return nearest;
}

/* What the chart calls open and covered must look it: a coach sees the film. */
START_TEST(test_plan__open_and_covered_look_it)
{
    static const struct {
        const char *token;
        RbFamily family;
        int deep;
    } coverages[] = { { "cover-1", RB_FAMILY_MAN, 1 },
                      { "cover-2", RB_FAMILY_ZONE, 2 },
                      { "cover-3", RB_FAMILY_ZONE, 3 },
                      { "quarters", RB_FAMILY_MATCH, 4 } };
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(45));
    int open = 0;
    int open_good = 0;
    int covered = 0;
    int covered_good = 0;
    for (int round = 0; round < 120; round++) {
        RbDemoPlay play = sample_play();
        const int c = round % 4;
        play.coverage = coverages[c].token;
        play.family = coverages[c].family;
        play.deep = coverages[c].deep;
        play.release_ms = rb_random_int(&random, 1900, 3300);
        for (int i = 0; i < play.n_routes; i++) {
            play.routes[i].look =
                rb_random_chance(&random, 0.5) ? RB_LOOK_OPEN : RB_LOOK_COVERED;
        }
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        for (int i = 0; i < play.n_routes; i++) {
            const double room = room_at_release(&plan, action, i);
            if (play.routes[i].look == RB_LOOK_OPEN) {
                open++;
                open_good += room > 2.5 ? 1 : 0;
            } else {
                covered++;
                covered_good += room < 2.2 ? 1 : 0;
            }
        }
    }
    printf("open %d of %d, covered %d of %d\n", open_good, open, covered_good, covered);
    ck_assert_int_ge(open_good * 100, open * 92);
    ck_assert_int_ge(covered_good * 100, covered * 92);
}
END_TEST

START_TEST(test_plan__pressure_comes_when_it_was_charted)
{
    for (int ms = 1700; ms <= 3300; ms += 200) {
        RbDemoPlay play = sample_play();
        play.pressure = RB_PRESSURE_CAME;
        play.pressure_ms = ms;
        play.release_ms = ms + 200;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 13, &plan);
        const int frame = rb_demo_plan_frame(&plan, ms);
        const RbPoint2 passer = place(&plan, action, frame, 0);
        ck_assert_int_ge(plan.beaten, RB_DEMO_FIRST_FRONT);
        ck_assert_double_lt(apart(passer, place(&plan, action, frame, plan.beaten)), 2.6);
    }
}
END_TEST

START_TEST(test_plan__pocket_holds_without_pressure)
{
    for (int seed = 0; seed < 20; seed++) {
        RbDemoPlay play = sample_play();
        play.pressure = RB_PRESSURE_NONE;
        play.release_ms = 2900;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)seed, &plan);
        const int frame = action->marks[RB_MARK_RELEASE];
        const RbPoint2 passer = place(&plan, action, frame, 0);
        for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
            ck_assert_double_gt(apart(passer, place(&plan, action, frame, i)), 1.8);
        }
    }
}
END_TEST

START_TEST(test_plan__same_seed_same_play)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(46));
    const RbDemoPlay play = random_play(&random);
    RbDemoPlan plan;
    g_autoptr(RbDemoAction) a = act_out(&play, 14, &plan);
    g_autoptr(RbDemoAction) b = act_out(&play, 14, &plan);
    g_autoptr(RbDemoAction) c = act_out(&play, 15, &plan);
    ck_assert_int_eq(a->frames, b->frames);
    bool differs = a->frames != c->frames;
    for (int i = 0; i < a->frames * RB_DEMO_PLAYERS; i++) {
        ck_assert_double_eq(a->poses[i].at.x, b->poses[i].at.x);
        ck_assert_double_eq(a->poses[i].heading, b->poses[i].heading);
        differs = differs || a->poses[i].at.x != c->poses[i].at.x;
    }
    ck_assert(differs);
}
END_TEST

TCase *rb_case_plan(void)
{
    TCase *tcase = rb_case_new("plan");
    tcase_add_test(tcase, test_plan__offense_is_legal_at_the_snap);
    tcase_add_test(tcase, test_plan__formation_has_the_men_that_were_asked_for);
    tcase_add_test(tcase, test_plan__hash_is_seen_from_the_offense);
    tcase_add_test(tcase, test_plan__marks_come_in_order_inside_the_clip);
    tcase_add_test(tcase, test_plan__release_is_where_the_chart_has_it);
    tcase_add_test(tcase, test_plan__nobody_is_faster_than_a_man);
    tcase_add_test(tcase, test_plan__bodies_do_not_stand_in_each_other);
    tcase_add_test(tcase, test_plan__thrown_ball_flies_a_parabola);
    tcase_add_test(tcase, test_plan__ball_leaves_the_ground_at_the_snap);
    tcase_add_test(tcase, test_plan__caught_ball_ends_where_the_gain_says);
    tcase_add_test(tcase, test_plan__sack_ends_at_the_loss);
    tcase_add_test(tcase, test_plan__incomplete_ball_ends_on_the_ground);
    tcase_add_test(tcase, test_plan__coverage_has_its_rushers_and_deep_men);
    tcase_add_test(tcase, test_plan__corner_has_the_cushion_that_was_charted);
    tcase_add_test(tcase, test_plan__shell_shows_its_safeties);
    tcase_add_test(tcase, test_plan__open_and_covered_look_it);
    tcase_add_test(tcase, test_plan__pressure_comes_when_it_was_charted);
    tcase_add_test(tcase, test_plan__pocket_holds_without_pressure);
    tcase_add_test(tcase, test_plan__same_seed_same_play);
    return tcase;
}
