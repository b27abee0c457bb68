/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene-strip.h"

#include <math.h>
#include <stdlib.h>

#define STEP_LEAST 0.11  /* between neighbours at a cut, at least */
#define STEP_ANEW 0.08   /* … to a key that came early */
#define STEP_ENOUGH 0.52 /* … and at most, however the camera moves */
#define STEP_TIMES 2.0   /* more than the usual step of a camera that moves fast */
#define NOTHING_ALIKE 0.7
#define OVER_LEAST 1.05 /* posts that pass come that near */
#define OVER_MAYBE 0.7  /* and below this nothing speaks for a cut */
#define STEADY 1.5      /* pixels of a small picture */
#define TURN 4.0
/* Of what else a cut changes: where the camera turns within a step, and where a large packet says
 * so too. */
#define TURN_SHARE 0.7
#define TURN_TOLD_SHARE 0.5
#define TURN_ON 2.5 /* pixels: it goes on another way */
#define JUMP 3.0    /* times the steps beside it */
#define MOVES 1.5
#define SPIKE_NOTHING 0.9 /* packets around it: the encoder met nothing new */
#define SPIKE_TURNS 1.2
#define SPIKE_TURNED 1.5
#define SPIKE_TELLS 2.0
#define SPIKE_LOUD 3.0
#define SPIKE_SHARE 0.8
#define KEPT_LITTLE                                                                      \
    0.6 /* what one camera that goes on its way never leaves of a picture */
#define KEPT_HALF 0.5
#define KEPT_NOTHING 0.7
#define SPIKE_LITTLE 1.2
#define KEPT_MUCH 0.42 /* a camera that moves leaves more of it, at no cut */
#define BUSY 0.2
#define BACK_SHARE 0.35     /* of the step */
#define BACK_SHARE_NEW 0.25 /* … where neither side's motion explains it */
#define JUMP_SHARE 0.5      /* of a step, left by a zoom that explains it */
#define BACK_LEAST 0.16     /* a picture that comes back differs by less */
#define REACH 14 /* pixels of a small picture that a fast pan moves between frames */

bool rb_scene_get_view(SceneSource *source, int64_t frame, SceneView *view,
                       GError **error)
{
    view->frame = frame;
    if (!rb_cancel_check(source->cancel, error) || !source->get(source, view, error)) {
        return false;
    }
    rb_scene_view_measure(view);
    return true;
}

void rb_scene_strip_clear(SceneStrip *strip)
{
    g_free(strip->views);
    g_free(strip->steps);
    g_free(strip->moves);
}

/* The frame stored last, which need not be the one shown last. */
static int last_stored(const RbIndex *index, const int64_t *frames, int n)
{
    int last = 0;
    for (int i = 1; i < n; i++) {
        last = index->frames[frames[i]].packet > index->frames[frames[last]].packet
                   ? i
                   : last;
    }
    return last;
}

/* The last frame first: on the way to it the helper decodes all the others, and keeps them. */
static bool load_group(SceneStrip *strip, int64_t from, int64_t last, GError **error)
{
    int64_t frames[SCENE_GROUP];
    const RbIndex *index = strip->source->index;
    const int n = rb_scene_group_frames(index, from, last + 1, frames);
    const int stored = last_stored(index, frames, n);
    if (stored > 0 &&
        !rb_scene_get_view(strip->source, frames[stored], &strip->views[stored], error)) {
        return false;
    }
    for (int i = 1; i < n; i++) {
        if (i != stored &&
            !rb_scene_get_view(strip->source, frames[i], &strip->views[i], error)) {
            return false;
        }
    }
    strip->n = strip->near = n;
    return true;
}

