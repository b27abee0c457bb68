/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/concept.h"
#include "rb/model/vocabulary.h"

/* What the parts of a condition and of a rule can be: for reading a file and for building a rule
 * from chosen parts. */

/* How the value of a condition is written. */
typedef enum {
    RB_FORM_WORD,   /* one of `words` */
    RB_FORM_TERM,   /* one of the vocabulary, of kind `term` */
    RB_FORM_NUMBER, /* low to high */
    RB_FORM_FLAG,   /* one of `yes` (1) and `no` (0) */
    RB_FORM_NONE,
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

/* True when the action is decided before the snap, so that only what is shown can be known. */
bool rb_book_action_is_shown(RbActionKind action);
/* True when the condition speaks of what is seen only after the snap. */
bool rb_book_condition_is_played(RbConditionKind kind);
