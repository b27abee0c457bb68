/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One dropback: what is open, what the quarterback does, how he throws, and how a staff tags it.
 * Every chance in here is invented; together they give a season that looks like one. */
#include <math.h>

#include "season-private.h"

enum { NO_PRESSURE = 60000 }; /* ms: later than anything */

typedef struct {
    SeasonMaker *maker;
    RbRandom *random;
    RbSnap *snap;
    RbChart *chart;
    RbSeasonTruth *truth;
    SeasonConcept concept;
    SeasonCoverage coverage;
    RbOrder order;
    RbLook looks[RB_READS_MAX]; /* what is so, by slot */
    int pressure_ms;
} Play;

static bool chance(Play *play, double probability)
{
    return rb_random_chance(play->random, probability);
}

static int around(Play *play, double mean, double sd)
{
    return (int)lround(rb_random_normal(play->random, mean, sd));
}

/* Functions, not GLib's macros: those would draw twice. */
static int at_least(int low, int value)
{
    return value < low ? low : value;
}

static int at_most(int high, int value)
{
    return value > high ? high : value;
}

/* Exponential, in whole yards. */
static int yards_after(Play *play, double mean)
{
    return (int)(-mean * log(1.0 - rb_random_unit(play->random)));
}

static bool find_order(Play *play)
{
    const RbReadContext context = {
        .snap = play->snap,
        .first = rb_season_find_concept(play->maker->season, play->chart->call.first),
        .terms = play->maker->season->terms,
        .footwork = rb_footwork_defaults(),
    };
    return rb_order_in_force(&context, play->chart, &play->order);
}

static RbLook look_of(const Play *play, const RbRung *rung)
{
    return play->looks[rung->slot - 1];
}

static bool is_open(const Play *play, const RbRung *rung)
{
    return look_of(play, rung) == RB_LOOK_OPEN;
}

static int limit_of(const RbRung *rung)
{
    return rung->clock_ms + rung->tolerance_ms;
}

static const RbRung *find_rung(const Play *play, int slot)
{
    for (int i = 0; i < play->order.live; i++) {
        if (play->order.rungs[i].slot == slot) {
            return &play->order.rungs[i];
        }
    }
    return NULL;
}

/* Before the snap. */

static void work_side(Play *play)
{
    if (play->chart->call.kind != RB_CALL_MIRRORED) {
        return;
    }
    find_order(play);
    const RbSide due = play->order.required_side;
    const RbSide any = chance(play, 0.5) ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
    RbSide side = due != RB_SIDE_UNKNOWN ? due : any;
    if (chance(play, 0.03)) {
        side = rb_side_other(side);
    }
    play->chart->side_worked = side;
}

static void adjust(Play *play)
{
    const bool required = play->order.required.value != 0;
    if (chance(play, required ? 0.85 : 0.04)) {
        play->chart->adjusted = RB_YES;
        play->chart->adjustment =
            required ? play->order.required
                     : season_term(RB_TERM_ADJUSTMENT, "protection-change");
    } else {
        play->chart->adjusted = RB_NO;
    }
}

/* What is open, and when the rush comes. */

static void draw_pressure(Play *play)
{
    static const double by_rushers[] = { 0.08, 0.08, 0.08, 0.10, 0.18,
                                         0.28, 0.40, 0.45, 0.45 };
    const int rushers = CLAMP(play->chart->played.rushers, 0, 8);
    play->pressure_ms = NO_PRESSURE;
    if (play->chart->played.unblocked == RB_YES) {
        play->pressure_ms = at_least(1300, around(play, 1700, 150));
    } else if (chance(play, by_rushers[rushers])) {
        play->pressure_ms = at_least(1800, around(play, 2900, 450));
    }
}

static void draw_looks(Play *play)
{
    static const double usual[RB_READS_MAX] = {
        0.50, 0.52, 0.46, 0.46, 0.4, 0.4, 0.4, 0.4
    };
    for (int i = 0; i < play->order.n; i++) {
        const RbRung *rung = &play->order.rungs[i];
        const double luck =
            play->maker->luck[play->concept][play->coverage][rung->slot - 1];
        const double base = rung->outlet ? 0.80 : usual[rung->slot - 1];
        const double open = rung->dead ? 0.15 : CLAMP(base + luck, 0.1, 0.9);
        play->looks[rung->slot - 1] = chance(play, open) ? RB_LOOK_OPEN : RB_LOOK_COVERED;
    }
}

/* The first planted trouble: what comes before the second read is taken away, the second read
 * comes open, and his eyes do not get there. The rush is not the reason. */