bool rb_scene_strip_load(SceneStrip *strip, SceneSource *source, const GArray *samples,
                         int at, int64_t last, GError **error)
{
    const SceneView *all = &g_array_index(samples, SceneView, 0);
    *strip = (SceneStrip){ .source = source };
    strip->views = g_new(SceneView, SCENE_GROUP + 2);
    strip->steps = g_new0(double, SCENE_GROUP + 2);
    strip->moves = g_new0(SceneMatch, SCENE_GROUP + 2);
    strip->views[0] = all[at];
    if (!load_group(strip, all[at].frame, last, error)) {
        return false;
    }
    for (int i = at + 1; i <= at + 2 && i < (int)samples->len; i++) {
        strip->views[strip->n++] = all[i];
    }
    /* With the whole of the group there, the next key is a neighbour too. */
    strip->near += at + 1 < (int)samples->len && last + 1 >= all[at + 1].frame;
    for (int i = at - 1; i >= 0 && i >= at - 2; i--) {
        strip->before[strip->n_before++] = all[i];
    }
    for (int i = 0; i + 1 < strip->near; i++) {
        strip->moves[i] = rb_scene_match(&strip->views[i], &strip->views[i + 1], REACH);
        strip->steps[i] = strip->moves[i].rest;
    }
    return true;
}

