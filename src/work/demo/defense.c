/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"

/* Where the defence lines up and what each man does, by shell and coverage. Depths, widths and
 * who has which zone: common practice, no source. */

static const double cushions[] = {
    [RB_TECHNIQUE_UNKNOWN] = 6.0, [RB_TECHNIQUE_PRESS] = 1.4, [RB_TECHNIQUE_OFF] = 7.0,
    [RB_TECHNIQUE_BAIL] = 5.5,    [RB_TECHNIQUE_SQUAT] = 6.0, [RB_TECHNIQUE_HARD] = 4.0,
};

#define NEUTRAL_ZONE 0.45
#define DEEP_THIRD 17.0
#define DEEP_QUARTER 13.5

static double middle(const RbDemoPlan *plan)
{
    return (plan->left + plan->right) / 2.0;
}

/* The receiver with that number, or NULL. */
static const RbDemoMan *find_receiver(const RbDemoPlan *plan, RbSide side,
                                      RbRunner runner)
{
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        if (plan->men[i].side == side && plan->men[i].runner == runner) {
            return &plan->men[i];
        }
    }
    return NULL;
}

static RbSide strong_side(const RbDemoPlan *plan)
{
    const RbDemoPlay *play = &plan->play;
    if (play->receivers_left != play->receivers_right) {
        return play->receivers_left > play->receivers_right ? RB_SIDE_LEFT
                                                            : RB_SIDE_RIGHT;
    }
    return -plan->left > plan->right ? RB_SIDE_LEFT : RB_SIDE_RIGHT; /* the wide side */
}

/* The safety who stays high when one comes down. */
static int high_safety(const RbDemoPlan *plan)
{
    const bool left_down =
        plan->play.rotation == RB_ROTATION_LEFT ||
        (plan->play.rotation != RB_ROTATION_RIGHT && strong_side(plan) == RB_SIDE_LEFT);
    return left_down ? RB_DEMO_SAFETY_RIGHT : RB_DEMO_SAFETY_LEFT;
}

static void line_up_corner(RbDemoPlan *plan, RbSide side)
{
    const RbDemoPlay *play = &plan->play;
    const bool left = side == RB_SIDE_LEFT;
    const double out = left ? -1.0 : 1.0;
    const RbTechnique technique = left ? play->technique_left : play->technique_right;
    const int tenths = left ? play->cushion_left_tenths : play->cushion_right_tenths;
    const RbLeverage leverage = left ? play->leverage_left : play->leverage_right;
    RbDemoMan *corner = &plan->men[left ? RB_DEMO_CORNER_LEFT : RB_DEMO_CORNER_RIGHT];
    const RbDemoMan *wide = find_receiver(plan, side, RB_RUNNER_1);
    if (wide == NULL) {
        corner->spot = (RbPoint2){ 5.0, out * 8.0 };
        return;
    }
    const double cushion = tenths > 0 ? tenths / 10.0 : cushions[technique];
    const double shade = leverage == RB_LEVERAGE_OUTSIDE   ? 0.9
                         : leverage == RB_LEVERAGE_HEAD_UP ? 0.0
                                                           : -0.9;
    corner->spot.x = MAX(NEUTRAL_ZONE, wide->spot.x + cushion);
    corner->spot.y = wide->spot.y + out * shade;
}

static void line_up_front(RbDemoPlan *plan)
{
    static const double fronts[4] = { -4.6, -1.5, 1.2, 4.6 };
    for (int i = 0; i < 4; i++) {
        plan->men[RB_DEMO_FIRST_FRONT + i].spot = (RbPoint2){ 0.75, fronts[i] };
    }
    const RbSide strong = strong_side(plan);
    const double out = strong == RB_SIDE_LEFT ? -1.0 : 1.0;
    const RbDemoMan *slot = find_receiver(plan, strong, RB_RUNNER_2);
    const RbDemoMan *other = find_receiver(plan, rb_side_other(strong), RB_RUNNER_2);
    RbDemoMan *nickel = &plan->men[RB_DEMO_FIRST_BACKER + 2];
    RbDemoMan *near = &plan->men[RB_DEMO_FIRST_BACKER + (strong == RB_SIDE_LEFT ? 0 : 1)];
    RbDemoMan *away = &plan->men[RB_DEMO_FIRST_BACKER + (strong == RB_SIDE_LEFT ? 1 : 0)];
    nickel->spot = (RbPoint2){ 4.6, slot != NULL ? slot->spot.y - out * 1.2 : out * 6.5 };
    near->spot = (RbPoint2){ 4.5, out * 1.4 };
    away->spot = (RbPoint2){ 4.5, -out * 2.6 };
    if (other != NULL) { /* he splits the distance to the slot */
        away->spot.y = 0.55 * other->spot.y - out * 1.2;
        near->spot.y = out * 0.3;
    }
}

