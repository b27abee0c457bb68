/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "scene-source.h"

#define SAMPLE_US 400000    /* keys nearer than this to the one before are passed over */
#define DISTURBED_US 800000 /* a flash or a post is over within this */
#define APART_US 300000     /* no camera is stopped and started faster */
#define CLOCK_GAP_US 500000
#define FADE_US 2500000

#define REST_ALIKE 0.10  /* keys that differ by less show no change worth a look */
#define REST_OTHER 0.50  /* and by more, another picture */
#define STEP_LEAST 0.11  /* between neighbours at a cut, at least */
#define STEP_ENOUGH 0.45 /* … and at most, however the camera moves */
#define SPIKE_LEAST 4.0
#define BACK_LEAST 0.12 /* a picture that comes back differs by less */

typedef struct {
    int64_t from; /* a sampled key */
    int64_t to;   /* the next one, or the end */
    int sample;   /* of `from` */
    double rest;  /* between the two keys */
    double score; /* how suspicious */
    int64_t cost;
    bool irregular; /* the group ended early */
} Place;

typedef struct {
    SceneSource *source;
    GArray *samples; /* of SceneView */
    GArray *places;  /* of Place */
    GArray *cuts;
    RbSceneStats *stats;
    int64_t budget;
    int64_t usual_group; /* frames from key to key; 0: there is no rule */
} Search;

static SceneView *sample_at(const Search *search, int i)
{
    return &g_array_index(search->samples, SceneView, i);
}

static int64_t us_between(const Search *search, int64_t a, int64_t b)
{
    return search->source->index->us[b] - search->source->index->us[a];
}

static bool get_view(Search *search, int64_t frame, SceneView *view, GError **error)
{
    view->frame = frame;
    if (!rb_cancel_check(search->source->cancel, error) ||
        !search->source->get(search->source, view, error)) {
        return false;
    }
    rb_scene_view_measure(view);
    return true;
}

static bool take_samples(Search *search, GError **error)
{
    const RbIndex *index = search->source->index;
    int64_t last = -1;
    for (int64_t i = 0; i < index->n_frames; i++) {
        const bool key = i == 0 || rb_index_is_key(index, i);
        if (!key || (last >= 0 && us_between(search, last, i) < SAMPLE_US)) {
            continue;
        }
        SceneView view;
        if (!get_view(search, i, &view, error)) {
            return false;
        }
        last = i;
        g_array_append_val(search->samples, view);
        rb_progress_set(search->source->progress,
                        0.5 * (double)i / (double)index->n_frames, "looking for cuts");
    }
    return true;
}

/* The usual distance of keys, if most groups have it. */
static int64_t find_usual_group(const RbIndex *index)
{
    g_autoptr(GHashTable) counts = g_hash_table_new(g_direct_hash, g_direct_equal);
    int64_t last = 0;
    int groups = 0;
    int most = 0;
    int64_t usual = 0;
    for (int64_t i = 1; i < index->n_frames; i++) {
        if (!rb_index_is_key(index, i)) {
            continue;
        }
        const void *length = GINT_TO_POINTER((int)(i - last));
        const int n = GPOINTER_TO_INT(g_hash_table_lookup(counts, length)) + 1;
        g_hash_table_insert(counts, (void *)length, GINT_TO_POINTER(n));
        if (n > most) {
            most = n;
            usual = i - last;
        }
        last = i;
        groups++;
    }
    return most * 2 >= groups ? usual : 0;
}

/* True if the group before key `to` is shorter than usual: the encoder, or the joining of two
 * recordings, began anew there. */
static bool ended_early(const Search *search, int64_t to)
{
    const RbIndex *index = search->source->index;
    if (search->usual_group < 8 || to >= index->n_frames) {
        return false;
    }
    int64_t before = to - 1;
    while (before > 0 && !rb_index_is_key(index, before)) {
        before--;
    }
    return to - before < search->usual_group - 1;
}

static void list_places(Search *search)
{
    const RbIndex *index = search->source->index;
    const int n = (int)search->samples->len;
    for (int i = 0; i < n; i++) {
        const SceneView *view = sample_at(search, i);
        const bool last = i == n - 1;
        Place place = { .from = view->frame, .sample = i };
        place.to = last ? index->n_frames : sample_at(search, i + 1)->frame;
        place.irregular = ended_early(search, place.to);
        place.rest = last ? 0 : rb_scene_match_zoomed(view, sample_at(search, i + 1), 36);
        const double spike = rb_scene_group_spike(index, place.from, place.to);
        place.cost = rb_scene_group_cost(index, place.from, place.to);
        if (place.rest < REST_ALIKE && !place.irregular && spike < SPIKE_LEAST) {
            continue;
        }
        place.score = place.rest + (place.irregular ? 2 : 0) +
                      (spike >= SPIKE_LEAST ? 1 + fmin(spike / 20, 1) : 0);
        g_array_append_val(search->places, place);
    }
}

