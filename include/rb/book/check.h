/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/book/playbook.h"

/* What is wrong with a concept, or likely not meant, in words. An error makes the engine
 * ignore something; a warning is odd, but can be meant. */
typedef enum {
    RB_BOOK_NO_READS,
    RB_BOOK_NUMBER_RANGE,  /* a read's number is not 1 to 8 */
    RB_BOOK_NUMBER_TWICE,  /* two reads with one number */
    RB_BOOK_MISSING_READ,  /* a rule names a read the concept does not have */
    RB_BOOK_NEVER_MATCHES, /* a rule's conditions exclude each other, or cannot be known */
    RB_BOOK_SHADOWED,      /* a later rule always overrides this one */
    RB_BOOK_NO_EFFECT,     /* a rule that changes nothing */
    RB_BOOK_CONFLICT,      /* two rules that can match at once and say different things */
    RB_BOOK_CLOCKS_ORDER,  /* a later read's clock comes before an earlier one's */
    RB_BOOK_NO_CLOCK,      /* a live read without a clock is never late */
    RB_BOOK_NO_FOOTWORK,   /* its footwork is not in the table */
    RB_BOOK_OUTLET_NOT_LAST, /* a read stands after the outlet */
    RB_BOOK_TERM_UNKNOWN,    /* a word that the vocabulary does not have */
    RB_BOOK_NOTHING_LIVE,    /* every read is a clear-out */
} RbBookFindingKind;

typedef struct {
    RbBookFindingKind kind;
    bool is_error;
    int rule;       /* index of the rule; -1 none */
    int read;       /* number of the read; 0 none */
    char *sentence; /* owned */
} RbBookFinding;

void rb_book_finding_free(RbBookFinding *finding);

/* footwork: (nullable): the default table. Returns: (transfer full): of RbBookFinding, errors
 * first, each group in the concept's own order. */
GPtrArray *rb_book_check(const RbConcept *concept, const GPtrArray *terms,
                         const RbFootwork *footwork);

/* A rule as a sentence: "Read 1 becomes a go, only to clear out, if the corner on its side is
 * squat and a half-field safety is over its side." Returns: (transfer full). */
char *rb_book_rule_text(const RbRule *rule, const GPtrArray *terms);
/* One condition: "the corner on its side plays squat". Returns: (transfer full). */
char *rb_book_condition_text(const RbCondition *condition, const GPtrArray *terms);
