/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/snapshot.h"

#include <stdatomic.h>
#include <stdlib.h>

#include "rb/base/thread.h"

#include "snapshot-details.h"
#include "snapshot-private.h"
#include "snapshot-row.h"

struct RbSnapshot {
    atomic_int refs;
    RbNames *names;   /* owned reference; judgments point into it */
    RbPacked *packed; /* owned: the rows, by game and number */
    RbSnapshotOptions options;
    RbDetails *details;  /* owned: of the snaps that were asked for */
    RbLibraryLink *link; /* owned reference, nullable: where details are read */
    GArray *seen;        /* owned reference, nullable: see snapshot-private.h */
    RbMutex mutex;       /* guards by_id while it is made */
    int32_t *by_id; /* owned, nullable: places by snap id, made when first asked for */
};

RbSnapshotOptions rb_snapshot_options_default(void)
{
    return (RbSnapshotOptions){ .practice = false,
                                .profile = rb_success_profile_default(),
                                .settings = rb_read_settings_default() };
}

bool rb_snapshot_wants_game(const RbSnapshot *snapshot, const RbGame *game)
{
    const RbTeam *us = rb_names_find_team(snapshot->names, game->us);
    return (game->kind == RB_GAME_GAME || snapshot->options.practice) &&
           (us == NULL || us->ours);
}

/* Our own offense's, in a game of the kind wanted. A snap or game that does not say whose it
 * is counts as ours: a staff that logs its own offense need not say so on every snap. */
static bool is_wanted(const RbSnapshot *snapshot, const RbSnap *snap)
{
    const RbGame *game = rb_names_find_game(snapshot->names, snap->game);
    const RbTeamId offense = snap->situation.offense;
    return game != NULL && rb_play_is_pass(snap->play) &&
           rb_snapshot_wants_game(snapshot, game) &&
           (offense.value == 0 || offense.value == game->us.value);
}

static void free_array(void *array)
{
    g_ptr_array_unref(array);
}

RbSnapTags rb_snap_tags_new(const GPtrArray *charts, const GPtrArray *clips)
{
    const RbSnapTags tags = {
        g_hash_table_new(g_int64_hash, g_int64_equal),
        g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, free_array),
    };
    for (guint i = 0; i < charts->len; i++) {
        RbChart *chart = charts->pdata[i];
        g_hash_table_insert(tags.chart_of, &chart->snap.value, chart);
    }
    for (guint i = 0; i < clips->len; i++) {
        RbClip *clip = clips->pdata[i];
        GPtrArray *list = g_hash_table_lookup(tags.clips_of, &clip->snap.value);
        if (list == NULL) {
            list = g_ptr_array_new();
            g_hash_table_insert(tags.clips_of, &clip->snap.value, list);
        }
        g_ptr_array_add(list, clip);
    }
    return tags;
}

void rb_snap_tags_clear(RbSnapTags *tags)
{
    g_hash_table_unref(tags->clips_of);
    g_hash_table_unref(tags->chart_of);
}

/* Returns: (transfer full): the chart as judged, and what came of it. */
static RbChart *judge(const RbSnapshot *snapshot, const RbSnapTags *tags,
                      const RbSnap *snap, RbJudged *judged)
{
    const RbGame *game = rb_names_find_game(snapshot->names, snap->game);
    const RbChart *chart = g_hash_table_lookup(tags->chart_of, &snap->id.value);
    const GPtrArray *clips = g_hash_table_lookup(tags->clips_of, &snap->id.value);
    g_autoptr(RbChart) empty =
        chart == NULL ? rb_chart_new(snap->id, (RbPersonId){ 0 }) : NULL;
    RbChart *own = rb_chart_for_judging(chart != NULL ? chart : empty, game, clips);
    rb_judge_snap(snapshot->names, snap, own, snapshot->options.profile,
                  &snapshot->options.settings, judged);
    return own;
}

/* Judges a snap into the row of a place, or a new last row (-1). */
static void put(RbSnapshot *snapshot, int place, const RbSnapTags *tags,
                const RbSnap *snap, bool keep)
{
    RbJudged judged;
    RbChart *chart = judge(snapshot, tags, snap, &judged);
    const RbPackedRow row = rb_packed_row_of(snapshot->names, snap, chart, &judged);
    if (place < 0) {
        rb_packed_append(snapshot->packed, &row);
    } else {
        rb_packed_set(snapshot->packed, place, &row);
    }
    if (keep) {
        rb_details_put(snapshot->details, rb_snap_copy(snap), chart, &judged.judgment);
    } else {
        rb_chart_free(chart);
    }
}

