/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/concept.h"
#include "rb/model/vocabulary.h"

/* The playbook as text: JSON of our own form, described by schema/playbook.schema.json.
 * Times are whole milliseconds, cushions whole tenths of a yard; the staff's own words
 * (coverages, formations, adjustments) are named by their token, or as "#" and the id where
 * the vocabulary no longer has the word. Unknown keys are refused. Every message starts
 * with "Line 12: " and says what is wrong and what is allowed. */

#define RB_BOOK_ERROR (rb_book_error_quark())
typedef enum {
    RB_BOOK_ERROR_SYNTAX,  /* not JSON */
    RB_BOOK_ERROR_FORMAT,  /* JSON, but not a playbook of this format or version */
    RB_BOOK_ERROR_CONTENT, /* a value, key or reference that is not allowed */
} RbBookError;
GQuark rb_book_error_quark(void);

/* Largest text that is read, in bytes. */
#define RB_BOOK_BYTES_MAX (16 * 1024 * 1024)
#define RB_BOOK_CONCEPTS_MAX 1000
#define RB_BOOK_NAME_MAX 200 /* bytes of a name, landmark or key */
#define RB_BOOK_TOKEN_MAX 64
#define RB_BOOK_NOTES_MAX 8000
#define RB_BOOK_RULES_MAX 64
#define RB_BOOK_CONDITIONS_MAX 16

/* text: need not end in NUL. terms: of RbTerm. concepts: (out) (transfer full): of RbConcept
 * in the file's order, with the id hashed from the token and no revision; set only on
 * success. */
bool rb_book_parse(const char *text, size_t length, const GPtrArray *terms,
                   GPtrArray **concepts, GError **error);
/* The same concepts always give the same bytes. Returns: (transfer full). */
char *rb_book_print(const GPtrArray *concepts, const GPtrArray *terms);

/* One concept as a document of its own: what a revision holds. Returns: (transfer full)
 * (nullable). */
RbConcept *rb_book_concept_parse(const char *text, size_t length, const GPtrArray *terms,
                                 GError **error);
char *rb_book_concept_print(const RbConcept *concept, const GPtrArray *terms);

/* The starter playbook: examples of general trade kind, to be made one's own. Common practice,
 * no source. text: a NUL-terminated playbook file. Returns: (transfer none). */
const char *rb_book_starter_text(void);
/* terms: must hold the default vocabulary. Returns: (transfer full): of RbConcept. */
GPtrArray *rb_book_starter(const GPtrArray *terms);
