/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdicts a second, on charts of which everything is known and on charts with unknown tags,
 * against the naive engine of the tests. Not a test: run it by hand. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "world.h"

enum { WORLDS = 200, NAIVE_MOST = 2000 };

static double seconds_since(clock_t start)
{
    return (double)(clock() - start) / CLOCKS_PER_SEC;
}

static double run_engine(const World *worlds, int rounds, uint64_t *sum)
{
    const clock_t start = clock();
    for (int round = 0; round < rounds; round++) {
        for (int i = 0; i < WORLDS; i++) {
            RbJudgment judgment;
            rb_judge(&worlds[i].context, worlds[i].chart, worlds[i].success,
                     &worlds[i].settings, &judgment);
            *sum += (uint64_t)judgment.verdict;
        }
    }
    return seconds_since(start) / ((double)rounds * WORLDS);
}

static double run_naive(const World *worlds, int rounds, uint64_t *sum)
{
    static NaiveSets sets;
    const clock_t start = clock();
    for (int round = 0; round < rounds; round++) {
        for (int i = 0; i < WORLDS; i++) {
            naive_try_all(&worlds[i].context, worlds[i].chart, worlds[i].success,
                          &worlds[i].settings, false, NAIVE_MOST, &sets);
            *sum += sets.all;
        }
    }
    return seconds_since(start) / ((double)rounds * WORLDS);
}

/* Worlds with `unknown` tags forgotten that the naive engine can still try. */
static void make_worlds(World *worlds, int unknown, bool bounded, RbRandom *random)
{
    static NaiveSets sets;
    for (int i = 0; i < WORLDS; i++) {
        for (;;) {
            world_make(&worlds[i], random);
            for (int k = 0; k < unknown; k++) {
                world_forget(&worlds[i], random);
            }
            worlds[i].context.footwork = &worlds[i].footwork;
            if (!bounded ||
                naive_try_all(&worlds[i].context, worlds[i].chart, false,
                              &worlds[i].settings, false, NAIVE_MOST, &sets)) {
                break;
            }
            world_clear(&worlds[i]);
        }
    }
}

static void clear_worlds(World *worlds)
{
    for (int i = 0; i < WORLDS; i++) {
        world_clear(&worlds[i]);
    }
}

static void measure(const char *what, int unknown, int rounds, bool with_naive)
{
    static World worlds[WORLDS];
    RbRandom random;
    uint64_t sum = 0;
    rb_random_seed(&random, 1);
    make_worlds(worlds, unknown, with_naive, &random);
    const double engine = run_engine(worlds, rounds, &sum);
    printf("%-28s %10.0f verdicts/s", what, 1 / engine);
    if (with_naive) {
        const double naive = run_naive(worlds, MAX(rounds / 100, 1), &sum);
        printf(", naive %10.0f, ratio %.1f", 1 / naive, naive / engine);
    }
    printf("  (check %" G_GUINT64_FORMAT ")\n", sum);
    clear_worlds(worlds);
}

int main(void)
{
    measure("everything known", 0, 2000, true);
    measure("three tags unknown", 3, 500, true);
    measure("forty tags unknown", 40, 20, false);
    return EXIT_SUCCESS;
}