static void strike_eyes(Play *play)
{
    const RbRung *second = find_rung(play, play->maker->pairs[0].read);
    if (second == NULL || !chance(play, 0.80)) {
        return;
    }
    for (const RbRung *rung = play->order.rungs; rung < second; rung++) {
        play->looks[rung->slot - 1] = RB_LOOK_COVERED;
    }
    play->looks[second->slot - 1] = RB_LOOK_OPEN;
    if (play->pressure_ms <= limit_of(second) + 150) {
        play->pressure_ms = NO_PRESSURE;
    }
    play->truth->struck = true;
}

/* The second: nobody comes open before the outlet, and the outlet only half of the time. */
static void strike_covered(Play *play)
{
    if (!chance(play, 0.80)) {
        return;
    }
    for (int i = 0; i < play->order.live; i++) {
        const RbRung *rung = &play->order.rungs[i];
        const bool open = rung->outlet && chance(play, 0.45);
        play->looks[rung->slot - 1] = open ? RB_LOOK_OPEN : RB_LOOK_COVERED;
    }
    play->truth->struck = true;
}

static void strike(Play *play)
{
    for (int i = 0; i < RB_SEASON_PLANTED; i++) {
        const SeasonPair *pair = &play->maker->pairs[i];
        if (pair->concept == play->concept && pair->coverage == play->coverage) {
            play->truth->planted = i + 1;
        }
    }
    if (play->truth->planted == 1) {
        strike_eyes(play);
    } else if (play->truth->planted == 2) {
        strike_covered(play);
    }
}

/* How a play ends. */

static void set_gain(Play *play, int gain)
{
    const int spot = play->snap->situation.yards_to_goal;
    play->snap->has_gain = RB_YES;
    play->snap->gain = MIN(gain, spot);
    if (gain >= spot) {
        play->snap->ending = RB_ENDING_TOUCHDOWN;
    } else if (spot - gain >= 100) {
        play->snap->gain = spot - 100;
        play->snap->ending = RB_ENDING_SAFETY;
    } else if (play->snap->result != RB_RESULT_INCOMPLETE && chance(play, 0.012)) {
        play->snap->ending = RB_ENDING_FUMBLE_LOST;
    }
}

static void end_incomplete(Play *play, RbResult result)
{
    play->snap->result = result;
    play->snap->has_gain = RB_YES;
    play->snap->gain = 0;
}

/* The gain of an interception runs to where the return ended. */
static void end_intercepted(Play *play, int air)
{
    const int spot = play->snap->situation.yards_to_goal;
    play->snap->result = RB_RESULT_INTERCEPTED;
    play->snap->has_gain = RB_YES;
    if (chance(play, 0.05)) {
        play->snap->ending = RB_ENDING_TOUCHDOWN_AGAINST;
        play->snap->gain = spot - 100;
    } else if (air >= spot) {
        play->snap->gain = spot + 4; /* downed in the end zone */
    } else {
        play->snap->gain = at_least(spot - 98, air - yards_after(play, 8.0));
    }
}

static void finish(Play *play, RbBall ball, int when_ms)
{
    play->chart->ball = ball;
    play->chart->release_ms = when_ms;
    play->chart->throw_ = RB_THROW_NONE;
    play->chart->catch_ = RB_CATCH_NONE;
    play->chart->contact = RB_CONTACT_NONE;
    play->chart->movement = RB_MOVEMENT_NONE;
}

static void take_sack(Play *play, int when_ms)
{
    play->pressure_ms =
        at_most(play->pressure_ms, when_ms - rb_random_int(play->random, 120, 300));
    finish(play, RB_BALL_SACK, when_ms);
    play->chart->contact = RB_CONTACT_SACKED;
    play->snap->result = RB_RESULT_SACK;
    set_gain(play, -rb_random_int(play->random, 3, 9));
}

static void throw_away(Play *play, int when_ms)
{
    finish(play, RB_BALL_THROWN_AWAY, when_ms);
    play->chart->movement = chance(play, 0.6) ? RB_MOVEMENT_FORCED : RB_MOVEMENT_NONE;
    end_incomplete(play, RB_RESULT_THROWN_AWAY);
}

static void run_with_it(Play *play, int when_ms)
{
    finish(play, RB_BALL_SCRAMBLE, when_ms);
    play->chart->movement = RB_MOVEMENT_FORCED;
    play->snap->result = RB_RESULT_SCRAMBLE;
    set_gain(play, at_least(-3, around(play, play->truth->struck ? 2.5 : 4.5, 3.5)));
}

