/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Prints how the pairing estimate does on seasons with known rates. Usage: estimate-curve
 * [SEASONS [SEED]], default 1,000 of each and seed 1. */
#include <stdio.h>
#include <stdlib.h>

#include "simulate-estimate.h"

int main(int argc, char **argv)
{
    static const double spreads[] = { 0.0, 0.15, 0.3, 0.5, 0.8 };
    static const char *const names[RB_SIM_BANDS] = { "1-2", "3-5", "6-10", "11-30" };
    const int seasons = argc > 1 ? atoi(argv[1]) : 1000;
    const uint64_t seed = argc > 2 ? strtoull(argv[2], NULL, 10) : 1;
    if (argc > 3 || seasons < 1) {
        fprintf(stderr, "usage: %s [SEASONS [SEED]]\n", argv[0]);
        return EXIT_FAILURE;
    }
    printf(
        "spread  dropbacks  80 %% holds  squared error  raw  share  below said  true\n");
    for (size_t i = 0; i < sizeof spreads / sizeof spreads[0]; i++) {
        RbSimBand bands[RB_SIM_BANDS];
        rb_sim_estimates(seed, seasons, spreads[i], bands);
        RbSimBand all = { 0 };
        for (int b = 0; b <= RB_SIM_BANDS; b++) {
            const RbSimBand *band = b < RB_SIM_BANDS ? &bands[b] : &all;
            const double n = band->cells;
            printf("%6.2f  %9s  %8.1f %%  %13.4f  %.4f  %.2f  %.3f  %.3f\n", spreads[i],
                   b < RB_SIM_BANDS ? names[b] : "all", 100.0 * band->covered / n,
                   band->squared / n, band->squared_raw / n,
                   band->squared / band->squared_raw, band->below / n,
                   band->truly_below / n);
            all.cells += band->cells;
            all.covered += band->covered;
            all.squared += band->squared;
            all.squared_raw += band->squared_raw;
            all.below += band->below;
            all.truly_below += band->truly_below;
        }
    }
    return EXIT_SUCCESS;
}
