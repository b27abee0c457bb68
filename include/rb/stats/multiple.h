/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Many comparisons at once: Y. Benjamini, Y. Hochberg, J. R. Statist. Soc. B 57, 1995,
 * 289-300. adjusted[i] is the smallest false discovery rate at which p[i] is still rejected:
 * reject where adjusted[i] <= q. Both hold n values; order is kept. */
void rb_benjamini_hochberg(const double *p, int n, double *adjusted);

/* The rate the program flags pairings at. */
#define RB_DISCOVERY_RATE 0.10
