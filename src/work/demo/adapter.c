/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/demo-film.h"

/* From a tagged snap to what the choreographer needs. */

/* Receivers by side from a formation's token "2x2", "3x1": left by right when nothing says
 * which side is strong. */
static void set_formation(RbDemoPlay *play, const RbReadContext *context)
{
    const RbSnap *snap = context->snap;
    const RbTerm *term = rb_vocabulary_find(context->terms, snap->formation);
    int left = 2;
    int right = 2;
    for (const char *p = term != NULL ? term->token : ""; *p != '\0'; p++) {
        if (g_ascii_isdigit(p[0]) && p[1] == 'x' && g_ascii_isdigit(p[2])) {
            left = p[0] - '0';
            right = p[2] - '0';
            break;
        }
    }
    const bool left_strong = left > right;
    if ((snap->strong == RB_STRONG_LEFT && right > left) ||
        (snap->strong == RB_STRONG_RIGHT && left_strong)) {
        const int kept = left;
        left = right;
        right = kept;
    }
    play->receivers_left = left;
    play->receivers_right = right;
    play->width = snap->width;
    const RbTerm *personnel = rb_vocabulary_find(context->terms, snap->personnel);
    const char *men = personnel != NULL ? personnel->token : "";
    if (g_ascii_isdigit(men[0]) && men[1] > '0') { /* backs, then tight ends */
        play->tight_end = right >= left ? RB_SIDE_RIGHT : RB_SIDE_LEFT;
    }
}

static void set_picture(RbDemoPlay *play, const RbReadContext *context,
                        const RbChart *chart)
{
    const RbPictureShown *shown = &chart->shown;
    play->shell = shown->shell;
    play->technique_left = shown->left.technique;
    play->technique_right = shown->right.technique;
    play->cushion_left_tenths = shown->left.cushion_tenths;
    play->cushion_right_tenths = shown->right.cushion_tenths;
    play->leverage_left = shown->left.leverage;
    play->leverage_right = shown->right.leverage;
    const RbTerm *coverage = rb_vocabulary_find(context->terms, chart->played.coverage);
    play->coverage = coverage != NULL ? coverage->token : NULL;
    play->family = coverage != NULL ? coverage->family : RB_FAMILY_UNKNOWN;
    play->deep = coverage != NULL ? coverage->deep : -1;
    play->rotation = chart->played.rotation;
    play->rushers = MAX(0, chart->played.rushers);
    play->unblocked = chart->played.unblocked == RB_YES ? chart->played.unblocked_side
                                                        : RB_SIDE_UNKNOWN;
    play->pressure = chart->pressure;
    play->pressure_ms = MAX(0, chart->pressure_ms);
}

/* The clock of the first read tells from where, and with how many steps, he drops. */
static void set_drop(RbDemoPlay *play, const RbRung *rungs, int n)
{
    for (int i = 0; i < n; i++) {
        const RbClock *clock = &rungs[i].read->clock;
        if (clock->kind == RB_CLOCK_FOOTWORK) {
            play->backfield = clock->backfield;
            play->drop_steps = clock->steps;
            return;
        }
    }
}

/* True when a route of this man is there already. */
static bool has_runner(const RbDemoPlay *play, RbSide side, RbRunner runner)
{
    for (int i = 0; i < play->n_routes; i++) {
        if (play->routes[i].side == side && play->routes[i].runner == runner) {
            return true;
        }
    }
    return false;
}

static void add_route(RbDemoPlay *play, const RbRung *rung, RbSide side, RbLook look,
                      bool worked)
{
    if (play->n_routes == RB_DEMO_ROUTES_MAX || has_runner(play, side, rung->runner)) {
        return;
    }
    play->routes[play->n_routes++] = (RbDemoRoute){
        .side = side,
        .runner = rung->runner,
        .route = rung->route,
        .depth_yd = rung->route == rung->read->route ? rung->read->depth_yd : 0,
        .read = worked ? rung->slot : 0,
        .look = worked ? look : RB_LOOK_UNKNOWN,
    };
}

static void set_routes(RbDemoPlay *play, const RbReadContext *context,
                       const RbChart *chart)
{
    RbRung rungs[RB_READS_MAX];
    const int n = rb_order_slots(context, chart, rungs);
    play->n_routes = 0;
    play->target = -1;
    set_drop(play, rungs, n);
    for (int i = 0; i < n; i++) {
        const RbSide side = rungs[i].side != RB_SIDE_UNKNOWN        ? rungs[i].side
                            : chart->side_worked != RB_SIDE_UNKNOWN ? chart->side_worked
                                                                    : RB_SIDE_RIGHT;
        const int before = play->n_routes;
        add_route(play, &rungs[i], side, chart->looks[rungs[i].slot - 1], true);
        if (play->n_routes > before && chart->ball == RB_BALL_READ &&
            rungs[i].slot == chart->ball_read) {
            play->target = before;
        }
    }
    if (chart->call.kind != RB_CALL_MIRRORED) {
        return;
    }
    for (int i = 0; i < n; i++) { /* the same routes on the side not worked */
        if (rungs[i].runner != RB_RUNNER_BACK && rungs[i].side != RB_SIDE_UNKNOWN) {
            add_route(play, &rungs[i], rb_side_other(rungs[i].side), RB_LOOK_UNKNOWN,
                      false);
        }
    }
}

/* Men who run routes must be there to run them. */
static void make_room(RbDemoPlay *play)
{
    int need[2] = { play->receivers_left, play->receivers_right };
    for (int i = 0; i < play->n_routes; i++) {
        const RbDemoRoute *route = &play->routes[i];
        if (route->runner >= RB_RUNNER_1 && route->runner <= RB_RUNNER_4) {
            int *side = &need[route->side == RB_SIDE_LEFT ? 0 : 1];
            *side = MAX(*side, (int)route->runner - RB_RUNNER_1 + 1);
        }
    }
    if (need[0] + need[1] <= 5) {
        play->receivers_left = need[0];
        play->receivers_right = need[1];
    }
}

void rb_demo_play_set_chart(RbDemoPlay *play, const RbReadContext *context,
                            const RbChart *chart)
{
    const RbSnap *snap = context->snap;
    play->snap = snap->id;
    play->number = snap->number;
    play->yards_to_goal = snap->situation.yards_to_goal;
    play->distance = snap->situation.distance;
    play->hash = snap->situation.hash;
    set_formation(play, context);
    set_picture(play, context, chart);
    set_routes(play, context, chart);
    make_room(play);
    play->play = snap->play;
    play->release_ms = MAX(0, chart->release_ms);
    play->ball = chart->ball;
    play->throw_ = chart->throw_;
    play->catch_ = chart->catch_;
    play->result = snap->result;
    play->gain = snap->has_gain == RB_YES ? snap->gain : 0;
    play->ending = snap->ending;
}