static int compare_places(const void *a, const void *b)
{
    const Place *x = a;
    const Place *y = b;
    return x->score != y->score ? (x->score < y->score) - (x->score > y->score)
                                : (x->from > y->from) - (x->from < y->from);
}

static void add_cut(Search *search, int64_t frame, RbSceneKind kind, double sure)
{
    if (us_between(search, 0, frame) < APART_US) {
        return;
    }
    for (guint i = 0; i < search->cuts->len; i++) {
        RbSceneCut *cut = &g_array_index(search->cuts, RbSceneCut, i);
        const int64_t apart = llabs(us_between(search, cut->frame, frame));
        if (apart < (kind == RB_SCENE_FADE && cut->kind == kind ? FADE_US : APART_US)) {
            if (sure > cut->sure) {
                *cut = (RbSceneCut){ frame, kind, sure };
            }
            return;
        }
    }
    const RbSceneCut cut = { frame, kind, sure };
    g_array_append_val(search->cuts, cut);
}

/* The recorder's clock knows of stops that leave no trace in the picture. */
static void find_clock_cuts(Search *search)
{
    const RbIndex *index = search->source->index;
    for (int64_t i = 1; i < index->n_frames; i++) {
        const RbTime now = { index->frames[i].pts, index->base };
        const RbTime before = { index->frames[i - 1].pts, index->base };
        const int64_t gap = rb_time_diff_us(now, before);
        if (gap < 0 || gap > MAX(CLOCK_GAP_US, 8 * index->frame_us)) {
            add_cut(search, i, RB_SCENE_CLOCK, 0.97);
        }
    }
}

/* Views around a place: the frames of the group, then the next two samples. */
typedef struct {
    SceneView *views; /* owned */
    double *steps;    /* owned: rest from each to the next */
    int *shifts;      /* owned: sideways */
    int n;
    int group; /* views up to here are of the group */
} Strip;

