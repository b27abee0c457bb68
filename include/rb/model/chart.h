/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/concept.h"

/* What the defence presents on one side. */
typedef struct {
    RbTechnique technique;
    int cushion_tenths; /* tenths of a yard, corner to receiver at the snap; -1 unknown */
    RbLeverage leverage;
    int cushion_pm_tenths; /* plus or minus of one measured on the film; 0: told by a person */
    int split_tenths; /* the outside receiver from the ball, across the field; -1 unknown */
    int split_pm_tenths; /* as of the cushion */
} RbSideShown;

/* At the snap, after motion. */
typedef struct {
    RbShell shell;
    RbRotation rotation; /* hinted */
    RbSideShown left;
    RbSideShown right;
} RbPictureShown;

/* After the snap. */
typedef struct {
    RbTermId coverage; /* 0 unknown */
    RbRotation rotation;
    RbTechnique left;
    RbTechnique right;
    RbYesNo safety_left; /* a half-field safety over that side */
    RbYesNo safety_right;
    int rushers;       /* -1 unknown */
    RbYesNo unblocked; /* a rusher nobody blocks */
    RbSide unblocked_side;
} RbPicturePlayed;

typedef struct {
    RbCallKind kind;
    RbConceptId first; /* the concept; of a split call the left one, of an across call the
                         * one read first */
    RbConceptId second; /* split and across calls; else 0 */
    RbSide first_side;  /* of a single or across call: where the first concept is */
} RbCall;

/* One staff member's tags of one snap. Unknown is always a value. */
typedef struct {
    RbChartId id; /* from snap and author */
    RbSnapId snap;
    RbPersonId author;
    RbCall call;
    RbSide side_worked;
    RbPictureShown shown;
    RbPicturePlayed played;
    RbYesNo adjusted;           /* was any adjustment made? */
    RbTermId adjustment;        /* which, when `adjusted` is yes; 0 unknown */
    RbLook looks[RB_READS_MAX]; /* by place in the call's order: see rb/read/order.h */
    RbBall ball;
    int ball_read;  /* number in the call's order, when ball is RB_BALL_READ; 0 unknown */
    int release_ms; /* after the snap; -1 unknown; marks on film come first */
    int release_pm_ms; /* plus or minus; 0 exact */
    RbPressure pressure;
    int pressure_ms; /* when it came; -1 unknown */
    RbMovement movement;
    RbContact contact;
    RbThrow throw_;
    RbCatch catch_;
    RbFault fault;
    int fault_read;   /* the read it touched; 0: the whole play */
    char *note;       /* owned, nullable */
    int64_t stamp_us; /* when it was last changed, Unix time; 0 never */
} RbChart;

RbChartId rb_chart_id(RbSnapId snap, RbPersonId author);
RbChart *rb_chart_new(RbSnapId snap, RbPersonId author);
RbChart *rb_chart_copy(const RbChart *chart);
void rb_chart_free(RbChart *chart);

/* The concept a dropback is credited to: the one worked (of a split call the left or the right
 * one, of an across call the first). 0 while that is unknown. */
RbConceptId rb_chart_concept(const RbChart *chart);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbChart, rb_chart_free)
