/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/snapshot.h"

#include <stdatomic.h>

#include "judging.h"
#include "snapshot-private.h"

/* What stands behind one row; shared by the snapshots that follow one another. */
typedef struct {
    atomic_int refs;
    RbSnap *snap;   /* owned */
    RbChart *chart; /* owned: as judged */
    RbJudgment judgment;
} Entry;

struct RbSnapshot {
    atomic_int refs;
    RbNames *names;   /* owned reference; judgments point into it */
    RbDropback *rows; /* owned: by game and number */
    Entry **entries;  /* owned: one a row, each a reference */
    RbPacked *packed; /* owned: the same rows as columns */
    int n;
    RbSnapshotOptions options;
    GHashTable *index; /* owned: snap id (in the row) to place + 1 */
    GArray *seen;      /* owned, nullable: see snapshot-private.h, as the next */
    char *library;     /* owned, nullable */
};

RbSnapshotOptions rb_snapshot_options_default(void)
{
    return (RbSnapshotOptions){ .practice = false,
                                .profile = rb_success_profile_default(),
                                .settings = rb_read_settings_default() };
}

/* Our own offense's, in a game of the kind wanted. A snap or game that does not say whose it
 * is counts as ours: a staff that logs its own offense need not say so on every snap. */
static bool is_wanted(const RbNames *names, const RbSnap *snap,
                      const RbSnapshotOptions *options)
{
    const RbGame *game = rb_names_find_game(names, snap->game);
    if (game == NULL || !rb_play_is_pass(snap->play) ||
        (game->kind != RB_GAME_GAME && !options->practice)) {
        return false;
    }
    const RbTeam *us = rb_names_find_team(names, game->us);
    const RbTeamId offense = snap->situation.offense;
    return (us == NULL || us->ours) &&
           (offense.value == 0 || offense.value == game->us.value);
}

static RbDropback row_of(const RbNames *names, const Entry *entry, const RbJudged *judged)
{
    const RbSnap *snap = entry->snap;
    const RbChart *chart = entry->chart;
    const RbGame *game = rb_names_find_game(names, snap->game);
    return (RbDropback){
        .snap = snap->id,
        .game = game->id,
        .quarterback = snap->quarterback,
        .concept = rb_chart_concept(chart),
        .coverage = chart->played.coverage,
        .verdict = judged->judgment.verdict,
        .stage = judged->judgment.stage,
        .stage_read = judged->judgment.stage_read,
        .right_read = judged->judgment.right_slot,
        .ball_read = judged->judgment.ball_slot,
        .result = snap->result,
        .ending = snap->ending,
        .gain = snap->has_gain == RB_YES ? snap->gain : 0,
        .success = judged->success,
        .has_points = judged->has_points,
        .points = judged->points,
        .pressured = chart->pressure == RB_PRESSURE_CAME,
        .release_ms = chart->release_ms,
        .in_ladder = rb_snap_is_dropback(snap),
    };
}

/* Where to find a snap's chart and clips. Keys and values are borrowed. */
typedef struct {
    GHashTable *chart_of; /* owned: snap id to RbChart */
    GHashTable *clips_of; /* owned: snap id to GPtrArray of RbClip */
} Source;

static void free_array(void *array)
{
    g_ptr_array_unref(array);
}

static Source source_new(const GPtrArray *charts, const GPtrArray *clips)
{
    const Source source = {
        g_hash_table_new(g_int64_hash, g_int64_equal),
        g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, free_array),
    };
    for (guint i = 0; i < charts->len; i++) {
        RbChart *chart = charts->pdata[i];
        g_hash_table_insert(source.chart_of, &chart->snap.value, chart);
    }
    for (guint i = 0; i < clips->len; i++) {
        RbClip *clip = clips->pdata[i];
        GPtrArray *list = g_hash_table_lookup(source.clips_of, &clip->snap.value);
        if (list == NULL) {
            list = g_ptr_array_new();
            g_hash_table_insert(source.clips_of, &clip->snap.value, list);
        }
        g_ptr_array_add(list, clip);
    }
    return source;
}

static void source_clear(Source *source)
{
    g_hash_table_unref(source->clips_of);
    g_hash_table_unref(source->chart_of);
}

static void entry_unref(Entry *entry)
{
    if (atomic_fetch_sub_explicit(&entry->refs, 1, memory_order_acq_rel) == 1) {
        rb_snap_free(entry->snap);
        rb_chart_free(entry->chart);
        g_free(entry);
    }
}

