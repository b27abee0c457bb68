/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/compare.h"
#include "rb/work/worklist.h"

#include "errands.h"

/* What to work on, two filters side by side, and filters kept by name; see errands.h. */

/* RbFiguresAsk → RbWorklistAnswer. */
typedef struct {
    GPtrArray *items;  /* owned, of RbWorkItem */
    const char *empty; /* static: why there are none */
} RbWorklistAnswer;
void rb_worklist_answer_free(void *answer);
void *rb_errand_worklist(RbStoreSide *side, void *ask, RbCancel *cancel,
                         RbProgress *progress, GError **error);

/* RbCompareAsk → RbCompareAnswer. */
typedef struct {
    RbSnapshot *snapshot; /* owned reference */
    RbFilter *first;      /* owned */
    RbFilter *second;     /* owned */
} RbCompareAsk;
typedef struct {
    RbCompared compared;
    char *warning; /* owned, nullable */
} RbCompareAnswer;
void rb_compare_ask_free(void *ask);
void rb_compare_answer_free(void *answer);
void *rb_errand_compare(RbStoreSide *side, void *ask, RbCancel *cancel,
                        RbProgress *progress, GError **error);

/* RbSaveFilterAsk → RbWordsAnswer. */
typedef struct {
    char *name;       /* owned */
    RbFilter *filter; /* owned; NULL: the filter of that name is removed */
} RbSaveFilterAsk;
void rb_save_filter_ask_free(void *ask);
void *rb_errand_save_filter(RbStoreSide *side, void *ask, RbCancel *cancel,
                            RbProgress *progress, GError **error);