void rb_snapshot_add(RbSnapshot *snapshot, const GPtrArray *snaps, const RbSnapTags *tags,
                     bool keep)
{
    for (guint i = 0; i < snaps->len; i++) {
        if (is_wanted(snapshot, snaps->pdata[i])) {
            put(snapshot, -1, tags, snaps->pdata[i], keep);
        }
    }
}

void rb_snapshot_hold(const RbSnapshot *snapshot, const GPtrArray *snaps,
                      const RbSnapTags *tags)
{
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (rb_snapshot_place_of(snapshot, snap->id) >= 0 &&
            rb_details_find(snapshot->details, snap->id) == NULL) {
            RbJudged judged;
            RbChart *chart = judge(snapshot, tags, snap, &judged);
            rb_details_put(snapshot->details, rb_snap_copy(snap), chart,
                           &judged.judgment);
        }
    }
}

RbSnapshot *rb_snapshot_new(const RbNames *names, const RbSnapshotOptions *options,
                            RbPacked *packed)
{
    RbSnapshot *snapshot = g_new0(RbSnapshot, 1);
    atomic_init(&snapshot->refs, 1);
    rb_mutex_init(&snapshot->mutex);
    snapshot->names = rb_names_ref(names);
    snapshot->options = options != NULL ? *options : rb_snapshot_options_default();
    snapshot->packed = packed != NULL ? packed : rb_packed_new(0);
    snapshot->details = rb_details_new();
    return snapshot;
}

RbPacked *rb_snapshot_edit_packed(RbSnapshot *snapshot)
{
    return snapshot->packed;
}

RbSnapshot *rb_snapshot_build(const RbNames *names, const GPtrArray *snaps,
                              const GPtrArray *charts, const GPtrArray *clips,
                              const RbSnapshotOptions *options, RbCancel *cancel,
                              GError **error)
{
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_new(names, options, NULL);
    if (!rb_cancel_check(cancel, error)) {
        return NULL;
    }
    RbSnapTags tags = rb_snap_tags_new(charts, clips);
    rb_snapshot_add(snapshot, snaps, &tags, true);
    rb_snap_tags_clear(&tags);
    rb_packed_trim(snapshot->packed);
    return g_steal_pointer(&snapshot);
}

RbSnapshot *rb_snapshot_ref(const RbSnapshot *snapshot)
{
    /* The count is the one part of the object that changes. */
    RbSnapshot *mine = (RbSnapshot *)snapshot;
    atomic_fetch_add_explicit(&mine->refs, 1, memory_order_relaxed);
    return mine;
}

void rb_snapshot_unref(RbSnapshot *snapshot)
{
    if (snapshot == NULL ||
        atomic_fetch_sub_explicit(&snapshot->refs, 1, memory_order_acq_rel) > 1) {
        return;
    }
    g_clear_pointer(&snapshot->seen, g_array_unref);
    g_clear_pointer(&snapshot->link, rb_library_link_unref);
    rb_details_free(snapshot->details);
    rb_packed_free(snapshot->packed);
    rb_names_unref(snapshot->names);
    rb_mutex_clear(&snapshot->mutex);
    g_free(snapshot->by_id);
    g_free(snapshot);
}

RbDropback *rb_snapshot_dup_rows(const RbSnapshot *snapshot, int *n)
{
    *n = rb_packed_get_count(snapshot->packed);
    RbDropback *rows = g_new(RbDropback, MAX(*n, 1));
    for (int i = 0; i < *n; i++) {
        rb_packed_get_row(snapshot->packed, i, &rows[i]);
    }
    return rows;
}

RbSuccessProfile rb_snapshot_get_profile(const RbSnapshot *snapshot)
{
    return snapshot->options.profile;
}

RbSnapshotOptions rb_snapshot_get_options(const RbSnapshot *snapshot)
{
    return snapshot->options;
}

const RbNames *rb_snapshot_get_names(const RbSnapshot *snapshot)
{
    return snapshot->names;
}

const RbPacked *rb_snapshot_get_packed(const RbSnapshot *snapshot)
{
    return snapshot->packed;
}

const GArray *rb_snapshot_get_seen(const RbSnapshot *snapshot, const RbLibrary *library)
{
    const bool ours =
        snapshot->link != NULL && rb_library_link_get(snapshot->link) == library;
    return ours ? snapshot->seen : NULL;
}

