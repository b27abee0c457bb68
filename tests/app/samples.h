/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "drive-strip.h"
#include "mark-track.h"
#include "pairing-ladder.h"
#include "pairing-table.h"
#include "read-ladder.h"

/* Made-up values for looking at the drawn widgets and for testing them. */

/* 24 snaps of two teams in three drives; snap ids are their numbers. Of RbSnap. */
GPtrArray *rb_sample_snaps(void);
/* A single-concept order of four reads, the third dead; ball on read 2, late. */
void rb_sample_judgment(RbChart *chart, RbJudgment *judgment);
/* Concept names by id 1 to 5 and coverage names by id 1 to 6, for rb_pairing_view_new(). */
const char *rb_sample_concept(const void *names, RbConceptId id);
const char *rb_sample_coverage(const void *names, RbTermId id);
/* A table with a strong, a weak, a thin and an empty cell. */
RbPairingView *rb_sample_pairing_view(void);
/* 14 dropbacks that break at read 2, eyes. */
void rb_sample_ladder(RbLadder *ladder, RbBreak *found);

GtkWidget *rb_sample_strip(void);
GtkWidget *rb_sample_track(void);
GtkWidget *rb_sample_table(void);
GtkWidget *rb_sample_read_ladder(void);
GtkWidget *rb_sample_pairing_ladder(void);
