/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/base/cancel.h"
#include "rb/model/filter.h"
#include "rb/read/verdict.h"
#include "rb/stats/ladder.h"
#include "rb/stats/packed.h"
#include "rb/stats/pairing.h"
#include "rb/stats/success.h"
#include "rb/work/library.h"

/* The column snapshot: every pass play of our own offense with the chart that counts, judged,
 * with success and points, in at most 64 bytes a dropback. Immutable, counted atomically, read
 * from any thread: taken once on the library's thread, then filtered as often as the person likes
 * without the database. The library keeps the columns beside the tags, so that the next program
 * judges only what was changed since.
 *
 * What is wider than the columns (the snap itself, its chart, the judgment with its reasons) is
 * read from the library when it is first asked for, on the library's thread, and is then as the
 * library is at that moment. */
typedef struct RbSnapshot RbSnapshot;

typedef struct {
    bool practice; /* practice and 7-on-7 too (7-on-7 has no points and no pressure) */
    RbSuccessProfile profile;
    RbReadSettings settings;
} RbSnapshotOptions;

RbSnapshotOptions rb_snapshot_options_default(void);

/* options: (nullable). cancel: (nullable). Returns: (transfer full) (nullable): with `error`. */
RbSnapshot *rb_snapshot_take(RbLibrary *library, const RbSnapshotOptions *options,
                             RbCancel *cancel, GError **error);
/* The snapshot as the library is now, with the options of `before`, an earlier one of the same
 * library: `before` itself when nothing that it shows was changed, one that follows it when some
 * snaps were, else a new one. Returns: (transfer full) (nullable): with `error`. */
RbSnapshot *rb_snapshot_take_after(RbLibrary *library, const RbSnapshot *before,
                                   RbCancel *cancel, GError **error);
/* One from values in memory: the charts that count, at most one a snap, and clips (both in
 * any order); snaps in the order wanted. All are copied. cancel: (nullable). */
RbSnapshot *rb_snapshot_build(const RbNames *names, const GPtrArray *snaps,
                              const GPtrArray *charts, const GPtrArray *clips,
                              const RbSnapshotOptions *options, RbCancel *cancel,
                              GError **error);
/* The snapshot after snaps were tagged anew: only these are judged again, all else is shared.
 * snaps: as they are now; charts: those of them that count; clips: theirs. Names and playbook
 * are as they were. Returns: (transfer full) (nullable): NULL when a snap is new to the snapshot
 * or does not belong to it any more: then take a new one. */
RbSnapshot *rb_snapshot_follow(const RbSnapshot *snapshot, const GPtrArray *snaps,
                               const GPtrArray *charts, const GPtrArray *clips);
RbSnapshot *rb_snapshot_ref(const RbSnapshot *snapshot);
void rb_snapshot_unref(RbSnapshot *snapshot); /* NULL is allowed */

/* All of it, by game and number. Returns: (transfer full). */
RbDropback *rb_snapshot_dup_rows(const RbSnapshot *snapshot, int *n);
/* The same as columns, in the same order: what filters run over. */
const RbPacked *rb_snapshot_get_packed(const RbSnapshot *snapshot);
/* Bytes of memory that columns and index take; details that were asked for come on top. */
size_t rb_snapshot_get_size(const RbSnapshot *snapshot);
/* What counted as success. */
RbSuccessProfile rb_snapshot_get_profile(const RbSnapshot *snapshot);
/* Returns: (transfer none). */
const RbNames *rb_snapshot_get_names(const RbSnapshot *snapshot);
/* False for a snap that is not in the snapshot. */
bool rb_snapshot_find_row(const RbSnapshot *snapshot, RbSnapId snap, RbDropback *row);
/* What the columns say of a snap (game, number, situation, quarterback, result), for lists, on any
 * thread. Returns: (transfer full) (nullable). */
RbSnap *rb_snapshot_dup_facts(const RbSnapshot *snapshot, RbSnapId snap);
/* On the library's thread. Each returns: (transfer none) (nullable): NULL for a snap that is not in
 * the snapshot, and on another thread for one that was not asked for before; a snap that nobody
 * charted has an empty chart. Of a snap that is gone, or once the library is closed, what the
 * columns say: an errand may run after its library was left for another one. */