void rb_snapshot_set_source(RbSnapshot *snapshot, RbLibrary *library, GArray *seen)
{
    g_assert(snapshot->link == NULL && snapshot->seen == NULL);
    snapshot->seen = g_array_ref(seen);
    snapshot->link = rb_library_link_ref(rb_library_link(library));
}

typedef struct {
    int64_t id;
    int32_t place;
} Indexed;

static int by_id(const void *a, const void *b)
{
    const int64_t one = ((const Indexed *)a)->id;
    const int64_t other = ((const Indexed *)b)->id;
    return (one > other) - (one < other);
}

static int32_t *index_new(const RbPacked *packed)
{
    const int n = rb_packed_get_count(packed);
    g_autofree Indexed *all = g_new(Indexed, n + 1);
    int32_t *places = g_new(int32_t, n + 1);
    bool sorted = true;
    for (int i = 0; i < n; i++) {
        all[i] = (Indexed){ rb_packed_get_snap(packed, i).value, i };
        sorted = sorted && (i == 0 || all[i - 1].id < all[i].id);
    }
    if (!sorted) {
        qsort(all, (size_t)n, sizeof *all, by_id);
    }
    for (int i = 0; i < n; i++) {
        places[i] = all[i].place;
    }
    return places;
}

static const int32_t *index_of(const RbSnapshot *snapshot)
{
    /* Made once, by whoever asks first; from then on it does not change. */
    RbSnapshot *mine = (RbSnapshot *)snapshot;
    rb_mutex_lock(&mine->mutex);
    if (mine->by_id == NULL) {
        mine->by_id = index_new(mine->packed);
    }
    rb_mutex_unlock(&mine->mutex);
    return mine->by_id;
}

size_t rb_snapshot_get_size(const RbSnapshot *snapshot)
{
    const size_t n = (size_t)rb_packed_get_count(snapshot->packed);
    index_of(snapshot);
    return sizeof *snapshot + rb_packed_get_size(snapshot->packed) +
           (n + 1) * sizeof *snapshot->by_id;
}

int rb_snapshot_place_of(const RbSnapshot *snapshot, RbSnapId snap)
{
    const int32_t *places = index_of(snapshot);
    int low = 0;
    int high = rb_packed_get_count(snapshot->packed);
    while (low < high) {
        const int middle = low + (high - low) / 2;
        const int64_t id = rb_packed_get_snap(snapshot->packed, places[middle]).value;
        if (id == snap.value) {
            return places[middle];
        }
        low = id < snap.value ? middle + 1 : low;
        high = id < snap.value ? high : middle;
    }
    return -1;
}

bool rb_snapshot_find_row(const RbSnapshot *snapshot, RbSnapId snap, RbDropback *row)
{
    const int place = rb_snapshot_place_of(snapshot, snap);
    if (place >= 0) {
        rb_packed_get_row(snapshot->packed, place, row);
    }
    return place >= 0;
}

bool rb_snapshot_value(const RbSnapshot *snapshot, RbSnapId snap, RbField field,
                       int64_t *value)
{
    const int place = rb_snapshot_place_of(snapshot, snap);
    return place >= 0 && !rb_field_is_many(field) &&
           rb_packed_get_value(snapshot->packed, place, field, value);
}

static int64_t value_or(const RbSnapshot *snapshot, int place, RbField field,
                        int64_t unknown)
{
    int64_t value = unknown;
    return rb_packed_get_value(snapshot->packed, place, field, &value) ? value : unknown;
}

RbSnap *rb_snapshot_dup_facts(const RbSnapshot *snapshot, RbSnapId id)
{
    const int place = rb_snapshot_place_of(snapshot, id);
    if (place < 0) {
        return NULL;
    }
    RbDropback row;
    rb_packed_get_row(snapshot->packed, place, &row);
    RbSnap *snap = rb_snap_new(id, row.game, row.number);
    RbSituation *situation = &snap->situation;
    snap->result = row.result;
    snap->ending = row.ending;
    snap->gain = row.gain;
    snap->has_gain = row.has_gain ? RB_YES : snap->has_gain;
    snap->quarterback = row.quarterback;
    situation->down = (int)value_or(snapshot, place, RB_FIELD_DOWN, situation->down);
    situation->distance =
        (int)value_or(snapshot, place, RB_FIELD_DISTANCE, situation->distance);
    situation->yards_to_goal =
        (int)value_or(snapshot, place, RB_FIELD_YARDS_TO_GOAL, situation->yards_to_goal);
    return snap;
}

