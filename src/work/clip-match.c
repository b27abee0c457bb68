/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/clip-match.h"

#include <math.h>
#include <stdlib.h>

/* How far along two clips of one snap may be apart while the spread is not known yet. */
#define NEARBY 4

/* A frame of a usual camera. */
#define SPREAD_LEAST_S 0.02

typedef struct {
    const RbMatchClip *wide;
    const RbMatchClip *tight;
    int n;
    int m;
    double spread_s;
    bool numbers;
} Match;

static double seconds_apart(const RbMatchClip *a, const RbMatchClip *b)
{
    return fabs((double)(a->length_us - b->length_us)) / 1e6;
}

static int compare_double(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(double *values, int n)
{
    qsort(values, (size_t)n, sizeof *values, compare_double);
    return values[n / 2];
}

double rb_match_spread(const RbMatchClip *wide, int n_wide, const RbMatchClip *tight,
                       int n_tight)
{
    if (n_wide > n_tight) {
        return rb_match_spread(tight, n_tight, wide, n_wide);
    }
    if (n_wide == 0) {
        return SPREAD_LEAST_S;
    }
    g_autofree double *least = g_new(double, n_wide);
    for (int i = 0; i < n_wide; i++) {
        least[i] = INFINITY;
        const int at = i * n_tight / n_wide;
        for (int j = MAX(0, at - NEARBY); j <= MIN(n_tight - 1, at + NEARBY); j++) {
            least[i] = fmin(least[i], seconds_apart(&wide[i], &tight[j]));
        }
    }
    return CLAMP(1.5 * median(least, n_wide), SPREAD_LEAST_S, 1.5);
}

static int find_number(const RbMatchClip *clips, int n, int number)
{
    for (int i = 0; number >= 0 && i < n; i++) {
        if (clips[i].number == number) {
            return i;
        }
    }
    return -1;
}

bool rb_match_numbers_hold(const RbMatchClip *wide, int n_wide, const RbMatchClip *tight,
                           int n_tight)
{
    g_autofree double *same = g_new(double, n_wide + 1);
    const double spread = rb_match_spread(wide, n_wide, tight, n_tight);
    int shared = 0;
    int agree = 0;
    for (int i = 0; i < n_wide; i++) {
        const int j = find_number(tight, n_tight, wide[i].number);
        if (j >= 0) {
            same[shared] = seconds_apart(&wide[i], &tight[j]);
            agree += same[shared] <= 4 * spread;
            shared++;
        }
    }
    const int least = MIN(n_wide, n_tight);
    return least > 0 && shared * 10 >= least * 6 && agree * 10 >= shared * 8;
}

static double pair_cost(const Match *match, int i, int j)
{
    const RbMatchClip *a = &match->wide[i];
    const RbMatchClip *b = &match->tight[j];
    const double d = seconds_apart(a, b) / match->spread_s;
    double cost = 2 * log1p(d * d / 2);
    if (match->numbers && a->number != b->number) {
        cost += RB_MATCH_NUMBER;
    }
    if (a->place >= 0 && b->place >= 0 && abs(a->place - b->place) == 1) {
        cost -= RB_MATCH_NEIGHBOUR;
    }
    return cost;
}

/* ln(exp(a) + exp(b)) */
static double log_add(double a, double b)
{
    const double high = fmax(a, b);
    return high == -INFINITY ? high : high + log1p(exp(fmin(a, b) - high));
}

/* The tables have (n + 1) * (m + 1) cells: cell (i, j) has used i wide and j tight clips. */
static size_t cell(const Match *match, int i, int j)
{
    return (size_t)i * (size_t)(match->m + 1) + (size_t)j;
}

/* Between two pairs the clips left alone could stand in any order; to count each alignment once
 * the wide ones come first: after a lone tight clip comes no lone wide one. */
typedef struct {
    double *cheapest; /* cost of the best way to the cell */
    double *before;   /* ln of the sum of exp(-cost) of all ways to the cell … */
    double *
        before_tight; /* … of those whose last step is a lone tight clip; not in `before` */
    double *after;       /* the same of all ways from it to the end … */
    double *after_tight; /* … of those that begin with no lone wide clip */
} Tables;

static void fill_forward(const Match *match, Tables *tables)
{
    for (int i = 0; i <= match->n; i++) {
        for (int j = 0; j <= match->m; j++) {
            const size_t at = cell(match, i, j);
            double best = i + j == 0 ? 0 : INFINITY;
            double sum = i + j == 0 ? 0 : -INFINITY;
            tables->before_tight[at] = -INFINITY;
            if (i > 0) {
                const size_t from = cell(match, i - 1, j);
                best = fmin(best, tables->cheapest[from] + RB_MATCH_GAP);
                sum = log_add(sum, tables->before[from] - RB_MATCH_GAP);
            }
            if (j > 0) {
                const size_t from = cell(match, i, j - 1);
                best = fmin(best, tables->cheapest[from] + RB_MATCH_GAP);
                tables->before_tight[at] =
                    log_add(tables->before[from], tables->before_tight[from]) -
                    RB_MATCH_GAP;
            }
            if (i > 0 && j > 0) {
                const size_t from = cell(match, i - 1, j - 1);
                const double cost = pair_cost(match, i - 1, j - 1);
                best = fmin(best, tables->cheapest[from] + cost);
                sum = log_add(sum,
                              log_add(tables->before[from], tables->before_tight[from]) -
                                  cost);
            }
            tables->cheapest[at] = best;
            tables->before[at] = sum;
        }
    }
}

static void fill_backward(const Match *match, Tables *tables)
{
    for (int i = match->n; i >= 0; i--) {
        for (int j = match->m; j >= 0; j--) {
            const size_t at = cell(match, i, j);
            double sum = i == match->n && j == match->m ? 0 : -INFINITY;
            if (j < match->m) {
                sum = log_add(sum,
                              tables->after_tight[cell(match, i, j + 1)] - RB_MATCH_GAP);
            }
            if (i < match->n && j < match->m) {
                sum = log_add(sum, tables->after[cell(match, i + 1, j + 1)] -
                                       pair_cost(match, i, j));
            }
            tables->after_tight[at] = sum;
            if (i < match->n) {
                sum = log_add(sum, tables->after[cell(match, i + 1, j)] - RB_MATCH_GAP);
            }
            tables->after[at] = sum;
        }
    }
}

/* The chance that wide clip i and tight clip j are one snap. */
static double pair_share(const Match *match, const Tables *tables, int i, int j)
{
    const double whole = tables->after[0];
    return exp(log_add(tables->before[cell(match, i, j)],
                       tables->before_tight[cell(match, i, j)]) -
               pair_cost(match, i, j) + tables->after[cell(match, i + 1, j + 1)] - whole);
}

/* The chance that a clip has no partner is what its pairs leave. */
static double alone_share(const Match *match, const Tables *tables, int wide, int tight)
{
    double paired = 0;
    const int others = wide >= 0 ? match->m : match->n;
    for (int k = 0; k < others; k++) {
        paired += wide >= 0 ? pair_share(match, tables, wide, k)
                            : pair_share(match, tables, k, tight);
    }
    return CLAMP(1 - paired, 0, 1);
}

/* From the end back along the cheapest way. */
static GArray *trace(const Match *match, const Tables *tables)
{
    GArray *steps = g_array_new(FALSE, FALSE, sizeof(RbMatchStep));
    int i = match->n;
    int j = match->m;
    while (i + j > 0) {
        const double here = tables->cheapest[cell(match, i, j)];
        RbMatchStep step = { .wide = -1, .tight = -1 };
        const double paired = i > 0 && j > 0
                                  ? tables->cheapest[cell(match, i - 1, j - 1)] +
                                        pair_cost(match, i - 1, j - 1)
                                  : INFINITY;
        if (paired <= here + 1e-9) {
            step.wide = --i;
            step.tight = --j;
            step.sure = fmin(1, pair_share(match, tables, i, j));
        } else if (j > 0 && tables->cheapest[cell(match, i, j - 1)] + RB_MATCH_GAP <=
                                here + 1e-9) {
            step.tight = --j;
            step.sure = alone_share(match, tables, -1, j);
        } else {
            step.wide = --i;
            step.sure = alone_share(match, tables, i, -1);
        }
        g_array_prepend_val(steps, step);
    }
    return steps;
}

GArray *rb_match_clips(const RbMatchClip *wide, int n_wide, const RbMatchClip *tight,
                       int n_tight)
{
    const Match match = { wide,
                          tight,
                          n_wide,
                          n_tight,
                          rb_match_spread(wide, n_wide, tight, n_tight),
                          rb_match_numbers_hold(wide, n_wide, tight, n_tight) };
    const size_t cells = (size_t)(n_wide + 1) * (size_t)(n_tight + 1);
    g_autofree double *room = g_new0(double, 5 * cells);
    Tables tables = { room, room + cells, room + 2 * cells, room + 3 * cells,
                      room + 4 * cells };
    fill_forward(&match, &tables);
    fill_backward(&match, &tables);
    return trace(&match, &tables);
}
