/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "snap-onset.h"

#include <glib.h>
#include <math.h>

#define QUIET_US                                                                         \
    700000 /* men are set for a second, by rule; the start of it may be cut off */
#define LEAST_US 250000  /* quiet before it that a clip must show */
#define BURST_US 250000  /* the first steps */
#define PLAY_US 1500000  /* no play is shorter by much */
#define LASTS_US 4000000 /* longer makes it no likelier */
#define PAUSE_US 400000  /* a play that rests so long is over */
#define APART_US 500000  /* candidates nearer than this are one */
#define STILL 2.0        /* blocks that move while nobody does */

/* What a start looks like. */
typedef struct {
    double before;
    double burst;
    double play;
    double lasts_s;
    double score;
} Start;

static double mean_of(const SnapActivity *activity, int n, int64_t from, int64_t to)
{
    double sum = 0;
    int count = 0;
    for (int i = 0; i < n; i++) {
        if (activity[i].us >= from && activity[i].us < to) {
            sum += activity[i].moving;
            count++;
        }
    }
    return count > 0 ? sum / count : 0;
}

/* Seconds until less than a third of the burst moves for a while. */
static double lasts_s(const SnapActivity *activity, int n, int at, double burst)
{
    int64_t busy = activity[at].us;
    for (int i = at; i < n; i++) {
        const int64_t since = activity[i].us - activity[at].us;
        if (since > LASTS_US || activity[i].us - busy > PAUSE_US) {
            break;
        }
        busy = activity[i].moving > burst / 3 ? activity[i].us : busy;
    }
    return (double)(busy - activity[at].us) / 1e6;
}

static Start start_at(const SnapActivity *activity, int n, int at)
{
    const int64_t us = activity[at].us;
    Start start = { 0 };
    start.before = mean_of(activity, n, us - QUIET_US, us);
    start.burst = mean_of(activity, n, us, us + BURST_US);
    start.play = mean_of(activity, n, us, us + PLAY_US);
    start.lasts_s = lasts_s(activity, n, at, start.burst);
    start.score = log((start.burst + STILL) / (start.before + STILL)) +
                  log((start.play + STILL) / (start.before + STILL)) +
                  log((start.lasts_s + 0.3) / 2);
    return start;
}

static double logistic(double x)
{
    return 1 / (1 + exp(-x));
}

SnapOnset rb_snap_onset(const SnapActivity *activity, int n)
{
    SnapOnset best = { -1, 0 };
    Start chosen = { .score = -INFINITY };
    double second = -2;
    g_autofree double *scores = g_new(double, n + 1);
    for (int i = 0; i < n; i++) {
        const bool enough = activity[i].us - activity[0].us >= LEAST_US;
        const Start start = enough ? start_at(activity, n, i) : (Start){ 0 };
        scores[i] = enough ? start.score : -INFINITY;
        if (scores[i] > chosen.score) {
            best.at = i;
            chosen = start;
        }
    }
    for (int i = 0; best.at >= 0 && i < n; i++) {
        if (llabs(activity[i].us - activity[best.at].us) > APART_US) {
            second = fmax(second, scores[i]);
        }
    }
    if (best.at < 0 || chosen.burst < chosen.before + STILL) {
        return (SnapOnset){ -1, 0 };
    }
    best.sure = logistic(1.6 * (chosen.score - 1.8)) *
                logistic(3 * (chosen.score - second) - 0.5);
    return best;
}

int rb_snap_step(const SnapActivity *activity, int n)
{
    int best = 0;
    double least = INFINITY;
    for (int at = 1; at < n; at++) {
        double mean[2] = { 0, 0 };
        double squares = 0;
        for (int i = 0; i < n; i++) {
            mean[i >= at] += (double)activity[i].moving / (i < at ? at : n - at);
        }
        for (int i = 0; i < n; i++) {
            const double off = activity[i].moving - mean[i >= at];
            squares += off * off;
        }
        if (mean[1] > mean[0] && squares < least) {
            least = squares;
            best = at;
        }
    }
    return best;
}
