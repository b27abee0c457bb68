/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/book/playbook.h"

#include "place.h"

/* Words of the staff in the file: the token, or "#" and the id. */
char *rb_book_term_print(RbTermId id, RbTermKind kind, const GPtrArray *terms);
bool rb_book_term_parse(const RbNode *node, RbTermKind kind, const GPtrArray *terms,
                        RbTermId *id, GError **error);

/* How the value of a condition is written. */
typedef enum {
    RB_VALUE_WORD,   /* one of `words` */
    RB_VALUE_TERM,   /* one of the vocabulary, of kind `term` */
    RB_VALUE_NUMBER, /* low to high */
    RB_VALUE_FLAG,   /* one of `yes` (1) and `no` (0) */
    RB_VALUE_NONE,
} RbValueForm;

typedef struct {
    RbValueForm form;
    bool sided; /* `where` counts */
    const RbWords *words;
    RbTermKind term;
    int low;
    int high;
    const char *yes;
    const char *no;
} RbConditionForm;

const RbConditionForm *rb_book_condition_form(RbConditionKind kind);
