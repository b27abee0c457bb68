/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/work/library.h"
#include "rb/work/tagging.h"

/* Two members of the staff who charted the same snaps: where they differ, how far they agree, and
 * what they settle on. Facts belong to the snap and cannot differ. */

/* One tag on which two charts of a snap say different things; unknown is not a difference:
 * nobody contradicts a person who said nothing. */
typedef struct {
    RbSnapId snap;
    int number;
    const RbTaggable *field;
    char *first; /* owned: the value as text that rb_taggable_set() takes */
    char *second;
    char *first_shown; /* owned: for people */
    char *second_shown;
} RbDifference;

/* In order of snaps, then of fields. Returns: (transfer full) (nullable): of RbDifference. */
GPtrArray *rb_library_list_differences(RbLibrary *library, RbGameId game,
                                       RbPersonId first, RbPersonId second,
                                       GError **error);
void rb_difference_free(RbDifference *difference);

/* Both charts get the value, in one action of the person who works; undo brings back what each
 * had said. Measure the agreement before: it is of the tags as they stand.
 * words: (out) (nullable) (transfer full): "coverage of snap 34 settled on Cover 3 …". */
bool rb_library_settle_difference(RbLibrary *library, RbSnapId snap, RbPersonId first,
                                  RbPersonId second, const RbTagChange *value,
                                  char **words, GError **error);

/* How far two people agree on one tag: Cohen's kappa over the snaps both tagged. */
typedef struct {
    const RbTaggable *field;
    int both;       /* snaps on which both said something */
    int same;       /* of those, on which they said the same */
    bool has_kappa; /* false: chance alone would make them agree */
    double kappa;
    double error; /* its standard error */
} RbTagAgreement;

/* Tags with nothing in common are left out. Returns: (transfer full) (nullable): GArray of
 * RbTagAgreement, in the order of fields. */
GArray *rb_library_measure_agreement(RbLibrary *library, RbGameId game, RbPersonId first,
                                     RbPersonId second, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbDifference, rb_difference_free)
