/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/library.h"
#include "rb/work/log.h"

/* A play log into a game of a library. Planned first, without a change: what would be added and
 * filled, which rows cannot be used and why. Then done in one journal action, or not at all.
 *
 * A game without snaps gets one for each play. A game with snaps (from its film) keeps them:
 * plays and snaps are set side by side by order, by what both know, and by the chain of the log:
 * where it breaks a play is missing, and a snap may stand without one. What a person has tagged
 * already is kept and the difference told. */

typedef enum {
    RB_LOG_ALIGN_FIND,    /* by order, facts and the chain; asks when several ways fit */
    RB_LOG_ALIGN_ORDER,   /* first play to first snap, and so on */
    RB_LOG_ALIGN_NUMBERS, /* by the log's own numbers */
} RbLogAlign;
extern const RbWords rb_log_align_words;

typedef struct {
    const char *const *maps; /* nullable, NULL-ended: "COLUMN=FIELD" */
    RbLogYards yards;        /* unknown: found out */
    const char *us;          /* nullable */
    RbLogAlign align;
    bool overwrite; /* what the log says takes the place of what is tagged */
    bool forget;    /* nothing of earlier files of this layout is used */
} RbLogOptions;

typedef struct {
    char *file; /* owned: name without its folder */
    char *us;   /* owned, nullable: what the log calls our team, if said */
    RbGameId game;
    RbLogReading *reading; /* owned; its questions hold those of the alignment too */
    GPtrArray *changed;    /* owned, of RbSnap: as they will be; new ones with new ids */
    GPtrArray *remarks;    /* owned, of char *: sentences */
    int *number_of;        /* owned: by row, the snap's number it goes to; 0 none */
    int added;             /* new snaps */
    int filled;            /* facts that were unknown */
    int replaced;          /* facts that are tagged otherwise: replaced, or kept */
    int findings;          /* of the chain check when it is done */
    bool kept_source;      /* columns were known from an earlier file of this layout */
} RbLogPlan;

/* Reads a file of at most RB_LOG_BYTES_MAX. Returns: (transfer full) (nullable). */
GBytes *rb_log_read_file(const char *path, GError **error);

/* name: of the file. Returns: (transfer full) (nullable): a plan, also when it asks; NULL with a
 * sentence when the file cannot be used at all. */
RbLogPlan *rb_library_plan_log(RbLibrary *library, RbGameId game, GBytes *bytes,
                               const char *name, const RbLogOptions *options,
                               GError **error);
void rb_log_plan_free(RbLogPlan *plan); /* NULL is allowed */

/* "68 plays: 66 added, 2 rows left out." Returns: (transfer full). */
char *rb_log_plan_text(const RbLogPlan *plan);

/* Refuses a plan that asks, with its first question. One action, which keeps the mapping for
 * later files of the layout too. words: (out) (nullable) (transfer full): for the history. */
bool rb_library_apply_log(RbLibrary *library, const RbLogPlan *plan, char **words,
                          GError **error);

/* Writes the rows that were left out beside the log, in a file that did not exist. Returns:
 * (transfer full) (nullable): its path; NULL without `error` when there are none. */
char *rb_log_write_rejected(const RbLogPlan *plan, const char *log_path, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbLogPlan, rb_log_plan_free)
