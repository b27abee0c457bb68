/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One dropback: what is open, what the quarterback does, and how a staff tags it. Every chance in
 * here is invented; together they give a season that looks like one. */
#include "season-play.h"

static bool find_order(SeasonPlay *play)
{
    const RbReadContext context = {
        .snap = play->snap,
        .first = rb_season_find_concept(play->maker->season, play->chart->call.first),
        .terms = play->maker->season->terms,
        .footwork = rb_footwork_defaults(),
    };
    return rb_order_in_force(&context, play->chart, &play->order);
}

static RbLook look_of(const SeasonPlay *play, const RbRung *rung)
{
    return play->looks[rung->slot - 1];
}

static int limit_of(const RbRung *rung)
{
    return rung->clock_ms + rung->tolerance_ms;
}

static const RbRung *find_rung(const SeasonPlay *play, int slot)
{
    for (int i = 0; i < play->order.live; i++) {
        if (play->order.rungs[i].slot == slot) {
            return &play->order.rungs[i];
        }
    }
    return NULL;
}

/* Before the snap. */

static void work_side(SeasonPlay *play)
{
    if (play->chart->call.kind != RB_CALL_MIRRORED) {
        return;
    }
    find_order(play);
    const RbSide due = play->order.required_side;
    const RbSide any = rb_season_chance(play, 0.5) ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
    RbSide side = due != RB_SIDE_UNKNOWN ? due : any;
    if (rb_season_chance(play, 0.03)) {
        side = rb_side_other(side);
    }
    play->chart->side_worked = side;
}

static void adjust(SeasonPlay *play)
{
    const bool required = play->order.required.value != 0;
    if (rb_season_chance(play, required ? 0.85 : 0.04)) {
        play->chart->adjusted = RB_YES;
        play->chart->adjustment =
            required ? play->order.required
                     : rb_season_term(RB_TERM_ADJUSTMENT, "protection-change");
    } else {
        play->chart->adjusted = RB_NO;
    }
}

/* What is open, and when the rush comes. */

static void draw_pressure(SeasonPlay *play)
{
    static const double by_rushers[] = { 0.08, 0.08, 0.08, 0.10, 0.18,
                                         0.28, 0.40, 0.45, 0.45 };
    const int rushers = CLAMP(play->chart->played.rushers, 0, 8);
    play->pressure_ms = SEASON_NO_PRESSURE;
    if (play->chart->played.unblocked == RB_YES) {
        play->pressure_ms = rb_season_at_least(1300, rb_season_around(play, 1700, 150));
    } else if (rb_season_chance(play, by_rushers[rushers])) {
        play->pressure_ms = rb_season_at_least(1800, rb_season_around(play, 2900, 450));
    }
}

static void draw_looks(SeasonPlay *play)
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
        play->looks[rung->slot - 1] =
            rb_season_chance(play, open) ? RB_LOOK_OPEN : RB_LOOK_COVERED;
    }
}

/* The first planted trouble: what comes before the second read is taken away, the second read
 * comes open, and his eyes do not get there. The rush is not the reason. */
static void strike_eyes(SeasonPlay *play)
{
    const RbRung *second = find_rung(play, play->maker->pairs[0].read);
    if (second == NULL || !rb_season_chance(play, 0.80)) {
        return;
    }
    for (const RbRung *rung = play->order.rungs; rung < second; rung++) {
        play->looks[rung->slot - 1] = RB_LOOK_COVERED;
    }
    play->looks[second->slot - 1] = RB_LOOK_OPEN;
    if (play->pressure_ms <= limit_of(second) + 150) {
        play->pressure_ms = SEASON_NO_PRESSURE;
    }
    play->truth->struck = true;
}

/* The second: nobody comes open before the outlet, and the outlet only half of the time. */
static void strike_covered(SeasonPlay *play)
{
    if (!rb_season_chance(play, 0.80)) {
        return;
    }
    for (int i = 0; i < play->order.live; i++) {
        const RbRung *rung = &play->order.rungs[i];
        const bool open = rung->outlet && rb_season_chance(play, 0.45);
        play->looks[rung->slot - 1] = open ? RB_LOOK_OPEN : RB_LOOK_COVERED;
    }
    play->truth->struck = true;
}

