/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

/* Reproducible random numbers for the demo and for tests: SplitMix64 (G. Steele, D. Lea,
 * C. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014). The same seed
 * gives the same sequence everywhere. Not for ids and not for secrets. */
typedef struct {
    uint64_t state;
} RbRandom;

void rb_random_seed(RbRandom *random, uint64_t seed);
/* An independent stream: the same seed and the same stream number give the same stream. */
void rb_random_seed_stream(RbRandom *random, uint64_t seed, uint64_t stream);

uint64_t rb_random_next(RbRandom *random);
double rb_random_unit(RbRandom *random);                /* [0, 1) */
int rb_random_int(RbRandom *random, int low, int high); /* both ends included */
bool rb_random_chance(RbRandom *random, double probability);
double rb_random_normal(RbRandom *random, double mean, double sd);
/* Index drawn with probability weight[i] / sum. At least one weight must be above 0. */
int rb_random_pick(RbRandom *random, const double *weights, int n);
