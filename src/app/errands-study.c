/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "errands-study.h"

#include "rb/work/saved-filters.h"

void rb_worklist_answer_free(void *pointer)
{
    RbWorklistAnswer *answer = pointer;
    g_ptr_array_unref(answer->items);
    g_free(answer);
}

void *rb_errand_worklist(RbStoreSide *side, void *data, RbCancel *cancel,
                         RbProgress *progress, GError **error)
{
    (void)side;
    (void)progress;
    const RbFiguresAsk *ask = data;
    g_autoptr(RbSelection) selection = rb_selection_new(ask->snapshot, ask->filter);
    GPtrArray *items = rb_worklist(selection, cancel, error);
    if (items == NULL) {
        return NULL;
    }
    RbWorklistAnswer *answer = g_new0(RbWorklistAnswer, 1);
    answer->items = items;
    answer->empty = rb_worklist_empty_text(selection);
    return answer;
}

void rb_compare_ask_free(void *pointer)
{
    RbCompareAsk *ask = pointer;
    rb_snapshot_unref(ask->snapshot);
    rb_filter_free(ask->first);
    rb_filter_free(ask->second);
    g_free(ask);
}

void rb_compare_answer_free(void *pointer)
{
    RbCompareAnswer *answer = pointer;
    g_free(answer->warning);
    g_free(answer);
}

void *rb_errand_compare(RbStoreSide *side, void *data, RbCancel *cancel,
                        RbProgress *progress, GError **error)
{
    (void)side;
    (void)cancel;
    (void)progress;
    (void)error;
    const RbCompareAsk *ask = data;
    g_autoptr(RbSelection) first = rb_selection_new(ask->snapshot, ask->first);
    g_autoptr(RbSelection) second = rb_selection_new(ask->snapshot, ask->second);
    RbCompareAnswer *answer = g_new0(RbCompareAnswer, 1);
    rb_compare(first, second, &answer->compared);
    answer->warning = rb_compared_warning(&answer->compared);
    return answer;
}

void rb_save_filter_ask_free(void *pointer)
{
    RbSaveFilterAsk *ask = pointer;
    g_free(ask->name);
    rb_filter_free(ask->filter);
    g_free(ask);
}

void *rb_errand_save_filter(RbStoreSide *side, void *data, RbCancel *cancel,
                            RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbSaveFilterAsk *ask = data;
    char *words = NULL;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    const bool done =
        ask->filter != NULL
            ? rb_library_save_filter(side->library, ask->name, ask->filter, &words, error)
            : rb_library_remove_filter(side->library, ask->name, &words, error);
    if (!done) {
        return NULL;
    }
    return rb_words_answer_new(words);
}
