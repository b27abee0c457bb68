/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/stats/ladder.h"

/* The ladder of a pairing or filter, drawn as in reports: rungs are reads, widths are
 * dropbacks, each ending at its stage. Up and Down choose a part, Enter opens it.
 * Signals: "chosen" (int read, int stage: -1 all), "opened". */
#define RB_TYPE_PAIRING_LADDER (rb_pairing_ladder_get_type())
G_DECLARE_FINAL_TYPE(RbPairingLadder, rb_pairing_ladder, RB, PAIRING_LADDER, GtkWidget)

/* found: (nullable). reads: what read 1 and up is, by slot, each (nullable); all copied.
 * Nothing is chosen then. */
void rb_pairing_ladder_set(RbPairingLadder *ladder, const RbLadder *figures,
                           const RbBreak *found,
                           const char *const reads[RB_READS_MAX + 1]);
void rb_pairing_ladder_get_chosen(RbPairingLadder *ladder, int *read, int *stage);
