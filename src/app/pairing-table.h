/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/stats/pairing.h"

/* The pairing table as it is shown: names beside the figures. */
typedef struct {
    int n_rows;            /* concepts */
    int n_columns;         /* coverages */
    RbConceptId *concepts; /* owned, n_rows */
    RbTermId *coverages;   /* owned, n_columns */
    char **row_names;      /* owned, NULL-terminated */
    char **column_names;   /* owned, NULL-terminated */
    RbTally *cells;        /* owned: rows x columns; dropbacks 0: never seen together */
    RbTally *rows;         /* owned: margins */
    RbTally *columns;      /* owned: margins */
    RbTally all;
} RbPairingView;

typedef const char *(*RbConceptName)(const void *names, RbConceptId id);
typedef const char *(*RbTermName)(const void *names, RbTermId id);

/* Returns: (transfer full). names: handed to the two functions. */
RbPairingView *rb_pairing_view_new(const RbPairings *pairings, const void *names,
                                   RbConceptName concept_name, RbTermName term_name);
void rb_pairing_view_free(RbPairingView *view); /* NULL is allowed */
/* row, column: -1 for the margin. */
const RbTally *rb_pairing_view_get(const RbPairingView *view, int row, int column);
/* "Smash against Cover 2: 41 % of 17 dropbacks succeed, 80 % interval 27 to 57 %."
 * Returns: (transfer full). */
char *rb_pairing_view_text(const RbPairingView *view, int row, int column);

/* Concepts down, coverages across, margins first; arrows choose a cell, Enter opens it.
 * Signals: "chosen" (gint64 concept, gint64 coverage: 0 for the margin), "opened". */
#define RB_TYPE_PAIRING_TABLE (rb_pairing_table_get_type())
G_DECLARE_FINAL_TYPE(RbPairingTable, rb_pairing_table, RB, PAIRING_TABLE, GtkWidget)

/* view: (transfer full) (nullable). The chosen pairing stays chosen where it still is. */
void rb_pairing_table_take_view(RbPairingTable *table, RbPairingView *view);
/* Chooses without a signal. */
void rb_pairing_table_choose(RbPairingTable *table, RbConceptId concept,
                             RbTermId coverage);
