/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/random.h"

#include <glib.h>
#include <math.h>

void rb_random_seed(RbRandom *random, uint64_t seed)
{
    random->state = seed;
}

void rb_random_seed_stream(RbRandom *random, uint64_t seed, uint64_t stream)
{
    RbRandom mixer = { seed };
    const uint64_t a = rb_random_next(&mixer);
    mixer.state = stream ^ UINT64_C(0xd1b54a32d192ed03);
    random->state = a ^ rb_random_next(&mixer);
}

uint64_t rb_random_next(RbRandom *random)
{
    random->state += UINT64_C(0x9e3779b97f4a7c15);
    uint64_t z = random->state;
    z = (z ^ z >> 30) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ z >> 27) * UINT64_C(0x94d049bb133111eb);
    return z ^ z >> 31;
}

double rb_random_unit(RbRandom *random)
{
    return (double)(rb_random_next(random) >> 11) * 0x1.0p-53;
}

int rb_random_int(RbRandom *random, int low, int high)
{
    g_assert(low <= high);
    const double span = (double)high - (double)low + 1.0;
    return (int)((int64_t)low + (int64_t)(rb_random_unit(random) * span));
}

bool rb_random_chance(RbRandom *random, double probability)
{
    return rb_random_unit(random) < probability;
}

double rb_random_normal(RbRandom *random, double mean, double sd)
{
    /* Box and Muller 1958, one of the pair: simple, and enough for a demo. */
    const double u = 1.0 - rb_random_unit(random);
    const double v = rb_random_unit(random);
    return mean + sd * sqrt(-2.0 * log(u)) * cos(2.0 * G_PI * v);
}

int rb_random_pick(RbRandom *random, const double *weights, int n)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        g_assert(weights[i] >= 0.0);
        sum += weights[i];
    }
    g_assert(sum > 0.0);
    double left = rb_random_unit(random) * sum;
    int last = 0;
    for (int i = 0; i < n; i++) {
        if (weights[i] <= 0.0) {
            continue;
        }
        last = i;
        left -= weights[i];
        if (left < 0.0) {
            return i;
        }
    }
    return last; /* rounding left a crumb */
}
