/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Prints how long the pairing estimate of a season takes: 8 concepts by 7 coverages, the median
 * of 25 seasons, each against the limit of 50 ms. */
#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "rb/base/random.h"
#include "rb/stats/estimate.h"

enum { ROWS = 8, COLUMNS = 7, CELLS = ROWS * COLUMNS, SEASONS = 25 };

static int compare(const void *a, const void *b)
{
    const double one = *(const double *)a;
    const double other = *(const double *)b;
    return (one > other) - (one < other);
}

static double fit_ms(RbRandom *random)
{
    RbCrossedCell cells[CELLS];
    RbEstimate estimates[CELLS];
    for (int k = 0; k < CELLS; k++) {
        cells[k] = (RbCrossedCell){ .row = k / COLUMNS,
                                    .column = k % COLUMNS,
                                    .n = rb_random_int(random, 1, 30) };
        cells[k].x = rb_random_int(random, 0, cells[k].n);
    }
    /* The processor's time: one thread does it all, and a busy machine is not its fault. */
    const clock_t before = clock();
    rb_crossed_estimate(cells, CELLS, estimates);
    return 1000.0 * (double)(clock() - before) / CLOCKS_PER_SEC;
}

int main(void)
{
    double times[SEASONS];
    RbRandom random;
    rb_random_seed(&random, 1);
    for (int i = 0; i < SEASONS; i++) {
        times[i] = fit_ms(&random);
    }
    qsort(times, SEASONS, sizeof times[0], compare);
    printf("estimate of one season, 8 by 7: median %.1f ms, slowest %.1f ms (limit 50)\n",
           times[SEASONS / 2], times[SEASONS - 1]);
    return times[SEASONS / 2] < 50.0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
