/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plan.h"

#include <math.h>
#include <string.h>

/* Before the snap: how long the offense is still, and what comes before that. */
#define STILL_MS 1150
#define WALK_MS 1000
#define SHIFT_MS 1900
#define FALSE_START_MS 3600
#define AFTER_MS 750
#define PRESSURE_DEFAULT_MS 2600

RbDemoPlay rb_demo_play_default(void)
{
    return (RbDemoPlay){
        .yards_to_goal = 60,
        .distance = 10,
        .hash = RB_HASH_MIDDLE,
        .receivers_left = 2,
        .receivers_right = 2,
        .coverage = NULL,
        .deep = -1,
        .rushers = 4,
        .target = -1,
    };
}

/* Snap to the last step of the drop: common practice, no source. */
static int drop_time(RbBackfield backfield, int steps)
{
    const int from_centre = steps <= 1   ? 700
                            : steps <= 3 ? 1300
                            : steps <= 5 ? 1900
                                         : 2500;
    return backfield == RB_BACKFIELD_GUN ? from_centre - 150 : from_centre;
}

static double drop_depth(RbBackfield backfield, int steps)
{
    if (backfield == RB_BACKFIELD_GUN) {
        return steps <= 1 ? -5.4 : steps <= 3 ? -6.8 : -8.4;
    }
    return steps <= 1 ? -2.6 : steps <= 3 ? -4.8 : steps <= 5 ? -7.0 : -9.2;
}

static void fill_in_play(RbDemoPlan *plan)
{
    RbDemoPlay *play = &plan->play;
    if (play->yards_to_goal < 1 || play->yards_to_goal > 99) {
        play->yards_to_goal = 60;
    }
    if (play->distance < 1) {
        play->distance = 10;
    }
    if (play->hash == RB_HASH_UNKNOWN) {
        play->hash = RB_HASH_MIDDLE;
    }
    if (play->receivers_left + play->receivers_right < 1 ||
        play->receivers_left + play->receivers_right > 5 || play->receivers_left < 0 ||
        play->receivers_right < 0) {
        play->receivers_left = 2;
        play->receivers_right = 2;
    }
    if (play->rushers < 2) {
        play->rushers = 4;
    }
    if (play->deep < 0) {
        play->deep = play->family == RB_FAMILY_MAN      ? 1
                     : play->shell == RB_SHELL_TWO_HIGH ? 2
                                                        : 3;
    }
    const bool gun = play->backfield == RB_BACKFIELD_GUN;
    if (play->drop_steps < 1) {
        const int of = play->release_ms;
        play->drop_steps = of == 0     ? (gun ? 3 : 5)
                           : of < 1700 ? (gun ? 1 : 3)
                           : of < 2900 ? (gun ? 3 : 5)
                                       : (gun ? 5 : 7);
    }
    if (play->release_ms <= 0) {
        play->release_ms = drop_time(play->backfield, play->drop_steps) + 450;
    }
    play->release_ms = CLAMP(play->release_ms, 600, 9000);
    if (play->pressure == RB_PRESSURE_CAME && play->pressure_ms <= 0) {
        play->pressure_ms = MIN(PRESSURE_DEFAULT_MS, play->release_ms);
    }
    if (play->ball == RB_BALL_SACK) {
        play->pressure_ms = play->release_ms;
    }
}

/* Places the offense's frame on the field. */
static void place(RbDemoPlan *plan)
{
    const RbFieldDimensions *d = rb_field_dimensions(plan->code);
    const RbDemoPlay *play = &plan->play;
    plan->yards_to_goal = play->yards_to_goal;
    /* The offense's left is the far side when it attacks right. */
    const double left_hash =
        play->attacks_right ? RB_FIELD_WIDTH_YD - d->hash_yd : d->hash_yd;
    plan->ball.x = play->attacks_right ? RB_FIELD_LENGTH_YD - play->yards_to_goal
                                       : play->yards_to_goal;
    plan->ball.y = play->hash == RB_HASH_MIDDLE ? RB_FIELD_WIDTH_YD / 2.0
                   : play->hash == RB_HASH_LEFT ? left_hash
                                                : RB_FIELD_WIDTH_YD - left_hash;
    plan->right = play->attacks_right ? plan->ball.y : RB_FIELD_WIDTH_YD - plan->ball.y;
    plan->left = plan->right - RB_FIELD_WIDTH_YD;
}