/* Judges a snap for a place; row and entry of the place are set. */
static void set_entry(RbSnapshot *snapshot, int place, const Source *source,
                      const RbSnap *snap)
{
    const RbGame *game = rb_names_find_game(snapshot->names, snap->game);
    const RbChart *chart = g_hash_table_lookup(source->chart_of, &snap->id.value);
    const GPtrArray *clips = g_hash_table_lookup(source->clips_of, &snap->id.value);
    g_autoptr(RbChart) empty =
        chart == NULL ? rb_chart_new(snap->id, (RbPersonId){ 0 }) : NULL;
    RbJudged judged;
    Entry *entry = g_new0(Entry, 1);
    atomic_init(&entry->refs, 1);
    entry->snap = rb_snap_copy(snap);
    entry->chart = rb_chart_for_judging(chart != NULL ? chart : empty, game, clips);
    rb_judge_snap(snapshot->names, entry->snap, entry->chart, snapshot->options.profile,
                  &snapshot->options.settings, &judged);
    entry->judgment = judged.judgment;
    snapshot->entries[place] = entry;
    snapshot->rows[place] = row_of(snapshot->names, entry, &judged);
}

static void build_index(RbSnapshot *snapshot)
{
    snapshot->index = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (int i = 0; i < snapshot->n; i++) {
        g_hash_table_insert(snapshot->index, &snapshot->rows[i].snap.value,
                            GINT_TO_POINTER(i + 1));
    }
}

/* "2026-09-12" as 20260912; 0 when there is no date. */
static int64_t date_number(const char *date)
{
    int64_t number = 0;
    for (const char *c = date; c != NULL && *c != '\0'; c++) {
        number = g_ascii_isdigit(*c) ? number * 10 + (*c - '0') : number;
    }
    return number;
}

static bool known(int64_t have, int64_t unknown, int64_t *value)
{
    *value = have;
    return have != unknown;
}

static RbTechnique technique_worked(const RbChart *chart)
{
    const bool left = chart->side_worked == RB_SIDE_LEFT;
    if (chart->side_worked == RB_SIDE_UNKNOWN) {
        return RB_TECHNIQUE_UNKNOWN;
    }
    const RbTechnique played = left ? chart->played.left : chart->played.right;
    const RbTechnique shown =
        left ? chart->shown.left.technique : chart->shown.right.technique;
    return played != RB_TECHNIQUE_UNKNOWN ? played : shown;
}

static RbFamily family_of(const RbNames *names, RbTermId coverage)
{
    const RbTerm *term = rb_names_find_term(names, coverage);
    return term != NULL ? term->family : RB_FAMILY_UNKNOWN;
}

static bool value_at(const RbSnapshot *snapshot, int place, RbField field, int64_t *value)
{
    const RbDropback *row = &snapshot->rows[place];
    const RbSnap *snap = snapshot->entries[place]->snap;
    const RbChart *chart = snapshot->entries[place]->chart;
    const RbGame *game = rb_names_find_game(snapshot->names, row->game);
    switch (field) {
    case RB_FIELD_GAME:
        return known(row->game.value, 0, value);
    case RB_FIELD_OPPONENT:
        return known(game->them.value, 0, value);
    case RB_FIELD_DATE:
        return known(date_number(game->played_on), 0, value);
    case RB_FIELD_DOWN:
        return known(snap->situation.down, 0, value);
    case RB_FIELD_DISTANCE:
        return known(snap->situation.distance, 0, value);
    case RB_FIELD_YARDS_TO_GOAL:
        return known(snap->situation.yards_to_goal, 0, value);
    case RB_FIELD_HASH:
        return known(snap->situation.hash, RB_HASH_UNKNOWN, value);
    case RB_FIELD_QUARTER:
        return known(MIN(snap->situation.quarter, 5), 0, value);
    case RB_FIELD_PERSONNEL:
        return known(snap->personnel.value, 0, value);
    case RB_FIELD_FORMATION:
        return known(snap->formation.value, 0, value);
    case RB_FIELD_MOTION:
        return known(snap->motion.value, 0, value);
    case RB_FIELD_QUARTERBACK:
        return known(snap->quarterback.value, 0, value);
    case RB_FIELD_CALL:
        return known(chart->call.kind, RB_CALL_UNKNOWN, value);
    case RB_FIELD_CONCEPT:
        return known(row->concept.value, 0, value);
    case RB_FIELD_SIDE_WORKED:
        return known(chart->side_worked, RB_SIDE_UNKNOWN, value);
    case RB_FIELD_SHELL:
        return known(chart->shown.shell, RB_SHELL_UNKNOWN, value);
    case RB_FIELD_COVERAGE:
        return known(row->coverage.value, 0, value);
    case RB_FIELD_FAMILY:
        return known(family_of(snapshot->names, row->coverage), RB_FAMILY_UNKNOWN, value);
    case RB_FIELD_TECHNIQUE:
        return known(technique_worked(chart), RB_TECHNIQUE_UNKNOWN, value);
    case RB_FIELD_RUSHERS:
        return known(chart->played.rushers, -1, value);
    case RB_FIELD_PRESSURE:
        return known(chart->pressure, RB_PRESSURE_UNKNOWN, value);
    case RB_FIELD_RESULT:
        return known(row->result, RB_RESULT_UNKNOWN, value);
    case RB_FIELD_VERDICT:
        return known(row->verdict, -1, value);
    case RB_FIELD_STAGE:
        return known(row->stage, -1, value);
    case RB_FIELD_READ:
        return known(row->stage_read, -1, value);
    case RB_FIELD_COUNTS:
        return known(row->in_ladder ? RB_YES : RB_NO, RB_YES_NO_UNKNOWN, value);
    case RB_FIELD_OWN_TAG: /* the first of them */
        return snap->own_tags->len > 0 &&
               known(g_array_index(snap->own_tags, RbTermId, 0).value, 0, value);
    case RB_FIELDS:
        break;
    }
    g_assert_not_reached();
}

