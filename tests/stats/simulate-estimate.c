/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "simulate-estimate.h"

#include <math.h>
#include <string.h>

enum { ROWS = 8, COLUMNS = 7 };

static double draw_spread(RbRandom *random, double spread)
{
    return spread > 0.0 ? spread : fabs(rb_random_normal(random, 0.0, 0.5));
}

static void draw_season(RbRandom *random, double spread, RbCrossedCell *cells,
                        double *rates)
{
    const double overall = rb_random_normal(random, -0.2, 0.3);
    const double row_spread = draw_spread(random, spread);
    const double column_spread = draw_spread(random, spread);
    const double cell_spread = draw_spread(random, spread);
    double columns[COLUMNS];
    for (int j = 0; j < COLUMNS; j++) {
        columns[j] = rb_random_normal(random, 0.0, column_spread);
    }
    for (int i = 0; i < ROWS; i++) {
        const double row = rb_random_normal(random, 0.0, row_spread);
        for (int j = 0; j < COLUMNS; j++) {
            const int k = i * COLUMNS + j;
            const double own = rb_random_normal(random, 0.0, cell_spread);
            rates[k] = 1.0 / (1.0 + exp(-overall - row - columns[j] - own));
            /* 1 to 30, small ones common. */
            const double u = rb_random_unit(random);
            cells[k] =
                (RbCrossedCell){ .row = i, .column = j, .n = 1 + (int)(30.0 * u * u) };
            for (int s = 0; s < cells[k].n; s++) {
                cells[k].x += rb_random_chance(random, rates[k]);
            }
        }
    }
}

static int band_of(int n)
{
    static const int most[RB_SIM_BANDS - 1] = { 2, 5, 10 };
    int band = 0;
    while (band < RB_SIM_BANDS - 1 && n > most[band]) {
        band++;
    }
    return band;
}

void rb_sim_estimates(uint64_t seed, int seasons, double spread,
                      RbSimBand bands[RB_SIM_BANDS])
{
    RbRandom random;
    rb_random_seed(&random, seed);
    memset(bands, 0, RB_SIM_BANDS * sizeof bands[0]);
    for (int season = 0; season < seasons; season++) {
        RbCrossedCell cells[RB_SIM_CELLS];
        RbEstimate estimates[RB_SIM_CELLS];
        double rates[RB_SIM_CELLS];
        double x = 0.0;
        double n = 0.0;
        draw_season(&random, spread, cells, rates);
        rb_crossed_estimate(cells, RB_SIM_CELLS, estimates);
        for (int k = 0; k < RB_SIM_CELLS; k++) {
            x += cells[k].x;
            n += cells[k].n;
        }
        for (int k = 0; k < RB_SIM_CELLS; k++) {
            RbSimBand *band = &bands[band_of(cells[k].n)];
            const double raw = (double)cells[k].x / cells[k].n;
            band->cells++;
            band->covered +=
                rates[k] >= estimates[k].low && rates[k] <= estimates[k].high;
            band->squared +=
                (estimates[k].mean - rates[k]) * (estimates[k].mean - rates[k]);
            band->squared_raw += (raw - rates[k]) * (raw - rates[k]);
            band->below += estimates[k].below;
            band->truly_below += rates[k] < x / n;
        }
    }
}