/* Where the ball comes down, in yards past the line. */
static int air_of(Play *play, const RbRung *rung)
{
    return at_least(-2, rung->read->depth_yd + rb_random_int(play->random, -1, 1));
}

static double after_catch_of(const RbRung *rung)
{
    switch ((int)rung->route) {
    case RB_ROUTE_SLANT:
    case RB_ROUTE_SHALLOW:
    case RB_ROUTE_POST:
    case RB_ROUTE_SEAM:
        return 4.5;
    case RB_ROUTE_CHECK_DOWN:
    case RB_ROUTE_FLAT:
        return 3.0;
    default:
        return 2.0;
    }
}

static void draw_throw(Play *play, bool open, bool hit, bool near)
{
    /* on target, catchable, not catchable, tipped at the line */
    static const double close_by[] = { 0.80, 0.13, 0.05, 0.02 };
    static const double good[] = { 0.64, 0.19, 0.14, 0.03 };
    static const double tight[] = { 0.45, 0.22, 0.30, 0.03 };
    static const double hurt[] = { 0.30, 0.25, 0.40, 0.05 };
    const double *weights = hit ? hurt : !open ? tight : near ? close_by : good;
    play->chart->throw_ =
        (RbThrow)(RB_THROW_ON_TARGET + rb_random_pick(play->random, weights, 4));
}

static void draw_catch(Play *play, bool open, bool near)
{
    /* caught, dropped, broken up, intercepted, out of bounds */
    static const double close_by[] = { 0.93, 0.05, 0.015, 0.003, 0.002 };
    static const double free_man[] = { 0.90, 0.06, 0.02, 0.01, 0.01 };
    static const double covered[] = { 0.30, 0.06, 0.48, 0.13, 0.03 };
    const double *weights = !open ? covered : near ? close_by : free_man;
    play->chart->catch_ = RB_CATCH_NONE;
    if (play->chart->throw_ == RB_THROW_NOT_CATCHABLE) {
        const bool lost = chance(play, near ? 0.02 : 0.07);
        play->chart->catch_ = lost ? RB_CATCH_INTERCEPTED : RB_CATCH_NONE;
    } else if (play->chart->throw_ != RB_THROW_TIPPED) {
        const int drawn = rb_random_pick(play->random, weights, 5);
        play->chart->catch_ = (RbCatch)(RB_CATCH_CAUGHT + drawn);
    }
}

static void set_arrival(Play *play, int air)
{
    /* A ball covers about 20 yards a second, from some five yards behind the line and across. */
    const double distance = hypot(air + 5.0, 12.0);
    play->truth->arrival_ms = play->chart->release_ms + (int)(distance * 50.0);
}

static void end_throw(Play *play, const RbRung *rung, int air)
{
    const bool open = is_open(play, rung);
    if (play->chart->catch_ == RB_CATCH_INTERCEPTED) {
        end_intercepted(play, air);
    } else if (play->chart->catch_ != RB_CATCH_CAUGHT) {
        end_incomplete(play, RB_RESULT_INCOMPLETE);
    } else {
        const bool rallied = play->truth->struck && rung->outlet;
        const int after =
            rallied ? 0 : yards_after(play, open ? after_catch_of(rung) : 0.5);
        play->snap->result = RB_RESULT_COMPLETE;
        set_gain(play, air + after);
    }
}

static void throw_to(Play *play, const RbRung *rung, int when_ms)
{
    const bool late_hit = play->pressure_ms < when_ms + 100;
    const int air = air_of(play, rung);
    const bool near = air <= 4;
    finish(play, rung->slot == play->order.hot_slot ? RB_BALL_HOT : RB_BALL_READ,
           when_ms);
    play->chart->ball_read = play->chart->ball == RB_BALL_READ ? rung->slot : 0;
    play->chart->contact =
        late_hit && chance(play, 0.4) ? RB_CONTACT_HIT : RB_CONTACT_NONE;
    draw_throw(play, is_open(play, rung), play->chart->contact == RB_CONTACT_HIT, near);
    draw_catch(play, is_open(play, rung), near);
    set_arrival(play, air);
    end_throw(play, rung, air);
    for (int i = 0; i < play->truth->n_routes; i++) {
        if (play->truth->routes[i].read == rung->slot) {
            play->truth->target = i;
        }
    }
}

/* What he does. */