static void strike(SeasonPlay *play)
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

/* What he does. */

/* On its clock, or a little after. */
static int time_for(SeasonPlay *play, const RbRung *rung)
{
    const int at = rb_season_around(play, rung->clock_ms + 40, 80);
    return CLAMP(at, rung->clock_ms - 200, limit_of(rung) - 20);
}

/* He waits for him to come open. */
static int late_for(SeasonPlay *play, const RbRung *rung)
{
    const int wait = rb_random_int(play->random, 0, 300);
    return time_for(play, rung) + wait;
}

static const RbRung *find_right(const SeasonPlay *play)
{
    for (int i = 0; i < play->order.live; i++) {
        const RbRung *rung = &play->order.rungs[i];
        if (rb_season_is_open(play, rung) && limit_of(rung) < play->pressure_ms) {
            return rung;
        }
    }
    return NULL;
}

static const RbRung *find_later_open(const SeasonPlay *play, const RbRung *after)
{
    const RbRung *end = play->order.rungs + play->order.live;
    for (const RbRung *rung = after + 1; rung < end; rung++) {
        if (rb_season_is_open(play, rung) && limit_of(rung) < play->pressure_ms) {
            return rung;
        }
    }
    return NULL;
}

static const RbRung *find_covered_before(const SeasonPlay *play, const RbRung *before)
{
    for (const RbRung *rung = play->order.rungs; rung < before; rung++) {
        if (!rb_season_is_open(play, rung)) {
            return rung;
        }
    }
    return NULL;
}

/* The right read was there in time and he does something else. */
static void go_wrong(SeasonPlay *play, const RbRung *right)
{
    const RbRung *later = find_later_open(play, right);
    const RbRung *covered = find_covered_before(play, right);
    const double weights[] = { later != NULL ? 0.32 : 0.0, covered != NULL ? 0.30 : 0.0,
                               0.20, 0.18 };
    const int until = limit_of(right) + rb_random_int(play->random, 250, 700);
    switch (rb_random_pick(play->random, weights, 4)) {
    case 0: /* passed up */
        rb_season_throw(play, later, time_for(play, later));
        break;
    case 1: /* forced: he stays on the man he looked at first */
        rb_season_throw(play, covered, late_for(play, covered));
        break;
    case 2: /* held until the rush is there */
        play->pressure_ms = limit_of(right) + rb_random_int(play->random, 60, 200);
        rb_season_sack(play, play->pressure_ms + rb_random_int(play->random, 320, 700));
        break;
    default: /* bailed from a clean pocket */
        play->pressure_ms = SEASON_NO_PRESSURE;
        if (rb_season_chance(play, 0.5)) {
            rb_season_throw_away(play, until);
        } else {
            rb_season_scramble(play, until);
        }
        break;
    }
}

static void throw_right(SeasonPlay *play, const RbRung *right)
{
    int when = time_for(play, right);
    if (!right->outlet && rb_season_chance(play, 0.07)) {
        when = limit_of(right) + rb_random_int(play->random, 40, 300); /* late */
    }
    rb_season_throw(play, right, when);
}

/* The rush is there before anything open is. */
static void escape(SeasonPlay *play)
{
    const RbRung *outlet = &play->order.rungs[play->order.live - 1];
    const int when = play->pressure_ms + rb_random_int(play->random, 150, 450);
    if (outlet->outlet && rb_season_is_open(play, outlet) &&
        rb_season_chance(play, play->truth->struck ? 0.9 : 0.5)) {
        rb_season_throw(play, outlet,
                        play->pressure_ms - rb_random_int(play->random, 50, 250));
        return;
    }
    const double weights[] = { 0.42, 0.38, 0.20 };
    switch (rb_random_pick(play->random, weights, 3)) {
    case 0:
        rb_season_sack(play, when + 300);
        break;
    case 1:
        rb_season_throw_away(play, when);
        break;
    default:
        rb_season_scramble(play, when);
        break;
    }
}

