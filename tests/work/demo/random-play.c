/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "random-play.h"

static void random_routes(RbRandom *random, RbDemoPlay *play)
{
    play->n_routes = rb_random_int(random, 0, RB_DEMO_ROUTES_MAX);
    for (int i = 0; i < play->n_routes; i++) {
        play->routes[i] = (RbDemoRoute){
            .side = (RbSide)rb_random_int(random, RB_SIDE_UNKNOWN, RB_SIDE_RIGHT),
            .runner = (RbRunner)rb_random_int(random, RB_RUNNER_UNKNOWN, RB_RUNNER_BACK),
            .route = (RbRoute)rb_random_int(random, RB_ROUTE_UNKNOWN, RB_ROUTE_DRAWN),
            .depth_yd = rb_random_int(random, 0, 18),
            .read = i + 1,
            .look = (RbLook)rb_random_int(random, RB_LOOK_UNKNOWN, RB_LOOK_CANT_TELL),
        };
    }
    play->target =
        play->n_routes > 0 ? rb_random_int(random, -1, play->n_routes - 1) : -1;
}

RbDemoPlay random_play(RbRandom *random)
{
    static const char *const coverages[] = { NULL,
                                             "cover-1",
                                             "cover-2",
                                             "tampa-2",
                                             "cover-3-cloud",
                                             "cover-3",
                                             "quarters",
                                             "quarter-quarter-half" };
    RbDemoPlay play = rb_demo_play_default();
    play.attacks_right = rb_random_chance(random, 0.5);
    play.yards_to_goal = rb_random_int(random, 1, 99);
    play.distance = rb_random_int(random, 1, 20);
    play.hash = (RbHash)rb_random_int(random, RB_HASH_UNKNOWN, RB_HASH_RIGHT);
    play.receivers_left = rb_random_int(random, 0, 4);
    play.receivers_right = rb_random_int(random, 0, 5 - play.receivers_left);
    play.tight_end = (RbSide)rb_random_int(random, RB_SIDE_UNKNOWN, RB_SIDE_RIGHT);
    play.width = (RbWidth)rb_random_int(random, RB_WIDTH_UNKNOWN, RB_WIDTH_STACK);
    play.backfield =
        (RbBackfield)rb_random_int(random, RB_BACKFIELD_GUN, RB_BACKFIELD_CENTRE);
    play.motion =
        (RbDemoMotion)rb_random_int(random, RB_DEMO_MOTION_NONE, RB_DEMO_MOTION_ACROSS);
    play.shift = rb_random_chance(random, 0.2);
    play.false_start = rb_random_chance(random, 0.1);
    play.shell = (RbShell)rb_random_int(random, RB_SHELL_UNKNOWN, RB_SHELL_UNCLEAR);
    play.technique_left = (RbTechnique)rb_random_int(random, 0, RB_TECHNIQUE_HARD);
    play.technique_right = (RbTechnique)rb_random_int(random, 0, RB_TECHNIQUE_HARD);
    play.cushion_left_tenths = rb_random_int(random, 0, 90);
    play.coverage = coverages[rb_random_int(random, 0, 7)];
    play.family = (RbFamily)rb_random_int(random, RB_FAMILY_UNKNOWN, RB_FAMILY_MATCH);
    play.deep = rb_random_int(random, -1, 4);
    play.rotation = (RbRotation)rb_random_int(random, 0, RB_ROTATION_RIGHT);
    play.rushers = rb_random_int(random, 0, 7);
    play.unblocked = rb_random_chance(random, 0.2) ? RB_SIDE_LEFT : RB_SIDE_UNKNOWN;
    play.pressure = (RbPressure)rb_random_int(random, 0, RB_PRESSURE_CAME);
    play.pressure_ms = rb_random_int(random, 0, 3500);
    play.play = (RbPlay)rb_random_int(random, RB_PLAY_DROPBACK, RB_PLAY_SPRINT_OUT);
    random_routes(random, &play);
    play.release_ms = rb_random_int(random, 0, 4200);
    play.ball = (RbBall)rb_random_int(random, RB_BALL_UNKNOWN, RB_BALL_THROWN_AWAY);
    play.throw_ = (RbThrow)rb_random_int(random, RB_THROW_UNKNOWN, RB_THROW_TIPPED);
    play.catch_ =
        (RbCatch)rb_random_int(random, RB_CATCH_UNKNOWN, RB_CATCH_OUT_OF_BOUNDS);
    play.result =
        (RbResult)rb_random_int(random, RB_RESULT_UNKNOWN, RB_RESULT_THROWN_AWAY);
    play.gain = rb_random_int(random, -12, MIN(60, play.yards_to_goal));
    return play;
}

RbDemoPlay sample_play(void)
{
    RbDemoPlay play = rb_demo_play_default();
    play.snap.value = 77;
    play.number = 12;
    play.attacks_right = true;
    play.hash = RB_HASH_LEFT;
    play.shell = RB_SHELL_TWO_HIGH;
    play.technique_left = RB_TECHNIQUE_OFF;
    play.technique_right = RB_TECHNIQUE_PRESS;
    play.coverage = "cover-3";
    play.family = RB_FAMILY_ZONE;
    play.deep = 3;
    play.play = RB_PLAY_DROPBACK;
    play.routes[0] =
        (RbDemoRoute){ RB_SIDE_LEFT, RB_RUNNER_1, RB_ROUTE_CURL, 12, 2, RB_LOOK_OPEN };
    play.routes[1] =
        (RbDemoRoute){ RB_SIDE_LEFT, RB_RUNNER_2, RB_ROUTE_FLAT, 0, 1, RB_LOOK_COVERED };
    play.routes[2] =
        (RbDemoRoute){ RB_SIDE_RIGHT, RB_RUNNER_1, RB_ROUTE_POST, 0, 3, RB_LOOK_COVERED };
    play.n_routes = 3;
    play.target = 0;
    play.ball = RB_BALL_READ;
    play.release_ms = 2500;
    play.throw_ = RB_THROW_ON_TARGET;
    play.catch_ = RB_CATCH_CAUGHT;
    play.result = RB_RESULT_COMPLETE;
    play.gain = 15;
    return play;
}

RbDemoAction *act_out(const RbDemoPlay *play, uint64_t seed, RbDemoPlan *plan)
{
    RbRandom random;
    rb_random_seed(&random, seed);
    rb_demo_plan_init(plan, RB_FIELD_COLLEGE, play, &random);
    return rb_demo_action_new(plan, &random);
}