static RbPackedRow packed_row(const RbSnapshot *snapshot, int place)
{
    const GArray *tags = snapshot->entries[place]->snap->own_tags;
    RbPackedRow row = { .row = snapshot->rows[place],
                        .own_tags = (const int64_t *)(const void *)tags->data,
                        .n_own_tags = (int)tags->len };
    for (int field = 0; field < RB_FIELDS; field++) {
        row.known[field] = value_at(snapshot, place, (RbField)field, &row.values[field]);
    }
    return row;
}

RbSnapshot *rb_snapshot_build(const RbNames *names, const GPtrArray *snaps,
                              const GPtrArray *charts, const GPtrArray *clips,
                              const RbSnapshotOptions *options, RbCancel *cancel,
                              GError **error)
{
    const RbSnapshotOptions defaults = rb_snapshot_options_default();
    options = options != NULL ? options : &defaults;
    g_autoptr(RbSnapshot) snapshot = g_new0(RbSnapshot, 1);
    atomic_init(&snapshot->refs, 1);
    snapshot->names = rb_names_ref(names);
    snapshot->options = *options;
    snapshot->rows = g_new0(RbDropback, MAX(snaps->len, 1));
    snapshot->entries = g_new0(Entry *, MAX(snaps->len, 1));
    Source source = source_new(charts, clips);
    bool going = true;
    for (guint i = 0; going && i < snaps->len; i++) {
        going = rb_cancel_check(cancel, error);
        if (going && is_wanted(names, snaps->pdata[i], options)) {
            set_entry(snapshot, snapshot->n, &source, snaps->pdata[i]);
            snapshot->n++;
        }
    }
    source_clear(&source);
    build_index(snapshot);
    snapshot->packed = rb_packed_new(snapshot->n);
    for (int place = 0; place < snapshot->n; place++) {
        const RbPackedRow row = packed_row(snapshot, place);
        rb_packed_append(snapshot->packed, &row);
    }
    return going ? g_steal_pointer(&snapshot) : NULL;
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
    for (int i = 0; i < snapshot->n; i++) {
        entry_unref(snapshot->entries[i]);
    }
    g_clear_pointer(&snapshot->index, g_hash_table_unref);
    g_clear_pointer(&snapshot->seen, g_array_unref);
    g_free(snapshot->library);
    rb_packed_free(snapshot->packed);
    rb_names_unref(snapshot->names);
    g_free(snapshot->entries);
    g_free(snapshot->rows);
    g_free(snapshot);
}

const RbDropback *rb_snapshot_get_rows(const RbSnapshot *snapshot, int *n)
{
    *n = snapshot->n;
    return snapshot->rows;
}

RbSuccessProfile rb_snapshot_get_profile(const RbSnapshot *snapshot)
{
    return snapshot->options.profile;
}

RbSnapshotOptions rb_snapshot_get_options(const RbSnapshot *snapshot)
{
    return snapshot->options;
}

const GArray *rb_snapshot_get_seen(const RbSnapshot *snapshot, const char *library)
{
    return g_strcmp0(snapshot->library, library) == 0 ? snapshot->seen : NULL;
}