static void line_up_safeties(RbDemoPlan *plan)
{
    RbDemoMan *left = &plan->men[RB_DEMO_SAFETY_LEFT];
    RbDemoMan *right = &plan->men[RB_DEMO_SAFETY_RIGHT];
    const double m = middle(plan);
    left->spot = (RbPoint2){ 12.0, m - 9.0 };
    right->spot = (RbPoint2){ 12.0, m + 9.0 };
    RbDemoMan *high = &plan->men[high_safety(plan)];
    RbDemoMan *low = high == left ? right : left;
    switch (plan->play.shell) {
    case RB_SHELL_ONE_HIGH:
        high->spot = (RbPoint2){ 13.0, 0.7 * m };
        low->spot = (RbPoint2){ 6.5, low == left ? -7.0 : 7.0 };
        break;
    case RB_SHELL_NONE_DEEP:
        left->spot = (RbPoint2){ 6.0, -7.0 };
        right->spot = (RbPoint2){ 6.0, 7.0 };
        break;
    case RB_SHELL_THREE_HIGH:
        plan->men[RB_DEMO_FIRST_BACKER + 2].spot = (RbPoint2){ 12.0, m };
        left->spot.y = m - 12.0;
        right->spot.y = m + 12.0;
        break;
    case RB_SHELL_UNCLEAR:
        low->spot = (RbPoint2){ 9.0, low == left ? m - 8.0 : m + 8.0 };
        break;
    case RB_SHELL_UNKNOWN:
    case RB_SHELL_TWO_HIGH:
        break;
    }
}

void rb_demo_plan_defense(RbDemoPlan *plan, RbRandom *random)
{
    line_up_front(plan);
    line_up_corner(plan, RB_SIDE_LEFT);
    line_up_corner(plan, RB_SIDE_RIGHT);
    line_up_safeties(plan);
    for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
        RbDemoMan *man = &plan->men[i];
        const bool free = i >= RB_DEMO_FIRST_BACKER && i != RB_DEMO_CORNER_LEFT &&
                          i != RB_DEMO_CORNER_RIGHT;
        if (free) {
            man->spot.x += 0.5 * (2.0 * rb_random_unit(random) - 1.0);
            man->spot.y += 0.5 * (2.0 * rb_random_unit(random) - 1.0);
        }
        man->spot.x = MIN(man->spot.x, plan->yards_to_goal + 8.0);
        man->spot.y = CLAMP(man->spot.y, plan->left + 1.5, plan->right - 1.5);
        man->before = man->spot;
    }
}

static bool is_coverage(const RbDemoPlan *plan, const char *token)
{
    return g_strcmp0(plan->play.coverage, token) == 0;
}

static void set_deep(RbDemoPlan *plan, int who, double depth, double y)
{
    RbDemoMan *man = &plan->men[who];
    man->task = RB_DEMO_TASK_DEEP;
    const double back = plan->yards_to_goal + RB_FIELD_END_ZONE_YD - 2.0;
    man->landmark.x = MIN(depth, back);
    man->landmark.y = CLAMP(y, plan->left + 4.0, plan->right - 4.0);
}

static void set_flat(RbDemoPlan *plan, int who)
{
    RbDemoMan *man = &plan->men[who];
    man->task = RB_DEMO_TASK_ZONE;
    man->landmark = (RbPoint2){ 5.5, 0.85 * man->spot.y };
}

