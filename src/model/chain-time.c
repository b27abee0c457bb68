/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "chain-private.h"

/* Which snaps are out of order? Those outside a longest run of times that never goes back:
 * so one wrong time among many right ones is the one that is named, wherever it jumps. A snap
 * whose clock is not told may lie anywhere in its quarter. */

#define QUARTER_S 1000 /* above any clock, so that times of different quarters differ */

static RbChainLink *link_at(GPtrArray *links, int i)
{
    return g_ptr_array_index(links, i);
}

static const RbSituation *situation_at(GPtrArray *links, int i)
{
    return &link_at(links, i)->facts.situation;
}

static bool is_timed(const RbSituation *situation)
{
    return situation->quarter > 0 && situation->clock_s >= 0;
}

static int earliest(const RbSituation *s)
{
    return s->quarter * QUARTER_S - (is_timed(s) ? s->clock_s : QUARTER_S - 1);
}

static int latest(const RbSituation *s)
{
    return s->quarter * QUARTER_S - (is_timed(s) ? s->clock_s : 0);
}

/* keep[i]: in the longest run. Of equally long runs the one that keeps the earlier snaps: the
 * one that jumps back is named, not the one before it. */
static bool *longest_run(GPtrArray *links)
{
    const int n = (int)links->len;
    g_autofree int *length = g_new0(int, n + 1);
    g_autofree int *before = g_new0(int, n + 1);
    g_autofree int *reached =
        g_new0(int, n + 1); /* time that the run ending here has come to */
    int last = -1;
    for (int i = 0; i < n; i++) {
        const RbSituation *here = situation_at(links, i);
        if (here->quarter <= 0) {
            continue;
        }
        before[i] = -1;
        length[i] = 1;
        reached[i] = earliest(here);
        for (int j = 0; j < i; j++) {
            if (length[j] >= length[i] && reached[j] <= latest(here)) {
                length[i] = length[j] + 1;
                before[i] = j;
                reached[i] = MAX(reached[j], earliest(here));
            }
        }
        if (last < 0 || length[i] > length[last]) {
            last = i;
        }
    }
    bool *keep = g_new0(bool, n + 1);
    for (; last >= 0; last = before[last]) {
        keep[last] = true;
    }
    return keep;
}

/* The nearest kept snap from `i` in steps of `step`; timed if asked. -1: none. */
static int nearest(GPtrArray *links, const bool *keep, int i, int step, bool timed)
{
    for (i += step; i >= 0 && i < (int)links->len; i += step) {
        if (keep[i] && (!timed || is_timed(situation_at(links, i)))) {
            return i;
        }
    }
    return -1;
}

static bool name_clock(GPtrArray *links, int i, int other, bool at_most,
                       GPtrArray *findings)
{
    const RbSituation *here = situation_at(links, i);
    const RbSituation *there = other >= 0 ? situation_at(links, other) : NULL;
    if (there == NULL || (at_most ? earliest(there) <= earliest(here)
                                  : earliest(there) >= earliest(here))) {
        return false;
    }
    rb_chain_add(
        findings, link_at(links, i)->snap, RB_CHAIN_CLOCK, there->clock_s, here->clock_s,
        at_most
            ? _("the clock should show at most %d:%02d, as on snap %d, but shows %d:%02d")
            : _("the clock should show at least %d:%02d, as on snap %d, but shows %d:%02d"),
        there->clock_s / 60, there->clock_s % 60, link_at(links, other)->snap->number,
        here->clock_s / 60, here->clock_s % 60);
    return true;
}

static void name_it(GPtrArray *links, const bool *keep, int i, GPtrArray *findings)
{
    const RbSituation *here = situation_at(links, i);
    const int before = nearest(links, keep, i, -1, false);
    const int after = nearest(links, keep, i, 1, false);
    const int low = before >= 0 ? situation_at(links, before)->quarter : 1;
    const int high = after >= 0 ? situation_at(links, after)->quarter : here->quarter;
    if (here->quarter >= low && here->quarter <= high && is_timed(here) &&
        (name_clock(links, i, nearest(links, keep, i, -1, true), true, findings) ||
         name_clock(links, i, nearest(links, keep, i, 1, true), false, findings))) {
        return;
    }
    const int expected = here->quarter < low ? low : MIN(low, high);
    rb_chain_add(findings, link_at(links, i)->snap, RB_CHAIN_QUARTER, expected,
                 here->quarter,
                 "the quarter should be %d like the snaps around it, but is %d", expected,
                 here->quarter);
}

void rb_chain_check_time(GPtrArray *links, GPtrArray *findings)
{
    g_autofree bool *keep = longest_run(links);
    for (int i = 0; i < (int)links->len; i++) {
        if (situation_at(links, i)->quarter > 0 && !keep[i]) {
            name_it(links, keep, i, findings);
        }
    }
    /* Blanked only now: the sentences compare with what the log says. */
    for (int i = 0; i < (int)links->len; i++) {
        RbSituation *here = &link_at(links, i)->facts.situation;
        if (here->quarter > 0 && !keep[i]) {
            const int before = nearest(links, keep, i, -1, false);
            here->quarter = before >= 0 ? situation_at(links, before)->quarter : 0;
            here->clock_s = -1;
        }
    }
}