/* A snap that was removed after the snapshot was taken, or whose library is closed: what the
 * columns say of it. */
static void hold_facts(const RbSnapshot *snapshot, RbSnapId id)
{
    RbJudgment judgment = { 0 };
    RbDropback row;
    rb_snapshot_find_row(snapshot, id, &row);
    judgment.verdict = row.verdict;
    judgment.stage = row.stage;
    judgment.stage_read = row.stage_read;
    rb_details_put(snapshot->details, rb_snapshot_dup_facts(snapshot, id),
                   rb_chart_new(id, (RbPersonId){ 0 }), &judgment);
}

static const RbDetail *detail_of(const RbSnapshot *snapshot, RbSnapId id)
{
    const RbDetail *detail = rb_details_find(snapshot->details, id);
    if (detail != NULL || snapshot->link == NULL ||
        !rb_library_link_is_mine(snapshot->link) ||
        rb_snapshot_place_of(snapshot, id) < 0) {
        return detail;
    }
    RbLibrary *library = rb_library_link_get(snapshot->link);
    if (library != NULL) {
        rb_snapshot_fetch(snapshot, library, id);
        detail = rb_details_find(snapshot->details, id);
    }
    if (detail == NULL) {
        hold_facts(snapshot, id);
        detail = rb_details_find(snapshot->details, id);
    }
    return detail;
}

const RbSnap *rb_snapshot_find_snap(const RbSnapshot *snapshot, RbSnapId snap)
{
    const RbDetail *detail = detail_of(snapshot, snap);
    return detail != NULL ? detail->snap : NULL;
}

const RbChart *rb_snapshot_find_chart(const RbSnapshot *snapshot, RbSnapId snap)
{
    const RbDetail *detail = detail_of(snapshot, snap);
    return detail != NULL ? detail->chart : NULL;
}

const RbJudgment *rb_snapshot_find_judgment(const RbSnapshot *snapshot, RbSnapId snap)
{
    const RbDetail *detail = detail_of(snapshot, snap);
    return detail != NULL ? &detail->judgment : NULL;
}

GPtrArray *rb_snapshot_reasons(const RbSnapshot *snapshot, RbSnapId snap)
{
    const RbDetail *detail = detail_of(snapshot, snap);
    if (detail == NULL) {
        return g_ptr_array_new_with_free_func(g_free);
    }
    const RbReadContext context =
        rb_context_for(snapshot->names, detail->snap, detail->chart);
    return rb_judgment_reasons(&context, &detail->judgment);
}

char *rb_snapshot_settle(const RbSnapshot *snapshot, RbSnapId snap)
{
    const RbJudgment *judgment = rb_snapshot_find_judgment(snapshot, snap);
    if (judgment == NULL || judgment->settle.kind == RB_TAG_NONE) {
        return NULL;
    }
    return rb_tag_text(&judgment->settle);
}

/* Details that a snapshot from a library takes over from the one it follows, at most. */
#define DETAILS_KEPT 2000

RbSnapshot *rb_snapshot_follow(const RbSnapshot *snapshot, const GPtrArray *snaps,
                               const GPtrArray *charts, const GPtrArray *clips)
{
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        RbDropback row;
        if (!rb_snapshot_find_row(snapshot, snap->id, &row) ||
            row.game.value != snap->game.value || row.number != snap->number ||
            !is_wanted(snapshot, snap)) {
            return NULL;
        }
    }
    RbSnapshot *next = rb_snapshot_new(snapshot->names, &snapshot->options,
                                       rb_packed_copy(snapshot->packed));
    const size_t n = (size_t)rb_packed_get_count(next->packed);
    next->by_id = g_memdup2(index_of(snapshot), (n + 1) * sizeof *next->by_id);
    if (snapshot->link == NULL ||
        rb_details_get_count(snapshot->details) <= DETAILS_KEPT) {
        rb_details_free(next->details);
        next->details = rb_details_copy(snapshot->details);
    }
    RbSnapTags tags = rb_snap_tags_new(charts, clips);
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        rb_details_drop(next->details, snap->id);
        put(next, rb_snapshot_place_of(snapshot, snap->id), &tags, snap, true);
    }
    rb_snap_tags_clear(&tags);
    return next;
}