void rb_snapshot_set_seen(RbSnapshot *snapshot, const char *library, GArray *seen)
{
    g_array_ref(seen);
    g_clear_pointer(&snapshot->seen, g_array_unref);
    snapshot->seen = seen;
    g_free(snapshot->library);
    snapshot->library = g_strdup(library);
}

const RbNames *rb_snapshot_get_names(const RbSnapshot *snapshot)
{
    return snapshot->names;
}

/* Place of a snap; -1 when it is not here. */
static int place_of(const RbSnapshot *snapshot, RbSnapId snap)
{
    return GPOINTER_TO_INT(g_hash_table_lookup(snapshot->index, &snap.value)) - 1;
}

const RbDropback *rb_snapshot_find_row(const RbSnapshot *snapshot, RbSnapId snap)
{
    const int place = place_of(snapshot, snap);
    return place >= 0 ? &snapshot->rows[place] : NULL;
}

const RbSnap *rb_snapshot_find_snap(const RbSnapshot *snapshot, RbSnapId snap)
{
    const int place = place_of(snapshot, snap);
    return place >= 0 ? snapshot->entries[place]->snap : NULL;
}

const RbChart *rb_snapshot_find_chart(const RbSnapshot *snapshot, RbSnapId snap)
{
    const int place = place_of(snapshot, snap);
    return place >= 0 ? snapshot->entries[place]->chart : NULL;
}

const RbJudgment *rb_snapshot_find_judgment(const RbSnapshot *snapshot, RbSnapId snap)
{
    const int place = place_of(snapshot, snap);
    return place >= 0 ? &snapshot->entries[place]->judgment : NULL;
}

GPtrArray *rb_snapshot_reasons(const RbSnapshot *snapshot, RbSnapId snap)
{
    const int place = place_of(snapshot, snap);
    if (place < 0) {
        return g_ptr_array_new_with_free_func(g_free);
    }
    const Entry *entry = snapshot->entries[place];
    const RbReadContext context =
        rb_context_for(snapshot->names, entry->snap, entry->chart);
    return rb_judgment_reasons(&context, &entry->judgment);
}

char *rb_snapshot_settle(const RbSnapshot *snapshot, RbSnapId snap)
{
    const RbJudgment *judgment = rb_snapshot_find_judgment(snapshot, snap);
    if (judgment == NULL || judgment->settle.kind == RB_TAG_NONE) {
        return NULL;
    }
    return rb_tag_text(&judgment->settle);
}

bool rb_snapshot_value(const RbSnapshot *snapshot, RbSnapId id, RbField field,
                       int64_t *value)
{
    const int place = place_of(snapshot, id);
    return place >= 0 && value_at(snapshot, place, field, value);
}

const RbPacked *rb_snapshot_get_packed(const RbSnapshot *snapshot)
{
    return snapshot->packed;
}

/* The same rows, entries and columns, to be changed. */
static RbSnapshot *copy_of(const RbSnapshot *snapshot)
{
    RbSnapshot *copy = g_new0(RbSnapshot, 1);
    const size_t n = (size_t)MAX(snapshot->n, 1);
    atomic_init(&copy->refs, 1);
    copy->names = rb_names_ref(snapshot->names);
    copy->options = snapshot->options;
    copy->n = snapshot->n;
    copy->rows = g_memdup2(snapshot->rows, n * sizeof *snapshot->rows);
    copy->entries = g_memdup2(snapshot->entries, n * sizeof *snapshot->entries);
    copy->packed = rb_packed_copy(snapshot->packed);
    for (int i = 0; i < copy->n; i++) {
        atomic_fetch_add_explicit(&copy->entries[i]->refs, 1, memory_order_relaxed);
    }
    build_index(copy);
    return copy;
}

RbSnapshot *rb_snapshot_follow(const RbSnapshot *snapshot, const GPtrArray *snaps,
                               const GPtrArray *charts, const GPtrArray *clips)
{
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (place_of(snapshot, snap->id) < 0 ||
            !is_wanted(snapshot->names, snap, &snapshot->options)) {
            return NULL;
        }
    }
    RbSnapshot *next = copy_of(snapshot);
    Source source = source_new(charts, clips);
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        const int place = place_of(next, snap->id);
        entry_unref(next->entries[place]);
        set_entry(next, place, &source, snap);
        const RbPackedRow row = packed_row(next, place);
        rb_packed_set(next->packed, place, &row);
    }
    source_clear(&source);
    return next;
}
