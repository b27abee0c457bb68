/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "simulate-break.h"

#include <string.h>

const double rb_sim_points[5] = { 0, 1, 2, 3, 5 };
const int rb_sim_sizes[4] = { 8, 12, 20, 40 };

/* Where a dropback of the team ends, in per cent of all; what it costs. */
typedef struct {
    int read;
    RbStage stage;
    double percent;
    double cost; /* mean points lost */
    double spread;
    double turnover; /* share of snaps that lose the ball */
} Cell;

static const Cell cells[] = {
    { 1, RB_STAGE_SUCCESS, 22, -1.5, 1.2, 0 },
    { 2, RB_STAGE_SUCCESS, 15, -1.4, 1.2, 0 },
    { 3, RB_STAGE_SUCCESS, 6, -1.1, 0.9, 0 },
    { 0, RB_STAGE_NOT_JUDGED, 4, 0.0, 1.2, 0 },
    { 1, RB_STAGE_BEFORE_SNAP, 4, 0.8, 0.7, 0.05 },
    { 1, RB_STAGE_TIPPED, 1.5, 0.7, 0.4, 0.1 },
    { 1, RB_STAGE_PROTECTION, 3, 1.5, 0.7, 0.05 },
    { 2, RB_STAGE_PROTECTION, 3, 1.6, 0.7, 0.05 },
    { 1, RB_STAGE_EYES, 4, 0.8, 0.7, 0.08 },
    { 2, RB_STAGE_EYES, 4.5, 0.9, 0.7, 0.08 },
    { 3, RB_STAGE_COVERED, 7, 0.7, 0.6, 0.02 },
    { 1, RB_STAGE_CLOCK, 2, 0.7, 0.5, 0.05 },
    { 2, RB_STAGE_CLOCK, 2.5, 0.7, 0.5, 0.05 },
    { 1, RB_STAGE_THROW, 5, 0.7, 0.5, 0.1 },
    { 2, RB_STAGE_THROW, 4.5, 0.7, 0.5, 0.1 },
    { 1, RB_STAGE_CATCH, 3, 0.7, 0.5, 0.08 },
    { 2, RB_STAGE_CATCH, 2.5, 0.7, 0.5, 0.08 },
    { 1, RB_STAGE_AFTER, 4, 0.25, 0.4, 0.02 },
    { 2, RB_STAGE_AFTER, 1.5, 0.25, 0.4, 0.02 },
    { 3, RB_STAGE_AFTER, 1, 0.3, 0.4, 0.02 },
};
enum { N_CELLS = sizeof cells / sizeof cells[0], FIRST_FAILURE = 4 };

static const double most_planted = 0.6; /* share of the dropbacks one cell may take */

/* Points lost by a turnover, beyond the incompletion. */
static double turnover_cost(RbSimTeam team)
{
    return team == RB_SIM_HEAVY ? 6.0 : 4.0;
}

static double percent_of(RbSimTeam team, const Cell *cell)
{
    const bool lump = (cell->stage == RB_STAGE_THROW && cell->read == 1) ||
                      cell->stage == RB_STAGE_COVERED;
    return cell->percent + (team == RB_SIM_LUMPY && lump ? 8.0 : 0.0);
}

static double mean_cost(RbSimTeam team, const Cell *cell)
{
    return cell->cost + cell->turnover * turnover_cost(team);
}

/* extra: added to the cost when the snap ends at the planted cell. */
static RbDropback draw_row(RbRandom *random, RbSimTeam team, const double *weights,
                           int planted, double extra)
{
    const int i = rb_random_pick(random, weights, N_CELLS);
    const Cell *cell = &cells[i];
    const double spread = cell->spread * (team == RB_SIM_HEAVY ? 1.5 : 1.0);
    double cost = rb_random_normal(random, cell->cost, spread);
    cost += rb_random_chance(random, cell->turnover) ? turnover_cost(team) : 0.0;
    cost += i == planted ? extra : 0.0;
    return (RbDropback){ .stage = cell->stage,
                         .stage_read = cell->read,
                         .has_points = true,
                         .points = -cost,
                         .in_ladder = true };
}

void rb_sim_season(RbRandom *random, RbSimTeam team, double points, RbDropback *rows,
                   int n, RbDropback *others, RbSimPlanted *planted)
{
    double weights[N_CELLS];
    double sum = 0.0;
    for (int i = 0; i < N_CELLS; i++) {
        weights[i] = percent_of(team, &cells[i]);
        sum += weights[i];
    }
    for (int i = 0; i < RB_SIM_OTHERS; i++) {
        others[i] = draw_row(random, team, weights, -1, 0.0);
    }
    const int at = rb_random_int(random, FIRST_FAILURE, N_CELLS - 1);
    *planted = (RbSimPlanted){ cells[at].read, cells[at].stage };
    /* Raise the cell's share first, up to a limit, and its cost for the rest. */
    const double cost = mean_cost(team, &cells[at]);
    const double share = weights[at] / sum;
    const double wanted = share + points / (n * cost);
    const double raised = MIN(wanted, most_planted);
    const double extra = (wanted - raised) * cost / raised;
    weights[at] = raised * (sum - weights[at]) / (1.0 - raised);
    for (int i = 0; i < n; i++) {
        rows[i] = draw_row(random, team, weights, at, extra);
    }
}

static void count_season(RbRandom *random, RbSimTeam team, double points, int n,
                         RbSimCount *count)
{
    RbDropback others[RB_SIM_OTHERS];
    RbDropback rows[64];
    RbSimPlanted planted = { 0 };
    RbBreak found;
    rb_sim_season(random, team, points, rows, n, others, &planted);
    rb_break_find(rows, n, others, RB_SIM_OTHERS, &found);
    const bool right = points > 0.0 && found.found && found.read == planted.read &&
                       found.stage == planted.stage;
    count->seasons++;
    count->first += right;
    count->said[found.certainty]++;
    count->said_right[found.certainty] += right;
}

void rb_sim_run(RbSimTeam team, uint64_t seed, int seasons, RbSimCount counts[5][4])
{
    RbRandom random;
    memset(counts, 0, 5 * sizeof counts[0]);
    for (int p = 0; p < 5; p++) {
        for (int s = 0; s < 4; s++) {
            rb_random_seed_stream(&random, seed, (uint64_t)(4 * p + s));
            for (int i = 0; i < seasons; i++) {
                count_season(&random, team, rb_sim_points[p], rb_sim_sizes[s],
                             &counts[p][s]);
            }
        }
    }
}

double rb_sim_right(RbSimCount counts[5][4], RbCertainty certainty)
{
    int said = 0;
    int right = 0;
    for (int p = 0; p < 5; p++) {
        for (int s = 0; s < 4; s++) {
            said += counts[p][s].said[certainty];
            right += counts[p][s].said_right[certainty];
        }
    }
    return said > 0 ? (double)right / said : 1.0;
}

double rb_sim_false(RbSimCount counts[5][4], RbCertainty certainty)
{
    int seasons = 0;
    int said = 0;
    for (int s = 0; s < 4; s++) {
        seasons += counts[0][s].seasons;
        said += counts[0][s].said[certainty];
    }
    return (double)said / seasons;
}
