/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/stats/ladder.h"

/* One read of the ladder of a pairing or filter. */
typedef struct {
    int read;    /* slot; 0: not judged, or no read to book it on */
    char *title; /* owned: "Curl", "No read" */
    RbLadderCell cells[RB_STAGES];
    RbLadderCell sum;
} RbLadderRow;

typedef struct {
    GPtrArray *rows; /* owned, of RbLadderRow: reads that have dropbacks, in order */
    RbBreak found;
    int dropbacks;
} RbLadderView;

/* titles: by slot, NULL where unknown: titles[1] names read 1. found: (nullable).
 * Returns: (transfer full). */
RbLadderView *rb_ladder_view_new(const RbLadder *ladder, const RbBreak *found,
                                 char *const titles[RB_READS_MAX + 1]);
void rb_ladder_view_free(RbLadderView *view); /* NULL is allowed */

/* "Breaks at read 2, eyes: 6 of 14 dropbacks ended there, 4.1 points lost, 2.8 more than our
 * norm there. Leaning (81 % of 2,000 draws)." Returns: (transfer full). */
char *rb_break_sentence(const RbBreak *found, int dropbacks);

/* Rungs are reads, widths are dropbacks, each ending at its stage. Arrows choose a part,
 * Enter opens it. Signals: "chosen" (int read, int stage: -1 any), "opened". */
#define RB_TYPE_PAIRING_LADDER (rb_pairing_ladder_get_type())
G_DECLARE_FINAL_TYPE(RbPairingLadder, rb_pairing_ladder, RB, PAIRING_LADDER, GtkWidget)

/* view: (transfer full) (nullable). */
void rb_pairing_ladder_take_view(RbPairingLadder *ladder, RbLadderView *view);
void rb_pairing_ladder_get_chosen(RbPairingLadder *ladder, int *read, int *stage);
