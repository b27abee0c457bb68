/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/random.h"
#include "rb/stats/ladder.h"

static const RbWord certainty_words[] = {
    { "not-settled", "not settled" },
    { "leaning", "leaning" },
    { "clear", "clear" },
};
const RbWords rb_certainty_words = { N_("certainty"), certainty_words,
                                     G_N_ELEMENTS(certainty_words) };

enum { CELLS = (RB_READS_MAX + 1) * RB_STAGES };

/* One snap as the bootstrap sees it. */
typedef struct {
    int cell; /* -1: no failure */
    double cost;
} Draw;

static int cell_of(const RbDropback *row)
{
    g_assert(row->stage_read >= 0 && row->stage_read <= RB_READS_MAX);
    return row->stage_read * RB_STAGES + (int)row->stage;
}

/* Only rows with points have a cost; the others take no part, in the norm neither. */
static bool has_cost(const RbDropback *row)
{
    return row->in_ladder && row->has_points;
}

/* The mean cost a dropback at each failing cell over the other rows. */
static void find_norms(const RbLadder *others, double norms[CELLS])
{
    for (int c = 0; c < CELLS; c++) {
        const RbStage stage = (RbStage)(c % RB_STAGES);
        const RbLadderCell *cell = &others->cells[c / RB_STAGES][stage];
        norms[c] = others->pointed > 0 && rb_stage_is_failure(stage)
                       ? -cell->points / others->pointed
                       : 0.0;
    }
}

/* The candidate with the most excess; the first of equals. */
static int find_worst(const int *candidates, int n, const double costs[CELLS],
                      const double norms[CELLS], int dropbacks)
{
    int worst = candidates[0];
    for (int i = 1; i < n; i++) {
        const int c = candidates[i];
        if (costs[c] - norms[c] * dropbacks > costs[worst] - norms[worst] * dropbacks) {
            worst = c;
        }
    }
    return worst;
}

/* Share of the draws in which `cell` comes first again. The norm stays as it is: the snaps of
 * the pairing are few, those of the team are many. */
static double bootstrap_share(const Draw *draws, int n, const int *candidates,
                              int n_candidates, const double norms[CELLS], int cell)
{
    RbRandom random;
    rb_random_seed(&random, RB_BREAK_SEED);
    int first = 0;
    for (int draw = 0; draw < RB_BREAK_DRAWS; draw++) {
        double costs[CELLS] = { 0 };
        for (int i = 0; i < n; i++) {
            const Draw *drawn = &draws[rb_random_int(&random, 0, n - 1)];
            if (drawn->cell >= 0) {
                costs[drawn->cell] += drawn->cost;
            }
        }
        first += find_worst(candidates, n_candidates, costs, norms, n) == cell;
    }
    return (double)first / RB_BREAK_DRAWS;
}

RbCertainty rb_break_certainty(int dropbacks, double excess, double share)
{
    if (dropbacks < RB_BREAK_MIN || excess <= 0.0 || share < RB_BREAK_LEANING) {
        return RB_CERTAINTY_NOT_SETTLED;
    }
    return share < RB_BREAK_CLEAR ? RB_CERTAINTY_LEANING : RB_CERTAINTY_CLEAR;
}

void rb_break_find_against(const RbDropback *rows, int n, const RbLadder *others,
                           RbBreak *found)
{
    double norms[CELLS];
    double costs[CELLS] = { 0 };
    int ended[CELLS] = { 0 }; /* dropbacks, with points or without */
    bool candidate[CELLS] = { false };
    *found = (RbBreak){ .draws = RB_BREAK_DRAWS, .seed = RB_BREAK_SEED };
    find_norms(others, norms);
    g_autofree Draw *draws = g_new(Draw, n + 1);
    int pointed = 0;
    for (int i = 0; i < n; i++) {
        const bool failed = rows[i].in_ladder && rb_stage_is_failure(rows[i].stage);
        const int cell = failed ? cell_of(&rows[i]) : -1;
        if (failed) {
            ended[cell]++;
        }
        if (!has_cost(&rows[i])) {
            continue;
        }
        draws[pointed++] = (Draw){ cell, -rows[i].points };
        if (failed) {
            costs[cell] -= rows[i].points;
            candidate[cell] = true;
        }
    }
    int candidates[CELLS];
    int n_candidates = 0;
    for (int c = 0; c < CELLS; c++) {
        if (candidate[c]) {
            candidates[n_candidates++] = c;
        }
    }
    if (n_candidates == 0) {
        return;
    }
    const int worst = find_worst(candidates, n_candidates, costs, norms, pointed);
    found->found = true;
    found->read = worst / RB_STAGES;
    found->stage = (RbStage)(worst % RB_STAGES);
    found->dropbacks = ended[worst];
    found->points = -costs[worst];
    found->excess = costs[worst] - norms[worst] * pointed;
    found->share =
        bootstrap_share(draws, pointed, candidates, n_candidates, norms, worst);
    found->certainty = rb_break_certainty(found->dropbacks, found->excess, found->share);
}

void rb_break_find(const RbDropback *rows, int n, const RbDropback *others, int n_others,
                   RbBreak *found)
{
    RbLadder norm;
    rb_ladder_build(others, n_others, &norm);
    rb_break_find_against(rows, n, &norm, found);
}