/* Three deep: both corners and the high safety, unless one corner has the flat. */
static void set_three_deep(RbDemoPlan *plan, double m)
{
    const int high = high_safety(plan);
    const bool halves = is_coverage(plan, "quarter-quarter-half");
    if (!halves && !is_coverage(plan, "cover-3-cloud")) {
        set_deep(plan, RB_DEMO_CORNER_LEFT, DEEP_THIRD, m - 17.0);
        set_deep(plan, RB_DEMO_CORNER_RIGHT, DEEP_THIRD, m + 17.0);
        set_deep(plan, high, DEEP_THIRD + 1.0, m);
        return;
    }
    /* The corner in the flat is on the side away from the high safety. */
    const bool left_flat = high == RB_DEMO_SAFETY_RIGHT;
    const double way = left_flat ? -1.0 : 1.0;
    set_flat(plan, left_flat ? RB_DEMO_CORNER_LEFT : RB_DEMO_CORNER_RIGHT);
    set_deep(plan, left_flat ? RB_DEMO_SAFETY_LEFT : RB_DEMO_SAFETY_RIGHT, DEEP_THIRD,
             m + way * (halves ? 12.0 : 16.0));
    set_deep(plan, left_flat ? RB_DEMO_CORNER_RIGHT : RB_DEMO_CORNER_LEFT, DEEP_THIRD,
             m - way * 17.0);
    set_deep(plan, high, DEEP_THIRD, halves ? m - way * 6.5 : m);
}

static void set_all_deep(RbDemoPlan *plan)
{
    const double m = middle(plan);
    switch (MIN(plan->play.deep, 4)) {
    case 0:
        break;
    case 1:
        set_deep(plan, high_safety(plan), DEEP_THIRD, 0.5 * m);
        break;
    case 2:
        set_deep(plan, RB_DEMO_SAFETY_LEFT, DEEP_THIRD, m - 12.0);
        set_deep(plan, RB_DEMO_SAFETY_RIGHT, DEEP_THIRD, m + 12.0);
        if (is_coverage(plan, "tampa-2")) {
            set_deep(plan, RB_DEMO_FIRST_BACKER + 1, 14.0, m);
        }
        if (plan->play.family != RB_FAMILY_MAN) {
            set_flat(plan, RB_DEMO_CORNER_LEFT);
            set_flat(plan, RB_DEMO_CORNER_RIGHT);
        }
        break;
    case 3:
        set_three_deep(plan, m);
        break;
    default:
        set_deep(plan, RB_DEMO_CORNER_LEFT, DEEP_QUARTER, m - 18.0);
        set_deep(plan, RB_DEMO_CORNER_RIGHT, DEEP_QUARTER, m + 18.0);
        set_deep(plan, RB_DEMO_SAFETY_LEFT, DEEP_QUARTER, m - 6.5);
        set_deep(plan, RB_DEMO_SAFETY_RIGHT, DEEP_QUARTER, m + 6.5);
        break;
    }
}

#define TASK_OPEN RB_DEMO_TASK_PROTECT /* what no defender does: not yet decided */

static void set_rush(RbDemoPlan *plan)
{
    /* Who rushes first; the first four are the front. */
    int order[7] = { 12, 13, 11, 14, 15, 16, 17 };
    if (plan->play.unblocked == RB_SIDE_RIGHT) {
        order[2] = 14;
        order[3] = 11;
        order[4] = 16;
        order[5] = 15;
    }
    const int count = CLAMP(plan->play.rushers, 2, 7);
    for (int k = 0; k < count; k++) {
        if (plan->men[order[k]].task == TASK_OPEN) {
            plan->men[order[k]].task = RB_DEMO_TASK_RUSH;
        }
    }
}

/* The undecided defender nearest to `y` across the field; -1 when there is none. */
static int nearest_open(const RbDemoPlan *plan, double y)
{
    int best = -1;
    for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
        if (plan->men[i].task == TASK_OPEN &&
            (best < 0 ||
             fabs(plan->men[i].spot.y - y) < fabs(plan->men[best].spot.y - y))) {
            best = i;
        }
    }
    return best;
}

static void set_man(RbDemoPlan *plan)
{
    static const RbRunner order[] = { RB_RUNNER_1, RB_RUNNER_2, RB_RUNNER_3, RB_RUNNER_4,
                                      RB_RUNNER_BACK };
    for (size_t k = 0; k < sizeof order / sizeof order[0]; k++) {
        for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
            if (plan->men[i].runner != order[k]) {
                continue;
            }
            const int who = nearest_open(plan, plan->men[i].spot.y);
            if (who >= 0) {
                plan->men[who].task = RB_DEMO_TASK_MAN;
                plan->men[who].other = i;
            }
        }
    }
}