/* On its clock, or a little after. */
static int time_for(Play *play, const RbRung *rung)
{
    const int at = around(play, rung->clock_ms + 40, 80);
    return CLAMP(at, rung->clock_ms - 200, limit_of(rung) - 20);
}

static const RbRung *find_right(const Play *play)
{
    for (int i = 0; i < play->order.live; i++) {
        const RbRung *rung = &play->order.rungs[i];
        if (is_open(play, rung) && limit_of(rung) < play->pressure_ms) {
            return rung;
        }
    }
    return NULL;
}

static const RbRung *find_later_open(const Play *play, const RbRung *after)
{
    const RbRung *end = play->order.rungs + play->order.live;
    for (const RbRung *rung = after + 1; rung < end; rung++) {
        if (is_open(play, rung) && limit_of(rung) < play->pressure_ms) {
            return rung;
        }
    }
    return NULL;
}

static const RbRung *find_covered_before(const Play *play, const RbRung *before)
{
    for (const RbRung *rung = play->order.rungs; rung < before; rung++) {
        if (!is_open(play, rung)) {
            return rung;
        }
    }
    return NULL;
}

/* The right read was there in time and he does something else. */
static void go_wrong(Play *play, const RbRung *right)
{
    const RbRung *later = find_later_open(play, right);
    const RbRung *covered = find_covered_before(play, right);
    const double weights[] = { later != NULL ? 0.32 : 0.0, covered != NULL ? 0.30 : 0.0,
                               0.20, 0.18 };
    const int until = limit_of(right) + rb_random_int(play->random, 250, 700);
    switch (rb_random_pick(play->random, weights, 4)) {
    case 0: /* passed up */
        throw_to(play, later, time_for(play, later));
        break;
    case 1: /* forced: he stays on the man he looked at first */
        throw_to(play, covered,
                 time_for(play, covered) + rb_random_int(play->random, 0, 300));
        break;
    case 2: /* held until the rush is there */
        play->pressure_ms = limit_of(right) + rb_random_int(play->random, 60, 200);
        take_sack(play, play->pressure_ms + rb_random_int(play->random, 320, 700));
        break;
    default: /* bailed from a clean pocket */
        play->pressure_ms = NO_PRESSURE;
        if (chance(play, 0.5)) {
            throw_away(play, until);
        } else {
            run_with_it(play, until);
        }
        break;
    }
}

static void throw_right(Play *play, const RbRung *right)
{
    int when = time_for(play, right);
    if (!right->outlet && chance(play, 0.07)) {
        when = limit_of(right) + rb_random_int(play->random, 40, 300); /* late */
    }
    throw_to(play, right, when);
}

/* The rush is there before anything open is. */
static void escape(Play *play)
{
    const RbRung *outlet = &play->order.rungs[play->order.live - 1];
    const int when = play->pressure_ms + rb_random_int(play->random, 150, 450);
    if (outlet->outlet && is_open(play, outlet) &&
        chance(play, play->truth->struck ? 0.9 : 0.5)) {
        throw_to(play, outlet, play->pressure_ms - rb_random_int(play->random, 50, 250));
        return;
    }
    const double weights[] = { 0.42, 0.38, 0.20 };
    switch (rb_random_pick(play->random, weights, 3)) {
    case 0:
        take_sack(play, when + 300);
        break;
    case 1:
        throw_away(play, when);
        break;
    default:
        run_with_it(play, when);
        break;
    }
}

/* Nobody is open and nobody chases him yet. */
static void make_do(Play *play)
{
    const RbRung *last = &play->order.rungs[play->order.live - 1];
    const RbRung *first = &play->order.rungs[0];
    const int when = limit_of(last) + rb_random_int(play->random, 50, 400);
    const double weights[] = { 0.46, 0.26, 0.20, play->truth->struck ? 0.04 : 0.14 };
    switch (rb_random_pick(play->random, weights, 4)) {
    case 0:
        throw_away(play, when);
        break;
    case 1:
        run_with_it(play, when);
        break;
    case 2:
        take_sack(play, when + 150);
        break;
    default:
        throw_to(play, first,
                 time_for(play, first) + rb_random_int(play->random, 0, 300));
        break;
    }
}