const RbSnap *rb_snapshot_find_snap(const RbSnapshot *snapshot, RbSnapId snap);
const RbChart *rb_snapshot_find_chart(const RbSnapshot *snapshot, RbSnapId snap);
const RbJudgment *rb_snapshot_find_judgment(const RbSnapshot *snapshot, RbSnapId snap);
/* The reasons of the verdict, one sentence each. Returns: (transfer full): of char *. */
GPtrArray *rb_snapshot_reasons(const RbSnapshot *snapshot, RbSnapId snap);
/* The tag that would settle an ungraded snap: "read 2"; NULL when graded.
 * Returns: (transfer full) (nullable). */
char *rb_snapshot_settle(const RbSnapshot *snapshot, RbSnapId snap);
/* A field of one row, as filters see it; false when it is not known, and for own tags, of which
 * there can be several. */
bool rb_snapshot_value(const RbSnapshot *snapshot, RbSnapId snap, RbField field,
                       int64_t *value);

/* The rows that a filter accepts, and what they are compared with. Holds its snapshot. */
typedef struct RbSelection RbSelection;

/* filter: (nullable): everything; copied. Returns: (transfer full). */
RbSelection *rb_selection_new(const RbSnapshot *snapshot, const RbFilter *filter);
void rb_selection_free(RbSelection *selection); /* NULL is allowed */
const RbSnapshot *rb_selection_get_snapshot(const RbSelection *selection);
const RbFilter *rb_selection_get_filter(const RbSelection *selection);
/* Borrowed. Made when first asked for, like the others: a selection is used by one thread at a
 * time. */
const RbDropback *rb_selection_get_rows(const RbSelection *selection, int *n);
/* The norm's rows: the other pairings of the same table, that is, those that the filter
 * accepts without its clauses on concept, call, coverage, family and what is computed, less
 * the selection; when nothing is left, the rest of the team's dropbacks. */
const RbDropback *rb_selection_get_others(const RbSelection *selection, int *n);

/* pairings: (out): clear with rb_pairings_clear(). */
void rb_selection_pairings(const RbSelection *selection, RbPairings *pairings);
/* The same across something else than coverages: families, shells or corner techniques (axis:
 * RB_FIELD_FAMILY, RB_FIELD_SHELL, RB_FIELD_TECHNIQUE). The coverage of a cell is the value of that
 * field then; dropbacks without one count as not tagged. */
void rb_selection_pairings_by(const RbSelection *selection, RbField axis,
                              RbPairings *pairings);
void rb_selection_ladder(const RbSelection *selection, RbLadder *ladder);
/* Some milliseconds: 2,000 bootstrap draws. */
void rb_selection_break(const RbSelection *selection, RbBreak *found);
/* On how many dropbacks that count the read (slot, 1 and up) was seen open. */
int rb_selection_open(const RbSelection *selection, int read);
/* The break in words, with how often its read was open. Returns: (transfer full). */
char *rb_selection_break_text(const RbSelection *selection, const RbLadder *ladder,
                              const RbBreak *found);

/* What read 1 and up is, by slot, when the filter names one concept: "Curl"; else NULLs.
 * Borrowed from the program's words. */
void rb_selection_reads(const RbSelection *selection,
                        const char *reads[RB_READS_MAX + 1]);
/* The selection of one pairing of this selection's table. Returns: (transfer full). */
RbSelection *rb_selection_narrow(const RbSelection *selection, RbConceptId concept,
                                 RbTermId coverage);
/* The pairing of at least RB_PAIRING_MIN dropbacks whose break point costs most beyond the
 * norm; false when there is none. narrowed: (out) (transfer full): the selection of it. */
bool rb_selection_costliest(const RbSelection *selection, RbSelection **narrowed);

#define RB_ANY_CONCEPT ((RbConceptId){ 0 })
#define RB_ANY_COVERAGE ((RbTermId){ 0 })
#define RB_ANY_READ (-1)
#define RB_ANY_STAGE (-1)

/* The snaps behind a cell: those that count, in game order. Any argument may be "any".
 * Returns: (transfer full): GArray of RbSnapId. */
GArray *rb_selection_snaps(const RbSelection *selection, RbConceptId concept,
                           RbTermId coverage, int read, int stage);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSnapshot, rb_snapshot_unref)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSelection, rb_selection_free)