/* Whoever is left drops to the spots between the sidelines, from left to right. */
static void set_zones(RbDemoPlan *plan)
{
    static const double spots[7][6] = {
        [1] = { 0 },
        [2] = { -6, 6 },
        [3] = { -9, 0, 9 },
        [4] = { -12, -4.5, 4.5, 12 },
        [5] = { -14, -7.5, 0, 7.5, 14 },
        [6] = { -15, -9, -3, 3, 9, 15 },
    };
    int left[RB_DEMO_PLAYERS];
    int n = 0;
    for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
        if (plan->men[i].task != TASK_OPEN) {
            continue;
        }
        int k = n++; /* keep them in order across the field */
        for (; k > 0 && plan->men[left[k - 1]].spot.y > plan->men[i].spot.y; k--) {
            left[k] = left[k - 1];
        }
        left[k] = i;
    }
    for (int k = 0; k < n; k++) {
        RbDemoMan *man = &plan->men[left[k]];
        man->task = RB_DEMO_TASK_ZONE;
        if (n > 6) { /* not a coverage anybody plays: each stays about where he is */
            man->landmark = (RbPoint2){ 8.0, man->spot.y };
            continue;
        }
        const double y = spots[n][k];
        man->landmark.x = fabs(y) > 10.0 ? 7.0 : 9.0;
        man->landmark.y =
            CLAMP(y + 0.35 * middle(plan), plan->left + 3.0, plan->right - 3.0);
    }
}

/* The rusher whom nobody blocks: the widest on that side. */
static int widest_rusher(const RbDemoPlan *plan, RbSide side)
{
    const double out = side == RB_SIDE_LEFT ? -1.0 : 1.0;
    int best = -1;
    for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
        if (plan->men[i].task == RB_DEMO_TASK_RUSH &&
            (best < 0 || out * plan->men[i].spot.y > out * plan->men[best].spot.y)) {
            best = i;
        }
    }
    return best;
}

/* Each rusher gets the nearest free blocker, linemen first. */
static void set_protection(RbDemoPlan *plan, int unblocked)
{
    bool busy[RB_DEMO_OFFENSE] = { false };
    for (int pass = 0; pass < 2; pass++) {
        for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
            if (plan->men[i].task != RB_DEMO_TASK_RUSH || i == unblocked ||
                plan->men[i].other >= 0) {
                continue;
            }
            const int from = pass == 0 ? RB_DEMO_FIRST_LINEMAN : RB_DEMO_FIRST_ELIGIBLE;
            const int to = pass == 0 ? RB_DEMO_FIRST_ELIGIBLE : RB_DEMO_OFFENSE;
            int best = -1;
            for (int k = from; k < to; k++) {
                const double gap = fabs(plan->men[k].spot.y - plan->men[i].spot.y);
                if (plan->men[k].task == RB_DEMO_TASK_PROTECT && !busy[k] &&
                    (best < 0 ||
                     gap < fabs(plan->men[best].spot.y - plan->men[i].spot.y))) {
                    best = k;
                }
            }
            if (best >= 0) {
                busy[best] = true;
                plan->men[best].other = i;
                plan->men[i].other = best;
            }
        }
    }
}

void rb_demo_plan_tasks(RbDemoPlan *plan, RbRandom *random)
{
    for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
        plan->men[i].task = TASK_OPEN;
    }
    set_all_deep(plan);
    set_rush(plan);
    if (plan->play.family == RB_FAMILY_MAN) {
        set_man(plan);
    }
    set_zones(plan);

    const bool comes =
        plan->play.pressure == RB_PRESSURE_CAME || plan->play.ball == RB_BALL_SACK;
    plan->beaten = -1;
    if (plan->play.unblocked != RB_SIDE_UNKNOWN) {
        plan->beaten = widest_rusher(plan, plan->play.unblocked);
        plan->free_ms = 0;
    } else if (comes) {
        const RbSide side = rb_random_chance(random, 0.5) ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
        plan->beaten = widest_rusher(plan, side);
        plan->free_ms = MAX(0, plan->play.pressure_ms - 1300);
    }
    set_protection(plan, plan->play.unblocked != RB_SIDE_UNKNOWN ? plan->beaten : -1);
}