RbPoint2 rb_demo_plan_to_field(const RbDemoPlan *plan, RbPoint2 point)
{
    const double way = plan->play.attacks_right ? 1.0 : -1.0;
    return (RbPoint2){ plan->ball.x + way * point.x, plan->ball.y - way * point.y };
}

int rb_demo_plan_frame(const RbDemoPlan *plan, int ms)
{
    const int snap = (int)lround(-plan->first_ms / (1000.0 * RB_DEMO_STEP_S));
    return snap + (int)lround(ms / (1000.0 * RB_DEMO_STEP_S));
}

static void set_times_before(RbDemoPlan *plan, RbRandom *random)
{
    plan->set_ms = -STILL_MS - rb_random_int(random, 0, 600);
    plan->motion_ms = plan->set_ms;
    if (plan->mover >= 0 && plan->play.motion != RB_DEMO_MOTION_NONE) {
        const RbDemoMan *man = &plan->men[plan->mover];
        const double way =
            hypot(man->spot.x - man->before.x, man->spot.y - man->before.y);
        const double speed = plan->play.motion == RB_DEMO_MOTION_JET ? 6.5 : 5.5;
        const int still = plan->play.motion == RB_DEMO_MOTION_ACROSS ? 1000 : 0;
        plan->motion_ms = -still - (int)(1000.0 * way / speed) - 400;
        plan->set_ms = MIN(plan->set_ms, plan->motion_ms - 500);
    }
    plan->first_ms = plan->set_ms - WALK_MS;
    if (plan->mover >= 0 && plan->play.motion == RB_DEMO_MOTION_NONE) {
        plan->first_ms -= SHIFT_MS;
    }
    plan->false_start_ms = 0;
    if (plan->play.false_start) {
        plan->first_ms -= FALSE_START_MS;
        plan->false_start_ms = plan->set_ms - FALSE_START_MS + 900;
    }
}

/* Where everybody is when the camera starts: near his place, on the way to it. */
static void place_start(RbDemoPlan *plan, RbRandom *random)
{
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        RbDemoMan *man = &plan->men[i];
        const bool shifts = i == plan->mover && plan->play.motion == RB_DEMO_MOTION_NONE;
        const RbPoint2 place = shifts ? man->spot : man->before;
        const double side = i < RB_DEMO_OFFENSE ? -1.0 : 1.0;
        man->start.x = place.x + side * (0.2 + 1.1 * rb_random_unit(random));
        man->start.y = place.y + 0.8 * (2.0 * rb_random_unit(random) - 1.0);
        if (shifts) {
            man->start = man->before;
        }
    }
}

void rb_demo_plan_init(RbDemoPlan *plan, RbFieldCode code, const RbDemoPlay *play,
                       RbRandom *random)
{
    memset(plan, 0, sizeof *plan);
    plan->code = code;
    plan->play = *play;
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        plan->men[i].other = -1;
        plan->men[i].route = -1;
        plan->men[i].tight = -1;
    }
    fill_in_play(plan);
    place(plan);
    rb_demo_plan_offense(plan, random);
    rb_demo_plan_routes(plan);
    rb_demo_plan_defense(plan, random);
    rb_demo_plan_tasks(plan, random);
    set_times_before(plan, random);
    place_start(plan, random);
    const RbDemoPlay *filled = &plan->play;
    plan->top_ms =
        MIN(drop_time(filled->backfield, filled->drop_steps), filled->release_ms - 150);
    plan->drop = (RbPoint2){ drop_depth(filled->backfield, filled->drop_steps), 0.0 };
    rb_demo_plan_throw(plan, random);
    plan->last_ms = plan->end_ms + AFTER_MS;
}
