/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/film/cutter.h"
#include "rb/model/cutup.h"
#include "rb/model/film-drawing.h"
#include "rb/work/library.h"

/* Cut-ups of a library: made from snaps or from a filter, ordered, watched, exported. Each
 * change is one action that can be undone. */

/* By name: of RbCutup. Returns: (transfer full). */
GPtrArray *rb_library_load_cutups(RbLibrary *library, GError **error);
/* What a person typed: name in any case, or id. Returns: (transfer full). */
RbCutup *rb_library_find_cutup(RbLibrary *library, const char *text, GError **error);
/* The clips in their order, of RbCutupEntry. A live list holds what its filter accepts now, in
 * the order of the games but for clips that were moved, each as it was set or else as the list
 * says. A filter on RB_FIELD_COUNTS holds it to what the ladder counts. Returns: (transfer
 * full). */
GPtrArray *rb_library_load_cutup_entries(RbLibrary *library, const RbCutup *cutup,
                                         GError **error);

/* cut: (nullable): how the clips are shown. filter: (nullable): what the snaps were found with,
 * kept so that the list can be made to follow it. id: (inout) (nullable): not 0: the id it gets.
 * A name that is taken gets a number behind it. */
bool rb_library_make_cutup(RbLibrary *library, const char *name, const RbCut *cut,
                           const RbFilter *filter, const RbSnapId *snaps, int n,
                           RbCutupId *id, GError **error);
bool rb_library_make_live_cutup(RbLibrary *library, const char *name, const RbCut *cut,
                                const RbFilter *filter, RbCutupId *id, GError **error);
/* Behind the last clip. Not of a live list. */
bool rb_library_add_to_cutup(RbLibrary *library, RbCutupId id, const RbSnapId *snaps,
                             int n, GError **error);
/* Name, note, and how new clips are shown. */
bool rb_library_save_cutup(RbLibrary *library, const RbCutup *cutup, GError **error);
bool rb_library_remove_cutup(RbLibrary *library, RbCutupId id, GError **error);
/* How one clip is shown, and its note; its place in the list stays. */
bool rb_library_save_cutup_entry(RbLibrary *library, const RbCutupEntry *entry,
                                 GError **error);
/* All clips are shown so, and those that will join the list too, but for loops and freeze. Notes
 * and order stay. */
bool rb_library_set_all_cuts(RbLibrary *library, RbCutupId id, const RbCut *cut,
                             GError **error);
/* Not of a live list. */
bool rb_library_remove_cutup_entry(RbLibrary *library, RbCutupEntryId id, GError **error);
/* Moves clip `from` so that it is clip `to`; counted from 0. */
bool rb_library_move_cutup_entry(RbLibrary *library, RbCutupId id, int from, int to,
                                 GError **error);
/* A live list keeps the snaps that it has now, and remembers its filter. */
bool rb_library_fix_cutup(RbLibrary *library, RbCutupId id, GError **error);
/* A fixed list follows the filter that it was made with from now on; clips that are in both keep
 * order, settings and notes. False with a sentence when it was made without one. */
bool rb_library_follow_cutup(RbLibrary *library, RbCutupId id, GError **error);

/* One clip, ready to be shown. */
typedef struct {
    RbCutupEntry *entry; /* owned */
    char *title;         /* owned: "Week 3 at Harbor City, snap 34" */
    char *subtitle;      /* owned: situation, call against coverage */
    GPtrArray *card;     /* owned, of char *: lines of its title card; none: no card */
    char *film_title;    /* owned, nullable */
    char *path;          /* owned, nullable: where the film lies */
    char *beside;        /* owned, nullable: the film on the right */
    int64_t first;       /* frames of the film */
    int64_t last;
    int64_t anchor; /* the snap in both films */
    int64_t beside_anchor;
    int64_t freeze;             /* -1: none */
    RbTime first_time;          /* on the film's clock */
    int64_t length_us;          /* of the span at its own speed */
    int64_t frame_us;           /* about */
    int64_t freeze_at_us;       /* from the first frame */
    GPtrArray *drawings;        /* owned, of RbFilmDrawing: over the film */
    GPtrArray *beside_drawings; /* owned: over the film on the right */
    char *missing; /* owned, nullable: why it cannot be shown, one sentence */
} RbCutupClip;

typedef struct {
    RbCutup *cutup;   /* owned */
    GPtrArray *clips; /* owned, of RbCutupClip */
    bool names;       /* players are named */
} RbCutupPlan;

/* names: with players' names and jerseys. A plain value for any thread. */
RbCutupPlan *rb_library_plan_cutup(RbLibrary *library, RbCutupId id, bool names,
                                   GError **error);
/* Returns: (transfer full): for another thread. */
RbCutupPlan *rb_cutup_plan_copy(const RbCutupPlan *plan);
void rb_cutup_plan_free(RbCutupPlan *plan);

#define RB_CARD_MS 3000

/* How long a clip is in the whole, its card too; 0 when it is missing. */
int64_t rb_cutup_clip_us(const RbCutupClip *clip, bool cards);

typedef struct {
    bool each; /* a file a clip in the folder `path`; else one film */
    bool sound;
    bool cards;
    bool drawings; /* burned into the film */
    bool encode;
    bool skip; /* go on when a clip cannot be made */
    bool keep; /* a file that is there already is not replaced: RB_WORK_ERROR_EXISTS */
} RbCutupExport;

typedef struct {
    int files;    /* written, whole ones before a failure too */
    int left_out; /* clips */
} RbCutupMade;

/* log: (out) (nullable) (transfer full): of char *: a line a clip, what was copied, what was
 * encoded and why, what was left out. made: (out) (nullable). False also when a clip is missing, unless skipped. For worker threads. */
bool rb_cutup_export(const RbCutupPlan *plan, const char *path,
                     const RbCutupExport *options, RbCancel *cancel, RbProgress *progress,
                     GPtrArray **log, RbCutupMade *made, GError **error);

/* An export never takes away what a person did not know was there. False with a sentence,
 * RB_WORK_ERROR_EXISTS, when `path` is taken. */
bool rb_cutup_check_free(const char *path, GError **error);

/* The list for other programs, as text. Times are those of the film that rb_cutup_export()
 * makes. Each returns: (transfer full). */
char *rb_cutup_to_vtt(const RbCutupPlan *plan, bool cards); /* W3C WebVTT chapters */
char *rb_cutup_to_vtt_metadata(const RbCutupPlan *plan, bool cards); /* … JSON cues */
char *rb_cutup_to_otio(const RbCutupPlan *plan);
char *rb_cutup_to_csv(const RbCutupPlan *plan, bool cards); /* RFC 4180 */
char *rb_cutup_to_ffmetadata(const RbCutupPlan *plan, bool cards);
/* By the name's ending: .vtt, .metadata.vtt, .otio, .csv, .ffmeta. Replaces what is there. */
bool rb_cutup_write_list(const RbCutupPlan *plan, const char *path, bool cards,
                         GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbCutupPlan, rb_cutup_plan_free)
