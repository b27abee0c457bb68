/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "scene-strip.h"

#define SAMPLE_US 400000 /* keys nearer than this to the one before are passed over */
#define APART_US                                                                         \
    300000 /* no camera is stopped and started faster, nor is a shot shorter */
#define CLOCK_GAP_US 500000
#define FADE_US 2500000
#define FLASH_US 130000
#define FLASH_LESS 2.5 /* of how suspicious a large packet is */

#define REST_ALIKE 0.10 /* keys that differ by less show no change worth a look */
#define REST_STILL 0.09 /* of most of the picture: of a camera that stands */
#define REST_OTHER 0.50 /* and by more, another picture */
#define LIFT 0.02       /* more for each pixel that a swing goes up or down */
#define SPIKE_LEAST 1.4
#define SPIKE_SURE 2.5    /* between keys that are alike too */
#define SPIKE_BESIDE 1.25 /* … in a group that is looked at anyway */
#define CALM 0.15         /* of a key's packet: of a camera that stands */
#define CALMER 2.0 /* times: packets of two groups between which the camera changed */
#define MOVED 0.5  /* calm cameras that stand otherwise outweigh men who moved */
#define MOST 0.7   /* of a group: the rest of it comes along */
#define COST_OF_ONE 60.0 /* packets that outweigh one of score */
#define VIEWS_AFTER 4    /* pictures wanted behind a step to tell it by … */
#define VIEWS_LEAST 8    /* … and at all */

typedef struct {
    int sample;    /* that the group starts with */
    int64_t from;  /* its frame */
    int64_t to;    /* the next sample's, or the end */
    int64_t until; /* decoded up to this frame */
    double rest;   /* between the two samples */
    double still;  /* … if the camera stands */
    double score;  /* how suspicious */
    int64_t cost;
    bool irregular; /* the group ended early, and the look is at its end */
    bool whole;     /* all of the group is looked at */
} Place;

/* The pictures either side of a cut, between which there are frames that were not looked at. */
typedef struct {
    SceneView before;
    SceneView after;
} Edge;

