/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/ids.h"
#include "rb/model/words.h"

/* The staff's own words. The program stores ids; a staff renames, adds and hides. Seeded
 * terms take their id from kind and token, so that two fresh libraries agree. */
typedef struct {
    RbTermId id;
    RbTermKind kind;
    char *token;     /* owned: what the command line and JSON use: "cover-3" */
    char *name;      /* owned: what the staff reads: "Cover 3" */
    RbFamily family; /* coverages only */
    int deep;        /* coverages only: deep defenders; -1 unknown */
    int sort;
    bool hidden;
} RbTerm;

RbTermId rb_term_id(RbTermKind kind, const char *token);
/* The token of a word that the staff makes up: "Trick play!" is "trick-play", the same whoever
 * types it. Empty when nothing of the name can stay. Returns: (transfer full). */
char *rb_term_token(const char *name);
RbTerm *rb_term_new(RbTermKind kind, const char *token, const char *name);
RbTerm *rb_term_copy(const RbTerm *term);
void rb_term_free(RbTerm *term);

/* The words a new library starts with: common practice, no source.
 * Returns: (transfer full): GPtrArray of RbTerm in their order. */
GPtrArray *rb_vocabulary_defaults(void);

/* Returns: (transfer none) (nullable). terms: of RbTerm. */
const RbTerm *rb_vocabulary_find(const GPtrArray *terms, RbTermId id);
/* By token or, failing that, by name, any case. */
const RbTerm *rb_vocabulary_find_text(const GPtrArray *terms, RbTermKind kind,
                                      const char *text);
/* "Cover 3", or "?" for an unknown id. Returns: (transfer none). */
const char *rb_vocabulary_name(const GPtrArray *terms, RbTermId id);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbTerm, rb_term_free)
