/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/vocabulary.h"
#include "rb/store/store.h"

/* The staff's words, concepts and their revisions, settings. The pattern is that of
 * staff.h. */

RbTerm *rb_store_load_term(RbStore *store, RbTermId id, GError **error);
/* Every kind, hidden ones too; by kind, sort, name. */
GPtrArray *rb_store_list_terms(RbStore *store, GError **error);
bool rb_store_save_term(RbStore *store, const RbTerm *term, GError **error);

/* A concept as the library keeps it: the document is the concept in the playbook file's
 * format, which book reads and writes. A revision is one state of that document and never
 * changes; its id is hashed from concept and document, so saving an old state again, here or
 * on another laptop, names the old revision. */
typedef struct {
    RbConceptId id;
    RbRevisionId revision;
    char *token;    /* owned */
    char *name;     /* owned */
    char *document; /* owned */
} RbConceptRow;

RbConceptRow *rb_concept_row_new(RbConceptId id, const char *token, const char *name,
                                 const char *document);
void rb_concept_row_free(RbConceptRow *row);

/* With the current revision. */
RbConceptRow *rb_store_load_concept(RbStore *store, RbConceptId id, GError **error);
/* By name; the current revision of each. */
GPtrArray *rb_store_list_concepts(RbStore *store, GError **error);
/* The concept as it was in a revision (name and token are today's). */
RbConceptRow *rb_store_load_revision(RbStore *store, RbRevisionId id, GError **error);
/* Makes a revision if the document is new, and makes it the current one. row->revision is
 * not read. revision: (out) (nullable). */
bool rb_store_save_concept(RbStore *store, const RbConceptRow *row,
                           RbRevisionId *revision, GError **error);

/* Shared settings of the staff: success profile, footwork table, required tags. get: NULL
 * without `error` when never set; (transfer full). set: NULL unsets; needs an action. */
char *rb_store_get_setting(RbStore *store, const char *name, GError **error);
bool rb_store_set_setting(RbStore *store, const char *name, const char *value,
                          GError **error);

/* Local: what this computer remembers of its windows. No action, no history. */
char *rb_store_get_state(RbStore *store, const char *name, GError **error);
bool rb_store_set_state(RbStore *store, const char *name, const char *value,
                        GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbConceptRow, rb_concept_row_free)