static void decide(Play *play)
{
    const RbRung *hot = find_rung(play, play->order.hot_slot);
    const RbRung *right = hot != NULL ? hot : find_right(play);
    play->truth->right_read = right != NULL ? right->slot : 0;
    if (hot != NULL) {
        if (chance(play, 0.75)) {
            throw_to(play, hot,
                     play->pressure_ms - rb_random_int(play->random, 150, 400));
        } else {
            take_sack(play, play->pressure_ms + rb_random_int(play->random, 350, 700));
        }
        return;
    }
    if (right == NULL) {
        if (play->pressure_ms == NO_PRESSURE) {
            make_do(play);
        } else {
            escape(play);
        }
        return;
    }
    const bool eyes = play->truth->struck && play->truth->planted == 1;
    if (chance(play, eyes ? 0.88 : 0.12)) {
        go_wrong(play, right);
    } else {
        throw_right(play, right);
    }
}

/* How it is tagged. */

static void tag_pressure(Play *play)
{
    RbChart *chart = play->chart;
    const bool before = play->pressure_ms <= chart->release_ms;
    const bool just_after = play->pressure_ms <= chart->release_ms + 250;
    if (before || (just_after && chance(play, 0.5))) {
        chart->pressure = RB_PRESSURE_CAME;
        chart->pressure_ms = play->pressure_ms;
    } else {
        chart->pressure = RB_PRESSURE_NONE;
    }
}

/* A staff tags the reads it was told to look for; a few cannot be told from one angle. */
static void tag_looks(Play *play)
{
    for (int i = 0; i < play->order.n; i++) {
        const RbRung *rung = &play->order.rungs[i];
        if (!rung->read->clear_out) {
            play->chart->looks[rung->slot - 1] =
                chance(play, 0.015) ? RB_LOOK_CANT_TELL : look_of(play, rung);
        }
    }
}

static void tag_fault(Play *play)
{
    play->chart->fault = RB_FAULT_NONE;
    if (play->chart->ball_read != 0 && chance(play, 0.012)) {
        play->chart->fault = RB_FAULT_WRONG_ROUTE;
        play->chart->fault_read = play->chart->ball_read;
    }
}

static void set_routes(Play *play)
{
    RbSeasonTruth *truth = play->truth;
    for (int i = 0; i < play->order.n && truth->n_routes < RB_SEASON_ROUTES_MAX; i++) {
        const RbRung *rung = &play->order.rungs[i];
        truth->routes[truth->n_routes++] = (RbSeasonRoute){
            .side = rung->side,
            .runner = rung->runner,
            .route = rung->route,
            .depth_yd = rung->route == rung->read->route ? rung->read->depth_yd : 0,
            .read = rung->slot,
            .look = look_of(play, rung),
        };
    }
    truth->target = -1;
    truth->arrival_ms = -1;
}

static void set_intended(Play *play)
{
    static const char *const jerseys[2][RB_RUNNER_BACK + 1] = {
        { "", "4", "11", "87", "87", "22" },
        { "", "1", "82", "87", "87", "22" },
    };
    if (play->truth->target < 0) {
        return;
    }
    const RbSeasonRoute *route = &play->truth->routes[play->truth->target];
    const char *jersey = jerseys[route->side == RB_SIDE_RIGHT ? 1 : 0][route->runner];
    const GPtrArray *players = play->maker->season->players;
    for (guint i = 0; i < players->len; i++) {
        const RbPlayer *player = g_ptr_array_index(players, i);
        if (g_strcmp0(player->jersey, jersey) == 0) {
            play->snap->intended = player->id;
        }
    }
}

static void set_times(Play *play)
{
    RbSeasonTruth *truth = play->truth;
    const int usual = truth->drop_steps == 1 ? 700 : truth->drop_steps == 3 ? 1500 : 2150;
    truth->release_ms = play->chart->release_ms;
    truth->top_ms = at_most(truth->release_ms - 100, around(play, usual, 60));
    const int last = MAX(truth->release_ms, truth->arrival_ms);
    truth->end_ms = last + rb_random_int(play->random, 700, 2200);
}

void season_pass(SeasonMaker *maker, RbSeasonSnap *entry, SeasonConcept concept,
                 SeasonCoverage coverage)
{
    Play play = { .maker = maker,
                  .random = &maker->random,
                  .snap = entry->snap,
                  .chart = entry->chart,
                  .truth = &entry->truth,
                  .concept = concept,
                  .coverage = coverage };
    work_side(&play);
    find_order(&play);
    adjust(&play);
    draw_pressure(&play);
    draw_looks(&play);
    strike(&play);
    set_routes(&play);
    decide(&play);
    /* Marked on film at 59.94 frames a second: a frame either way. */
    play.chart->release_pm_ms = 17;
    tag_pressure(&play);
    tag_looks(&play);
    tag_fault(&play);
    set_times(&play);
    set_intended(&play);
}
