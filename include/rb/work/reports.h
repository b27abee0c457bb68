/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/film/picture.h"
#include "rb/report/document.h"
#include "rb/report/words.h"
#include "rb/work/library.h"
#include "rb/work/snapshot.h"

/* What leaves the program on paper or as a file, from a selection: for Monday's meeting, for
 * the sideline, for a slide, for a spreadsheet. */

/* Names for report's functions. Valid as long as `names`. */
RbReportNames rb_report_names(const RbNames *names);

/* Ladders on a page at most. */
#define RB_REPORT_LADDERS 6

typedef enum {
    RB_REPORT_PAGE,        /* the pairing table and the worst break points: .html, .pdf */
    RB_REPORT_PAIRING,     /* one page of the selection as one pairing: .pdf */
    RB_REPORT_BOOK,        /* the table, then a page for every pairing: .pdf */
    RB_REPORT_CALL_SHEET,  /* best concepts by situation and coverage: .pdf */
    RB_REPORT_FIGURES,     /* the table for a spreadsheet: .csv, .xlsx */
    RB_REPORT_TABLE_CHART, /* the table as a picture: .svg, .png */
    RB_REPORT_LADDER_CHART, /* the ladder as a picture: .svg, .png */
    RB_REPORT_KINDS,
} RbReportKind;
extern const RbWords rb_report_kind_words;

/* Where the film of each snap lies, for the frames on a page. Loaded on the library's thread,
 * then used by one thread at a time; it waits for the film. */
typedef struct RbStills RbStills;

/* Films that are not found have no frames. cancel: (nullable). Returns: (transfer full)
 * (nullable): with `error`. */
RbStills *rb_stills_load(RbLibrary *library, RbCancel *cancel, GError **error);
void rb_stills_free(RbStills *stills); /* NULL is allowed */
/* The frame of a snap at which its read's clock was up, or the ball was gone; made small.
 * Returns: (transfer full) (nullable): NULL when it cannot be had; `error` only when
 * cancelled. */
RbPicture *rb_stills_fetch(RbStills *stills, const RbSnapshot *snapshot, RbSnapId snap,
                           RbCancel *cancel, GError **error);

typedef struct {
    RbReportKind kind;
    const char *title;    /* nullable */
    bool without_names;   /* leave names and numbers of players out */
    RbStills *stills;     /* nullable: no frames */
    RbCancel *cancel;     /* nullable */
    RbProgress *progress; /* nullable */
} RbReportOptions;

/* Whether `path` ends in a way that this kind can be written as. False with a sentence that
 * names the ends there are. */
bool rb_report_check_path(RbReportKind kind, const char *path, GError **error);

/* The pages of a kind that is for paper (page, pairing, book, call sheet). Returns: (transfer
 * full) (nullable): with `error`. */
RbDocument *rb_selection_document(const RbSelection *selection,
                                  const RbReportOptions *options, GError **error);

/* Writes by the end of `path`. What was there is replaced as a whole or left. */
bool rb_selection_write(const RbSelection *selection, const char *path,
                        const RbReportOptions *options, GError **error);

/* RB_REPORT_PAGE without frames. title: (nullable). */
bool rb_selection_write_report(const RbSelection *selection, const char *path,
                               const char *title, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbStills, rb_stills_free)
