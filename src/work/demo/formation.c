/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"

/* Where the offense lines up. Splits and depths: common practice, no source. */
#define LINE_SPLIT 1.55 /* centre of one lineman to the next */
#define ON_LINE (-0.95)
#define OFF_LINE (-1.9)
#define GUN_DEPTH (-5.0)
#define CENTRE_DEPTH (-1.55)
#define TIGHT_END_OUT (2 * LINE_SPLIT + 1.65)

static double sign_of(RbSide side)
{
    return side == RB_SIDE_LEFT ? -1.0 : 1.0;
}

static double room(const RbDemoPlan *plan, RbSide side)
{
    return side == RB_SIDE_LEFT ? -plan->left : plan->right;
}

static void line_up_linemen(RbDemoPlan *plan)
{
    for (int i = 0; i < 5; i++) {
        RbDemoMan *man = &plan->men[RB_DEMO_FIRST_LINEMAN + i];
        man->task = RB_DEMO_TASK_PROTECT;
        man->spot = (RbPoint2){ i == 2 ? -0.55 : ON_LINE, (i - 2) * LINE_SPLIT };
    }
}

/* How far out the receiver with this number stands, of `count` on his side. */
static double receiver_out(const RbDemoPlan *plan, RbSide side, int number, int count)
{
    const bool beside = plan->play.tight_end == side;
    const double inside = beside ? TIGHT_END_OUT : 2 * LINE_SPLIT + 2.2;
    const double widest = MIN(room(plan, side) - 5.5, 19.0);
    const double outside = plan->play.width == RB_WIDTH_CONDENSED
                               ? MIN(widest, MAX(9.0, inside + 1.4 * count))
                           : count >= 3 ? widest
                                        : MIN(widest, 17.0);
    if (beside && number == count) {
        return TIGHT_END_OUT;
    }
    if (plan->play.width == RB_WIDTH_STACK && number == 2 && !beside) {
        return outside - 0.8;
    }
    if (number == 1) {
        return outside;
    }
    const double share = (double)(number - 1) / (beside ? count - 1 : count);
    return outside - share * (outside - inside);
}

/* The men on one side, from the sideline in; one of them is on the line. */
static int line_up_side(RbDemoPlan *plan, RbSide side, int count, int next)
{
    const bool beside = plan->play.tight_end == side;
    for (int number = 1; number <= count; number++) {
        RbDemoMan *man = &plan->men[next++];
        man->side = side;
        man->runner = (RbRunner)(RB_RUNNER_1 + MIN(number, 4) - 1);
        man->tight_end = beside && number == count;
        const bool on_line = beside ? number == count : number == 1;
        double depth = on_line ? ON_LINE : OFF_LINE;
        if (plan->play.width == RB_WIDTH_STACK && number == 2 && !beside) {
            depth = OFF_LINE - 1.2;
        }
        man->spot =
            (RbPoint2){ depth, sign_of(side) * receiver_out(plan, side, number, count) };
    }
    return next;
}

static void line_up_backs(RbDemoPlan *plan, int next)
{
    const bool gun = plan->play.backfield == RB_BACKFIELD_GUN;
    plan->men[0].task = RB_DEMO_TASK_PASS;
    plan->men[0].spot = (RbPoint2){ gun ? GUN_DEPTH : CENTRE_DEPTH, 0.0 };
    /* The first back stands on the side away from the tight end, or from more receivers. */
    double way = plan->play.tight_end == RB_SIDE_LEFT                     ? 1.0
                 : plan->play.tight_end == RB_SIDE_RIGHT                  ? -1.0
                 : plan->play.receivers_left > plan->play.receivers_right ? 1.0
                                                                          : -1.0;
    for (int i = next; i < RB_DEMO_OFFENSE; i++) {
        RbDemoMan *man = &plan->men[i];
        man->runner = RB_RUNNER_BACK;
        man->side = way < 0.0 ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
        man->spot =
            gun ? (RbPoint2){ GUN_DEPTH - 0.3, way * 1.7 }
                : (RbPoint2){ -6.5, way * (RB_DEMO_OFFENSE - next == 1 ? 0.0 : 1.8) };
        man->spot.x -= 1.5 * ((i - next) / 2); /* a third one stands behind the first */
        way = -way;
    }
}

static int find_mover(const RbDemoPlan *plan)
{
    const RbDemoPlay *play = &plan->play;
    int found = -1;
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        const RbDemoMan *man = &plan->men[i];
        if (play->motion != RB_DEMO_MOTION_NONE) {
            /* Only a man off the line may be in motion. */
            const bool off = man->spot.x < ON_LINE - 0.5 && man->runner != RB_RUNNER_BACK;
            const bool wanted =
                play->motion_side == RB_SIDE_UNKNOWN || play->motion_side == man->side;
            const bool nearer =
                found < 0 || fabs(man->spot.y) < fabs(plan->men[found].spot.y);
            if (off && wanted && nearer) {
                found = i;
            }
        } else if (play->shift && (man->tight_end || man->runner == RB_RUNNER_BACK)) {
            found = i;
        }
    }
    return found;
}

/* Where the man who moves is before he does. */
static RbPoint2 place_before(const RbDemoPlan *plan, const RbDemoMan *man)
{
    RbPoint2 before = man->spot;
    const double way = man->spot.y < 0.0 ? -1.0 : 1.0;
    if (plan->play.motion == RB_DEMO_MOTION_SHORT) {
        before.y +=
            way * MIN(5.0, MAX(0.0, room(plan, man->side) - 3.0 - fabs(before.y)));
    } else {
        /* From just outside the other tackle: the clip need not wait for a long way. */
        before.y =
            -way * (plan->play.motion == RB_DEMO_MOTION_NONE ? fabs(man->spot.y)
                                                             : TIGHT_END_OUT + 1.5);
    }
    return before;
}

void rb_demo_plan_offense(RbDemoPlan *plan, RbRandom *random)
{
    const RbDemoPlay *play = &plan->play;
    line_up_linemen(plan);
    int next =
        line_up_side(plan, RB_SIDE_LEFT, play->receivers_left, RB_DEMO_FIRST_ELIGIBLE);
    next = line_up_side(plan, RB_SIDE_RIGHT, play->receivers_right, next);
    line_up_backs(plan, next);
    for (int i = RB_DEMO_FIRST_LINEMAN; i < RB_DEMO_FIRST_FRONT; i++) {
        RbDemoMan *man = &plan->men[i];
        if (i >= RB_DEMO_FIRST_ELIGIBLE) { /* nobody lines up with a ruler */
            man->spot.y += 0.2 * (2.0 * rb_random_unit(random) - 1.0);
        }
        man->before = man->spot;
    }
    plan->men[0].before = plan->men[0].spot;
    plan->mover = find_mover(plan);
    if (plan->mover >= 0) {
        RbDemoMan *man = &plan->men[plan->mover];
        man->before = place_before(plan, man);
    }
}