typedef struct {
    SceneSource *source;
    GArray *samples; /* of SceneView */
    GArray *places;  /* of Place */
    GArray *cuts;
    RbSceneStats *stats;
    GArray *edges; /* of Edge */
    const float *spikes;
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

static bool take_samples(Search *search, GError **error)
{
    const RbIndex *index = search->source->index;
    int64_t last = -1;
    for (int64_t i = 0; i < index->n_frames; i++) {
        const bool key = i == 0 || rb_index_is_key(index, i);
        const bool near = last >= 0 && us_between(search, last, i) < SAMPLE_US;
        if (!key || (near && !ended_early(search, i))) {
            continue;
        }
        SceneView view;
        if (!rb_scene_get_view(search->source, i, &view, error)) {
            return false;
        }
        last = i;
        g_array_append_val(search->samples, view);
        rb_progress_set(search->source->progress,
                        0.5 * (double)i / (double)index->n_frames, "looking for cuts");
    }
    return true;
}

/* The largest packet between two frames. */
static int64_t find_spike(const Search *search, int64_t from, int64_t to)
{
    int64_t most = from;
    for (int64_t i = from; i < to; i++) {
        most = search->spikes[i] > search->spikes[most] ? i : most;
    }
    return most;
}

/* Two large packets in a row, of which the second undoes the first: a flash, most likely. */
static bool is_flash(const Search *search, const Place *place, int64_t step)
{
    const double least = fmax(2 * SPIKE_LEAST, search->spikes[step] / 2);
    for (int64_t i = place->from; i < place->to; i++) {
        if (i != step && search->spikes[i] >= least &&
            llabs(us_between(search, step, i)) <= FLASH_US) {
            return true;
        }
    }
    return false;
}

/* The last of the packets that are at least half as large as the largest of the group; beside a
 * flash that of a cut may be smaller. */
static int64_t find_last_spike(const Search *search, const Place *place, int64_t largest)
{
    const double least = is_flash(search, place, largest)
                             ? SPIKE_LEAST
                             : fmax(SPIKE_BESIDE, search->spikes[largest] / 2);
    int64_t last = largest;
    for (int64_t i = largest; i < place->to; i++) {
        last = search->spikes[i] >= least ? i : last;
    }
    return last;
}

/* The frame that has to be decoded so that there are pictures enough behind a step. */
static int64_t find_until(const Search *search, const Place *place, int64_t step)
{
    int64_t frames[SCENE_GROUP];
    const int n =
        rb_scene_group_frames(search->source->index, place->from, place->to, frames);
    int after = 0;
    for (int i = 0; i < n; i++) {
        after += frames[i] > step;
        if (after >= VIEWS_AFTER && i + 1 >= VIEWS_LEAST) {
            return frames[i];
        }
    }
    return place->to - 1;
}

/* Keys that show less than those before and behind, as in a fade. */
static bool is_dim(const Search *search, int sample)
{
    const int last = (int)search->samples->len - 1;
    const double outer = fmin(sample_at(search, MAX(sample - 1, 0))->spread,
                              sample_at(search, MIN(sample + 2, last))->spread);
    const double inner = fmin(sample_at(search, sample)->spread,
                              sample_at(search, MIN(sample + 1, last))->spread);
    return inner < 0.8 * outer;
}

static int compare_size(const void *a, const void *b)
{
    return *(const int32_t *)a - *(const int32_t *)b;
}

/* Usual size of what others are decoded from, the key apart, as a share of the key's. */
static double find_activity(const Search *search, int64_t from, int64_t to)
{
    const RbIndex *index = search->source->index;
    int32_t sizes[SCENE_GROUP];
    int n = 0;
    for (int64_t i = from + 1; i < to && n < SCENE_GROUP; i++) {
        if (search->spikes[i] > 0) {
            sizes[n++] = index->packets[index->frames[i].packet].size;
        }
    }
    qsort(sizes, (size_t)n, sizeof sizes[0], compare_size);
    return n > 0 ? (double)sizes[n / 2] /
                       MAX(index->packets[index->frames[from].packet].size, 1)
                 : 0;
}

/* A cut that falls on a key leaves no large packet; but the camera is another before and behind
 * it, or it stands and shows another picture all the same. */
static bool is_new_at_key(const Search *search, const Place *place)
{
    const RbIndex *index = search->source->index;
    int64_t end = place->to + 1;
    while (end < index->n_frames && !rb_index_is_key(index, end)) {
        end++;
    }
    if (place->to >= index->n_frames) {
        return false;
    }
    const double before = find_activity(search, place->from, place->to);
    const double after = find_activity(search, place->to, end);
    const double most = fmax(before, after);
    return most > CALMER * fmin(before, after) ||
           (most < CALM && (place->rest > REST_OTHER / 2 || place->still > REST_OTHER));
}

static void add_place(Search *search, Place place, double score)
{
    place.whole = place.until == place.to - 1;
    place.cost = rb_scene_group_cost(search->source->index, place.from, place.until + 1);
    place.score = score - (double)place.cost / COST_OF_ONE;
    g_array_append_val(search->places, place);
}

/* What no zoom and no swing of one camera explains between two keys. */
static double find_rest(const SceneView *a, const SceneView *b)
{
    const double rest = rb_scene_match_zoomed(a, b, 36);
    if (rest < REST_ALIKE) {
        return rest;
    }
    /* A camera that stands shows all the same, but for the men who moved. */
    const double still = rb_scene_match_at(a, b, 0, 0);
    if (still < REST_STILL) {
        return still;
    }
    const SceneMatch far = rb_scene_match_far(a, b);
    return fmin(rest, far.rest + LIFT * abs(far.dy));
}

/* As far as the last large packet; where that is most of the group, all of it. */
static int64_t find_end_of_look(const Search *search, const Place *place, int64_t step)
{
    const RbIndex *index = search->source->index;
    const int64_t until = find_until(search, place, find_last_spike(search, place, step));
    const int64_t part = rb_scene_group_cost(index, place->from, until + 1);
    const int64_t all = rb_scene_group_cost(index, place->from, place->to);
    return (double)part >= MOST * (double)all ? place->to - 1 : until;
}

/* Each group gives up to two: at its largest packet, as far as has to be decoded for that, and
 * the whole of it. What is as cheap again is worth as much again. */
static void list_group(Search *search, int i)
{
    const bool last = i == (int)search->samples->len - 1;
    const SceneView *view = sample_at(search, i);
    const SceneView *next = last ? NULL : sample_at(search, i + 1);
    Place place = { .from = view->frame, .sample = i };
    place.to = last ? search->source->index->n_frames : next->frame;
    place.rest = last ? 0 : find_rest(view, next);
    place.still = last ? 0 : rb_scene_match_at(view, next, 0, 0);
    const bool irregular = ended_early(search, place.to);
    const int64_t step = find_spike(search, place.from, place.to);
    const double spike = search->spikes[step];
    const double differ = place.rest < REST_ALIKE ? -1.5 : 1.5 * fmin(place.rest, 0.7);
    const double at_end =
        (irregular ? 2.5 : 0) + (is_dim(search, i) ? 1 : 0) +
        (is_new_at_key(search, &place) ? 0.8 + MOVED * fmin(place.still, 1) : 0);
    double at_step = -1;
    if (spike >= SPIKE_LEAST &&
        (last || place.rest >= REST_ALIKE || spike >= SPIKE_SURE)) {
        at_step =
            fmin(log2(spike), 4) - (is_flash(search, &place, step) ? FLASH_LESS : 0);
        place.until = find_end_of_look(search, &place, step);
        if (place.until < place.to - 1) {
            add_place(search, place, differ + at_step);
            at_step = -1;
        }
    }
    if (place.rest >= REST_ALIKE || place.still >= REST_STILL || irregular ||
        place.until == place.to - 1) {
        place.until = place.to - 1;
        place.irregular = irregular;
        add_place(search, place, differ + fmax(at_step, at_end));
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
    const int64_t last = search->source->index->n_frames - 1;
    if (us_between(search, 0, frame) < APART_US ||
        us_between(search, frame, last) < APART_US) {
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

/* Of the frames between two others, nothing is decoded from them: the first that looks like what
 * comes after. Each costs as much as its group up to it, so this is done with what is left. */
static bool refine(Search *search, const Edge *edge, RbSceneCut *cut, GError **error)
{
    for (int64_t i = edge->after.frame - 1; i > edge->before.frame; i--) {
        SceneView view;
        int64_t key = i;
        while (key > 0 && !rb_index_is_key(search->source->index, key)) {
            key--;
        }
        const int64_t cost = rb_scene_group_cost(search->source->index, key, i) + 1;
        if (search->source->spent + cost > search->budget) {
            return true;
        }
        if (!rb_scene_get_view(search->source, i, &view, error)) {
            return false;
        }
        if (rb_scene_match(&view, &edge->after, 8).rest >
            rb_scene_match(&edge->before, &view, 8).rest) {
            return true;
        }
        cut->frame = i;
    }
    return true;
}

static bool refine_cuts(Search *search, GError **error)
{
    for (guint i = 0; i < search->edges->len; i++) {
        const Edge *edge = &g_array_index(search->edges, Edge, i);
        for (guint j = 0; j < search->cuts->len; j++) {
            RbSceneCut *cut = &g_array_index(search->cuts, RbSceneCut, j);
            if (cut->kind == RB_SCENE_PICTURE && cut->frame == edge->after.frame &&
                !refine(search, edge, cut, error)) {
                return false;
            }
        }
    }
    return true;
}

static void find_fade(Search *search, const Place *place, const SceneStrip *strip)
{
    const int darkest = rb_scene_strip_find_fade(strip);
    /* Before and after the whole of it: a hand before the lens is no stop. */
    const int before = MAX(place->sample - 2, 0);
    const int after = MIN(place->sample + 3, (int)search->samples->len - 1);
    if (darkest >= 0 &&
        rb_scene_match_zoomed(sample_at(search, before), sample_at(search, after), 36) >=
            REST_OTHER / 2) {
        add_cut(search, strip->views[darkest].frame, RB_SCENE_FADE, 0.7);
    }
}

static bool look_into(Search *search, const Place *place, GError **error)
{
    SceneStrip strip;
    search->stats->looked_into++;
    bool ok = rb_scene_strip_load(&strip, search->source, search->samples, place->sample,
                                  place->until, error);
    int at = -1;
    strip.spikes = search->spikes;
    strip.ended_early = place->irregular;
    const double sure = ok ? rb_scene_strip_find(&strip, &at) : 0;
    if (at >= 0 && rb_scene_strip_find_fade(&strip) >= 0) {
        find_fade(search, place, &strip);
    } else if (at >= 0) {
        const Edge edge = { strip.views[at], strip.views[at + 1] };
        g_array_append_val(search->edges, edge);
        add_cut(search, edge.after.frame, RB_SCENE_PICTURE, sure);
    } else if (ok && place->rest > REST_OTHER / 2) {
        find_fade(search, place, &strip);
    }
    rb_scene_strip_clear(&strip);
    return ok;
}

/* One group holds one cut at most, the key behind it included. */
static bool is_settled(const Search *search, const Place *place)
{
    for (guint i = 0; i < search->cuts->len; i++) {
        const RbSceneCut *cut = &g_array_index(search->cuts, RbSceneCut, i);
        if (cut->frame > place->from && cut->frame <= place->to && cut->sure > 0.7) {
            return true;
        }
    }
    return false;
}

static bool look_at_places(Search *search, GError **error)
{
    for (guint i = 0; i < search->places->len; i++) {
        const Place *place = &g_array_index(search->places, Place, i);
        rb_progress_set(search->source->progress, 0.5 + 0.5 * i / search->places->len,
                        "looking for cuts");
        if (is_settled(search, place)) {
            continue;
        }
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
    g_autoptr(GArray) edges = g_array_new(FALSE, FALSE, sizeof(Edge));
    search.edges = edges;
    g_autofree float *spikes = rb_scene_spikes_new(index);
    search.spikes = spikes;
    search.budget = (int64_t)(RB_SCENE_SHARE * (double)index->n_frames);
    stats->frames = index->n_frames;
    find_clock_cuts(&search);
    if (!take_samples(&search, error)) {
        return false;
    }
    for (int i = 0; i < (int)samples->len; i++) {
        list_group(&search, i);
    }
    g_array_sort(places, compare_places);
    const bool ok = look_at_places(&search, error) && refine_cuts(&search, error);
    g_array_sort(cuts, compare_cuts);
    return ok;
}
