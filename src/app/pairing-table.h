/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "pairing-view.h"

/* Concepts down, coverages across, margins first; arrows choose a cell, Enter opens it, S sorts
 * the rows by the chosen column: worst first, best first, most dropbacks.
 * Signals: "chosen" (gint64 concept, gint64 coverage: 0 for the margin), "opened". */
#define RB_TYPE_PAIRING_TABLE (rb_pairing_table_get_type())
G_DECLARE_FINAL_TYPE(RbPairingTable, rb_pairing_table, RB, PAIRING_TABLE, GtkWidget)

/* view: (transfer full) (nullable). The chosen pairing stays chosen where it still is. */
void rb_pairing_table_take_view(RbPairingTable *table, RbPairingView *view);
/* Chooses without a signal. */
void rb_pairing_table_choose(RbPairingTable *table, RbConceptId concept,
                             RbTermId coverage);
