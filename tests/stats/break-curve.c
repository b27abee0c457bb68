/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Prints the operating curve of the break point: how often it names the planted break and what
 * it is called, by points planted and dropbacks. Usage: break-curve [SEASONS], default 2,000 of
 * each, about a minute. The thresholds of rb/stats/ladder.h are set from it. */
#include <stdio.h>
#include <stdlib.h>

#include "simulate-break.h"

static void print_team(RbSimTeam team, int seasons)
{
    static const char *const names[RB_SIM_TEAMS] = { "even team", "heavy losses",
                                                     "lumpy stages" };
    RbSimCount counts[5][4];
    rb_sim_run(team, 1, seasons, counts);
    printf("%s, %d seasons of each\n", names[team], seasons);
    printf(
        "planted  dropbacks  named first  clear (right)  leaning (right)  not settled\n");
    for (int p = 0; p < 5; p++) {
        for (int s = 0; s < 4; s++) {
            const RbSimCount *count = &counts[p][s];
            const double scale = 100.0 / count->seasons;
            printf("%7.0f  %9d  %9.1f %%  %5.1f (%5.1f) %%  %7.1f (%5.1f) %%  %9.1f %%\n",
                   rb_sim_points[p], rb_sim_sizes[s], count->first * scale,
                   count->said[RB_CERTAINTY_CLEAR] * scale,
                   count->said_right[RB_CERTAINTY_CLEAR] * scale,
                   count->said[RB_CERTAINTY_LEANING] * scale,
                   count->said_right[RB_CERTAINTY_LEANING] * scale,
                   count->said[RB_CERTAINTY_NOT_SETTLED] * scale);
        }
    }
    for (int c = RB_CERTAINTY_LEANING; c <= RB_CERTAINTY_CLEAR; c++) {
        printf("%s: right %.1f %% of the times said; said of %.1f %% with no break\n",
               rb_certainty_words.words[c].label,
               100.0 * rb_sim_right(counts, (RbCertainty)c),
               100.0 * rb_sim_false(counts, (RbCertainty)c));
    }
    printf("\n");
}

int main(int argc, char **argv)
{
    const int seasons = argc > 1 ? atoi(argv[1]) : 2000;
    if (argc > 2 || seasons < 1) {
        fprintf(stderr, "usage: %s [SEASONS]\n", argv[0]);
        return EXIT_FAILURE;
    }
    for (int team = 0; team < RB_SIM_TEAMS; team++) {
        print_team((RbSimTeam)team, seasons);
    }
    return EXIT_SUCCESS;
}