static void clear_strip(Strip *strip)
{
    g_free(strip->views);
    g_free(strip->steps);
    g_free(strip->shifts);
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
static bool load_strip(Search *search, const Place *place, Strip *strip, GError **error)
{
    int64_t frames[SCENE_GROUP];
    const int n =
        rb_scene_group_frames(search->source->index, place->from, place->to, frames);
    strip->views = g_new(SceneView, n + 3);
    strip->steps = g_new0(double, n + 3);
    strip->shifts = g_new0(int, n + 3);
    const int last = last_stored(search->source->index, frames, n);
    if (last > 0 && !get_view(search, frames[last], &strip->views[last], error)) {
        return false;
    }
    for (int i = 1; i < n; i++) {
        if (i != last && !get_view(search, frames[i], &strip->views[i], error)) {
            return false;
        }
    }
    strip->views[0] = *sample_at(search, place->sample);
    strip->group = strip->n = n;
    for (int i = 1; i <= 2 && place->sample + i < (int)search->samples->len; i++) {
        strip->views[strip->n++] = *sample_at(search, place->sample + i);
    }
    for (int i = 0; i + 1 < strip->n; i++) {
        const SceneMatch match =
            rb_scene_match(&strip->views[i], &strip->views[i + 1], 12);
        strip->steps[i] = match.rest;
        strip->shifts[i] = match.dx;
    }
    return true;
}

static int compare_double(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

static double usual_step(const Strip *strip)
{
    double steps[SCENE_GROUP + 3];
    const int n = MIN(strip->group, strip->n - 1);
    for (int i = 0; i < n; i++) {
        steps[i] = strip->steps[i];
    }
    qsort(steps, (size_t)n, sizeof steps[0], compare_double);
    return n > 2 ? steps[n / 2] : 0.03;
}

/* True if the picture before the step comes back after it, or the other way round: a flash, a
 * post, somebody who walks by. */
static bool comes_back(const Search *search, const Place *place, const Strip *strip,
                       int at)
{
    const double limit =
        fmin(0.45 * strip->steps[at], fmax(BACK_LEAST, 4 * usual_step(strip)));
    const int64_t here = strip->views[at].frame;
    for (int i = MAX(0, at - 40); i <= at; i++) {
        if (us_between(search, strip->views[i].frame, here) > DISTURBED_US) {
            continue;
        }
        for (int j = at + 1; j < strip->n; j++) {
            const bool near = us_between(search, here, strip->views[j].frame) <=
                              (i >= at - 1 ? 2 : 1) * DISTURBED_US;
            const bool told = i == at || j == at + 1 || (at - i) + (j - at) <= 8;
            if (near && told && (i != at || j != at + 1) &&
                rb_scene_match_zoomed(&strip->views[i], &strip->views[j], 12) < limit) {
                return true;
            }
        }
    }
    /* What began in the group before. */
    for (int i = 1; i <= 2 && place->sample - i >= 0; i++) {
        const SceneView *before = sample_at(search, place->sample - i);
        if (us_between(search, before->frame, here) <= 2 * DISTURBED_US &&
            rb_scene_match_zoomed(before, &strip->views[at + 1], 24) < limit) {
            return true;
        }
    }
    return false;
}

/* A camera that speeds up changes the picture more with each step; a cut is one step alone. */
static bool stands_alone(const Strip *strip, int at)
{
    const double before = at > 0 ? strip->steps[at - 1] : 0;
    const double after = at + 1 < strip->group ? strip->steps[at + 1] : 0;
    return strip->steps[at] > 2 * fmax(before, after);
}

static bool find_steps(Search *search, const Place *place, const Strip *strip)
{
    const double usual = usual_step(strip);
    const double least = fmax(STEP_LEAST, fmin(3 * usual + 0.05, STEP_ENOUGH));
    bool found = false;
    for (int i = 0; i < strip->group && i + 1 < strip->n; i++) {
        if (strip->steps[i] < least || !stands_alone(strip, i) ||
            comes_back(search, place, strip, i)) {
            continue;
        }
        const double times = strip->steps[i] / least;
        add_cut(search, strip->views[i + 1].frame, RB_SCENE_PICTURE,
                fmin(0.99, 0.6 + 0.3 * (times - 1)));
        found = true;
    }
    return found;
}

/* A fade goes through black: no pan and no zoom does. Cameras fade in no other way. */
static void find_fade(Search *search, const Place *place, const Strip *strip)
{
    const int last = MIN(strip->group, strip->n - 1);
    int darkest = 0;
    for (int i = 0; i <= last; i++) {
        if (strip->views[i].spread < strip->views[darkest].spread) {
            darkest = i;
        }
    }
    const double ends = fmax(strip->views[0].spread, strip->views[last].spread);
    if (strip->views[darkest].spread > 0.4 * ends) {
        return;
    }
    /* Before and after the whole of it: a hand before the lens is no stop. */
    const int before = MAX(place->sample - 2, 0);
    const int after = MIN(place->sample + 3, (int)search->samples->len - 1);
    if (rb_scene_match_zoomed(sample_at(search, before), sample_at(search, after), 36) <
        REST_OTHER / 2) {
        return;
    }
    add_cut(search, strip->views[darkest].frame, RB_SCENE_FADE,
            0.9 - 0.3 * strip->views[darkest].spread / fmax(ends, 1));
}

static bool look_into(Search *search, const Place *place, GError **error)
{
    Strip strip = { 0 };
    const bool ok = load_strip(search, place, &strip, error);
    search->stats->looked_into++;
    if (ok && !find_steps(search, place, &strip) && place->rest > REST_OTHER) {
        find_fade(search, place, &strip);
    }
    clear_strip(&strip);
    return ok;
}

static bool look_at_places(Search *search, GError **error)
{
    for (guint i = 0; i < search->places->len; i++) {
        const Place *place = &g_array_index(search->places, Place, i);
        rb_progress_set(search->source->progress, 0.5 + 0.5 * i / search->places->len,
                        "looking for cuts");
        if (search->source->spent + place->cost <= search->budget) {
            if (!look_into(search, place, error)) {
                return false;
            }
            continue;
        }
        search->stats->left++;
        if (place->irregular && place->rest > REST_OTHER) {
            add_cut(search, place->to, RB_SCENE_PICTURE, 0.6);
        }
    }
    return true;
}

static int compare_cuts(const void *a, const void *b)
{
    const RbSceneCut *x = a;
    const RbSceneCut *y = b;
    return (x->frame > y->frame) - (x->frame < y->frame);
}

bool rb_scene_search(SceneSource *source, GArray *cuts, RbSceneStats *stats,
                     GError **error)
{
    const RbIndex *index = source->index;
    g_autoptr(GArray) samples = g_array_new(FALSE, FALSE, sizeof(SceneView));
    g_autoptr(GArray) places = g_array_new(FALSE, FALSE, sizeof(Place));
    Search search = { .source = source,
                      .samples = samples,
                      .places = places,
                      .cuts = cuts,
                      .stats = stats,
                      .usual_group = find_usual_group(index) };
    search.budget = (int64_t)(RB_SCENE_SHARE * (double)index->n_frames);
    stats->frames = index->n_frames;
    find_clock_cuts(&search);
    if (!take_samples(&search, error)) {
        return false;
    }
    list_places(&search);
    g_array_sort(places, compare_places);
    const bool ok = look_at_places(&search, error);
    g_array_sort(cuts, compare_cuts);
    return ok;
}
