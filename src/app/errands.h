/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/stats/measure.h"
#include "rb/work/bookmark.h"
#include "rb/work/snapshot.h"
#include "rb/work/tagging.h"

#include "bridge.h"

/* What the window asks the store thread to do: each an RbBridgeRun with the data it takes and
 * the answer it gives. Nothing here runs on the main thread but the free functions. */

/* False with a sentence when no library is open. */
bool rb_store_side_has_library(const RbStoreSide *side, GError **error);

/* RbOpenAsk → RbOpenAnswer. */
typedef struct {
    char *path;     /* owned */
    bool make_demo; /* make the demo season there if nothing is */
    bool make_new;  /* make a library without games; nothing may lie there */
    char *places;   /* owned, nullable: the file of bookmarks */
} RbOpenAsk;
typedef struct {
    RbNames *names; /* owned reference */
    char *path;     /* owned */
    char *person;   /* owned */
    RbGameId
        game; /* to begin with: the bookmark's, else the newest that has film, else the newest; 0 none */
    RbBookmark *place; /* owned, nullable: where the person was */
} RbOpenAnswer;
void rb_open_ask_free(void *ask);
void rb_open_answer_free(void *answer);
void *rb_errand_open(RbStoreSide *side, void *ask, RbCancel *cancel, RbProgress *progress,
                     GError **error);

/* RbGameId * → RbSnapsAnswer. */
typedef struct {
    RbNames *names; /* owned reference: as of now */
    RbGameId game;
    GPtrArray *snaps;   /* owned, of RbSnap */
    GHashTable *filmed; /* owned: ids (int64_t *) of the snaps that have film */
    RbSnapId
        first; /* to begin with: the first dropback with film, else the first; 0 none */
} RbSnapsAnswer;
void rb_snaps_answer_free(void *answer);
void *rb_errand_snaps(RbStoreSide *side, void *game, RbCancel *cancel,
                      RbProgress *progress, GError **error);

/* NULL → RbNames. */
void *rb_errand_names(RbStoreSide *side, void *nothing, RbCancel *cancel,
                      RbProgress *progress, GError **error);
void rb_errand_names_free(void *names);

/* RbSnapId * → RbSheet. */
void *rb_errand_sheet(RbStoreSide *side, void *snap, RbCancel *cancel,
                      RbProgress *progress, GError **error);
void rb_errand_sheet_free(void *sheet);

/* RbTagAsk → RbWordsAnswer; NULL words: nothing was different. */
typedef struct {
    RbSnapId snap;
    char *field; /* owned: token */
    char *value; /* owned */
} RbTagAsk;
typedef struct {
    char *words; /* owned, nullable */
} RbWordsAnswer;
void rb_tag_ask_free(void *ask);
/* words: (transfer full) (nullable). */
RbWordsAnswer *rb_words_answer_new(char *words);
/* What the history says of the change just made. */
RbWordsAnswer *rb_words_answer_of_history(const RbStoreSide *side, GError **error);
void rb_words_answer_free(void *answer);
void *rb_errand_tag(RbStoreSide *side, void *ask, RbCancel *cancel, RbProgress *progress,
                    GError **error);
/* RbConcept → RbWordsAnswer; NULL words: nothing was different. */
void *rb_errand_put_concept(RbStoreSide *side, void *concept, RbCancel *cancel,
                            RbProgress *progress, GError **error);
/* RbFootwork → RbWordsAnswer. */
void *rb_errand_set_footwork(RbStoreSide *side, void *footwork, RbCancel *cancel,
                             RbProgress *progress, GError **error);
/* NULL → RbWordsAnswer. */
void *rb_errand_undo(RbStoreSide *side, void *nothing, RbCancel *cancel,
                     RbProgress *progress, GError **error);
void *rb_errand_redo(RbStoreSide *side, void *nothing, RbCancel *cancel,
                     RbProgress *progress, GError **error);

/* RbSnapshot, of the same library, or NULL → RbSnapshot. */
void *rb_errand_snapshot(RbStoreSide *side, void *before, RbCancel *cancel,
                         RbProgress *progress, GError **error);
void rb_errand_snapshot_free(void *snapshot);

/* RbFiguresAsk → RbTableAnswer or RbLadderAnswer. */
typedef struct {
    RbSnapshot *snapshot; /* owned reference */
    RbFilter *filter;     /* owned */
    RbConceptId concept;  /* ladder: 0 any */
    RbTermId coverage;    /* ladder: 0 any; the value of another axis */
    RbMeasure measure;    /* table */
    RbField axis;         /* what goes across: coverage, family, shell or technique */
} RbFiguresAsk;
typedef struct {
    RbPairings pairings;
    RbMeasure measure;
    RbField axis;
    RbMeasured *figures; /* owned: of pairings.cells */
} RbTableAnswer;
typedef struct {
    RbConceptId concept;
    RbTermId coverage;
    RbField axis;
    RbLadder ladder;
    RbBreak found;
    RbSelection *selection; /* owned: the snaps behind every part */
    GHashTable *filmed;     /* owned, nullable: not known. Those of them that have film */
} RbLadderAnswer;
/* Ids (int64_t *) of a selection's snaps that have film. Returns: (transfer full) (nullable): NULL
 * when there are too many to ask. */
GHashTable *rb_errand_filmed(RbStoreSide *side, const RbSelection *selection);
void rb_figures_ask_free(void *ask);
void rb_table_answer_free(void *answer);
void rb_ladder_answer_free(void *answer);
void *rb_errand_table(RbStoreSide *side, void *ask, RbCancel *cancel,
                      RbProgress *progress, GError **error);
void *rb_errand_ladder(RbStoreSide *side, void *ask, RbCancel *cancel,
                       RbProgress *progress, GError **error);

/* NULL → a pointer that is not NULL, to a static bool: has anybody changed the library? */
void *rb_errand_watch(RbStoreSide *side, void *nothing, RbCancel *cancel,
                      RbProgress *progress, GError **error);

/* char * folder → RbWordsAnswer: looks there for every film that is not where it was. */
void *rb_errand_find_films(RbStoreSide *side, void *folder, RbCancel *cancel,
                           RbProgress *progress, GError **error);