/* Nobody is open and nobody chases him yet. */
static void make_do(SeasonPlay *play)
{
    const RbRung *last = &play->order.rungs[play->order.live - 1];
    const RbRung *first = &play->order.rungs[0];
    const int when = limit_of(last) + rb_random_int(play->random, 50, 400);
    const double weights[] = { 0.46, 0.26, 0.20, play->truth->struck ? 0.04 : 0.14 };
    switch (rb_random_pick(play->random, weights, 4)) {
    case 0:
        rb_season_throw_away(play, when);
        break;
    case 1:
        rb_season_scramble(play, when);
        break;
    case 2:
        rb_season_sack(play, when + 150);
        break;
    default:
        rb_season_throw(play, first, late_for(play, first));
        break;
    }
}

static void decide(SeasonPlay *play)
{
    const RbRung *hot = find_rung(play, play->order.hot_slot);
    const RbRung *right = hot != NULL ? hot : find_right(play);
    play->truth->right_read = right != NULL ? right->slot : 0;
    if (hot != NULL) {
        if (rb_season_chance(play, 0.75)) {
            rb_season_throw(play, hot,
                            play->pressure_ms - rb_random_int(play->random, 150, 400));
        } else {
            rb_season_sack(play,
                           play->pressure_ms + rb_random_int(play->random, 350, 700));
        }
        return;
    }
    if (right == NULL) {
        if (play->pressure_ms == SEASON_NO_PRESSURE) {
            make_do(play);
        } else {
            escape(play);
        }
        return;
    }
    const bool eyes = play->truth->struck && play->truth->planted == 1;
    if (rb_season_chance(play, eyes ? 0.88 : 0.12)) {
        go_wrong(play, right);
    } else {
        throw_right(play, right);
    }
}

/* How it is tagged. */

static void tag_pressure(SeasonPlay *play)
{
    RbChart *chart = play->chart;
    const bool before = play->pressure_ms <= chart->release_ms;
    const bool just_after = play->pressure_ms <= chart->release_ms + 250;
    if (before || (just_after && rb_season_chance(play, 0.5))) {
        chart->pressure = RB_PRESSURE_CAME;
        chart->pressure_ms = play->pressure_ms;
    } else {
        chart->pressure = RB_PRESSURE_NONE;
    }
}

/* A staff tags the reads it was told to look for; a few cannot be told from one angle. */
static void tag_looks(SeasonPlay *play)
{
    for (int i = 0; i < play->order.n; i++) {
        const RbRung *rung = &play->order.rungs[i];
        if (!rung->read->clear_out) {
            play->chart->looks[rung->slot - 1] =
                rb_season_chance(play, 0.015) ? RB_LOOK_CANT_TELL : look_of(play, rung);
        }
    }
}

static void tag_fault(SeasonPlay *play)
{
    play->chart->fault = RB_FAULT_NONE;
    if (play->chart->ball_read != 0 && rb_season_chance(play, 0.012)) {
        play->chart->fault = RB_FAULT_WRONG_ROUTE;
        play->chart->fault_read = play->chart->ball_read;
    }
}

static void set_routes(SeasonPlay *play)
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

static void set_intended(SeasonPlay *play)
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

static void set_times(SeasonPlay *play)
{
    RbSeasonTruth *truth = play->truth;
    const int usual = truth->drop_steps == 1 ? 700 : truth->drop_steps == 3 ? 1500 : 2150;
    truth->release_ms = play->chart->release_ms;
    truth->top_ms =
        rb_season_at_most(truth->release_ms - 100, rb_season_around(play, usual, 60));
    const int last = MAX(truth->release_ms, truth->arrival_ms);
    truth->end_ms = last + rb_random_int(play->random, 700, 2200);
}

void rb_season_pass(SeasonMaker *maker, RbSeasonSnap *entry, SeasonConcept concept,
                    SeasonCoverage coverage)
{
    SeasonPlay play = { .maker = maker,
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