static int compare_double(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

static double usual_step(const SceneStrip *strip)
{
    double steps[SCENE_GROUP + 2];
    const int n = strip->near - 1;
    for (int i = 0; i < n; i++) {
        steps[i] = strip->steps[i];
    }
    qsort(steps, (size_t)MAX(n, 0), sizeof steps[0], compare_double);
    return n > 2 ? steps[n / 2] : 0.03;
}

static int64_t us_between(const SceneStrip *strip, const SceneView *a, const SceneView *b)
{
    return strip->source->index->us[b->frame] - strip->source->index->us[a->frame];
}

typedef double (*Compare)(const SceneView *a, const SceneView *b, int reach);

static double match_unzoomed(const SceneView *a, const SceneView *b, int reach)
{
    return rb_scene_match(a, b, reach).rest;
}

/* A camera zooms while something passes before it. But a step that is a zoom itself was made by a
 * camera that stopped, zoomed and went on: with zooms tried the picture would come back at once. */
static Compare compare_for_return(const SceneStrip *strip, int at)
{
    return rb_scene_match_zoomed(&strip->views[at], &strip->views[at + 1], REACH) <
                   JUMP_SHARE * strip->steps[at]
               ? match_unzoomed
               : rb_scene_match_zoomed;
}

/* True if the picture before the step comes back after it, or the other way round: a flash, a
 * post, somebody who walks by. */
static bool comes_back(const SceneStrip *strip, int at, double usual, double share)
{
    const double limit = fmin(share * strip->steps[at], fmax(BACK_LEAST, 4 * usual));
    const SceneView *here = &strip->views[at];
    const Compare compare = compare_for_return(strip, at);
    for (int i = MAX(0, at - 40); i <= at; i++) {
        if (us_between(strip, &strip->views[i], here) > SCENE_DISTURBED_US) {
            continue;
        }
        for (int j = at + 1; j < strip->n; j++) {
            const bool near = us_between(strip, here, &strip->views[j]) <=
                              (i >= at - 1 ? 2 : 1) * SCENE_DISTURBED_US;
            const bool told = i == at || j == at + 1 || (at - i) + (j - at) <= 8;
            if (near && told && (i != at || j != at + 1) &&
                compare(&strip->views[i], &strip->views[j], REACH) < limit) {
                return true;
            }
        }
    }
    /* What began in the group before. */
    for (int i = 0; i < strip->n_before; i++) {
        if (us_between(strip, &strip->before[i], here) <= 2 * SCENE_DISTURBED_US &&
            compare(&strip->before[i], &strip->views[at + 1], 24) < limit) {
            return true;
        }
    }
    return false;
}

static double apart(const SceneMatch *a, const SceneMatch *b)
{
    return hypot(a->dx - b->dx, a->dy - b->dy);
}

/* No camera that moves steadily before and after turns within one step. */
static bool turns(const SceneStrip *strip, int at)
{
    if (at < 2 || at + 3 >= strip->near) {
        return false;
    }
    const SceneMatch *move = &strip->moves[at];
    const bool steady =
        apart(move - 2, move - 1) < STEADY && apart(move + 1, move + 2) < STEADY;
    return steady && (apart(move - 1, move + 1) >= TURN ||
                      (apart(move - 1, move) >= TURN && apart(move, move + 1) >= TURN));
}

/* What fits best lies where a camera in motion would have moved it: the same shot, and something
 * came before the lens. */
static bool goes_on(const SceneStrip *strip, int at)
{
    if (at < 1 || at + 2 >= strip->near) {
        return false;
    }
    const SceneMatch *move = &strip->moves[at];
    return strip->steps[at] < NOTHING_ALIKE && hypot(move->dx, move->dy) >= MOVES &&
           apart(move - 1, move) < STEADY && apart(move, move + 1) < STEADY;
}

/* What is left where each side's own motion, gone on with, would have taken the picture: the least
 * of the two, and of the steps beside, since a post may have spoilt one. -1: no step is beside. */
static double rest_gone_on(const SceneStrip *strip, int at)
{
    double least = -1;
    for (int i = MAX(at - 2, 0); i <= at + 2 && i + 1 < strip->near; i++) {
        const SceneMatch *move = &strip->moves[i];
        const double rest =
            i == at ? -1
                    : rb_scene_match_at(&strip->views[at], &strip->views[at + 1],
                                        move->dx, move->dy);
        least = rest >= 0 && (least < 0 || rest < least) ? rest : least;
    }
    return least;
}

/* The camera moves in the same way before and after, and more than half of the picture went along:
 * something came before the lens. */
static bool sweeps_on(const SceneStrip *strip, int at, double usual, double gone_on)
{
    if (at < 1 || at + 2 >= strip->near || gone_on >= KEPT_HALF) {
        return false;
    }
    if (usual >= BUSY && gone_on < KEPT_MUCH) {
        return true;
    }
    const SceneMatch *before = &strip->moves[at - 1];
    const SceneMatch *after = &strip->moves[at + 1];
    return fmin(hypot(before->dx, before->dy), hypot(after->dx, after->dy)) >= 1 &&
           apart(before, after) < STEADY;
}

/* A camera that speeds up changes the picture more with each step; a cut is one step alone, or
 * one between pictures that have nothing in common and a calm side, or one at which the camera
 * turns. */
static bool stands_alone(const SceneStrip *strip, int at, double usual, bool is_new)
{
    const double step = strip->steps[at];
    double before = at > 0 ? strip->steps[at - 1] : 0;
    double after = at + 2 < strip->near ? strip->steps[at + 1] : 0;
    /* A flash just beside it is a story of its own. */
    if (step <= 1.5 * before && comes_back(strip, at - 1, usual, BACK_SHARE)) {
        before = usual;
    }
    if (step <= 1.5 * after && comes_back(strip, at + 1, usual, BACK_SHARE)) {
        after = usual;
    }
    /* So is a flash at the very cut, which does not come back. */
    if (at > 1 && before > JUMP * fmax(usual, strip->steps[at - 2])) {
        before = usual;
    }
    if (at + 3 < strip->near && after > JUMP * fmax(usual, strip->steps[at + 2])) {
        after = usual;
    }
    return step > (is_new ? 1 : 1.5) * fmax(before, after) ||
           (step > 1.25 * fmax(before, after) && turns(strip, at)) ||
           (step > NOTHING_ALIKE && step > 1.25 * fmax(before, after) &&
            step > 2 * fmin(before, after));
}

/* The largest packet from one view to the next, measured by those around; -1 if that is not
 * known: a key's is large whatever it shows. */
static double spike_of_step(const SceneStrip *strip, int at)
{
    double most = -1;
    for (int64_t i = strip->views[at].frame + 1; i <= strip->views[at + 1].frame; i++) {
        if (strip->spikes == NULL || rb_index_is_key(strip->source->index, i)) {
            return -1;
        }
        most = fmax(most, strip->spikes[i]);
    }
    return most;
}

/* The step to a key that came early: the encoder saw another scene, or another recording begins. */
static bool begins_anew(const SceneStrip *strip, int at)
{
    return strip->ended_early && at + 2 == strip->near;
}

/* How much a step must change to be a cut. Where the encoder too met something new, less; more
 * so where the camera turned as none can. */
static double least_step(const SceneStrip *strip, int at, double usual)
{
    const double spike = spike_of_step(strip, at);
    const double enough = fmin(fmax(STEP_ENOUGH, STEP_TIMES * usual), NOTHING_ALIKE);
    double share = spike >= SPIKE_TELLS ? SPIKE_SHARE : 1;
    const double turned =
        turns(strip, at) ? apart(&strip->moves[at - 1], &strip->moves[at + 1]) : 0;
    if (spike >= SPIKE_TURNS && turned >= TURN_ON) {
        share = spike >= SPIKE_TURNED && turned >= TURN ? TURN_TOLD_SHARE : TURN_SHARE;
    }
    if (begins_anew(strip, at)) {
        /* A group that ends early may be short, and one fast moment of it the usual. */
        const double beside = at > 0 ? fmin(usual, strip->steps[at - 1]) : usual;
        return fmax(STEP_ANEW, fmin(2 * beside + 0.04, share * enough));
    }
    const double calm = spike >= SPIKE_LOUD ? 2.5 : 3;
    return fmax(STEP_LEAST, fmin(calm * usual + 0.05, share * enough));
}

/* Neither side's motion explains the step, and the encoder says so too. A key's packet says
 * nothing, and only one side's motion is known there. */
static bool tells_another(double spike, double gone_on)
{
    if (spike < 0) {
        return gone_on >= KEPT_NOTHING;
    }
    return (gone_on >= KEPT_LITTLE && spike >= SPIKE_LITTLE) ||
           (gone_on >= KEPT_HALF && spike >= SPIKE_TELLS);
}

/* How far a step is beyond what is no cut; below OVER_LEAST it is none. */
static double judge_step(const SceneStrip *strip, int at, double usual)
{
    const double over = strip->steps[at] / least_step(strip, at, usual);
    if (over < OVER_MAYBE) {
        return over;
    }
    const double spike = spike_of_step(strip, at);
    const double gone_on = rest_gone_on(strip, at);
    const bool is_new = tells_another(spike, gone_on);
    const double sure = is_new ? fmax(over, OVER_LEAST + gone_on - KEPT_HALF) : over;
    const bool may_be =
        sure >= OVER_LEAST && (spike < 0 || spike >= SPIKE_NOTHING) &&
        stands_alone(strip, at, usual, is_new) && !goes_on(strip, at) &&
        !sweeps_on(strip, at, usual, gone_on) &&
        !comes_back(strip, at, usual,
                    is_new && usual >= BUSY ? BACK_SHARE_NEW : BACK_SHARE);
    return may_be ? sure : 0;
}

double rb_scene_strip_find(const SceneStrip *strip, int *at)
{
    const double usual = usual_step(strip);
    double best = OVER_LEAST;
    *at = -1;
    for (int i = 0; i + 1 < strip->near; i++) {
        const double over = judge_step(strip, i, usual);
        if (over >= best) {
            best = over;
            *at = i;
        }
    }
    return *at < 0 ? 0 : fmin(0.99, 0.6 + 0.3 * (best - 1));
}

int rb_scene_strip_find_fade(const SceneStrip *strip)
{
    int darkest = 0;
    for (int i = 0; i < strip->near; i++) {
        if (strip->views[i].spread < strip->views[darkest].spread) {
            darkest = i;
        }
    }
    const double ends =
        fmax(strip->views[0].spread, strip->views[strip->near - 1].spread);
    /* Behind it the picture comes again: otherwise it may be anything yet. */
    return strip->views[darkest].spread > 0.4 * ends || darkest + 1 >= strip->near
               ? -1
               : darkest;
}
