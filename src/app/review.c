/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "review.h"

#include <glib/gi18n.h>

#include "rb/work/missing.h"

void rb_review_answer_free(void *pointer)
{
    RbReviewAnswer *answer = pointer;
    rb_names_unref(answer->names);
    g_clear_pointer(&answer->rows, g_ptr_array_unref);
    g_clear_pointer(&answer->open_ends, g_ptr_array_unref);
    g_clear_pointer(&answer->lines, g_ptr_array_unref);
    g_clear_pointer(&answer->differences, g_ptr_array_unref);
    g_clear_pointer(&answer->agreement, g_array_unref);
    g_free(answer);
}

static bool fill_two(RbReviewAnswer *answer, RbLibrary *library, const RbReviewAsk *ask,
                     GError **error)
{
    answer->differences =
        rb_library_list_differences(library, ask->game, ask->first, ask->second, error);
    if (answer->differences == NULL) {
        return false;
    }
    answer->agreement =
        rb_library_measure_agreement(library, ask->game, ask->first, ask->second, error);
    return answer->agreement != NULL;
}

static bool fill(RbReviewAnswer *answer, RbLibrary *library, const RbReviewAsk *ask,
                 GError **error)
{
    switch (ask->page) {
    case RB_REVIEW_NONE:
        return true;
    case RB_REVIEW_SNAPS:
        answer->rows = rb_library_load_snap_rows(library, ask->game, error);
        return answer->rows != NULL;
    case RB_REVIEW_OPEN_ENDS:
        answer->open_ends = rb_library_find_open_ends(library, ask->game, error);
        return answer->open_ends != NULL;
    case RB_REVIEW_HISTORY:
        answer->lines = rb_library_load_history(library, ask->limit, error);
        return answer->lines != NULL;
    case RB_REVIEW_TWO:
        return fill_two(answer, library, ask, error);
    }
    return false;
}

void *rb_errand_review(RbStoreSide *side, void *data, RbCancel *cancel,
                       RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbReviewAsk *ask = data;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    RbReviewAnswer *answer = g_new0(RbReviewAnswer, 1);
    answer->page = ask->page;
    answer->names = rb_library_load_names(side->library, error);
    answer->person = rb_library_get_person(side->library);
    answer->blind = rb_library_is_blind(side->library);
    if (answer->names == NULL || !fill(answer, side->library, ask, error)) {
        rb_review_answer_free(answer);
        return NULL;
    }
    return answer;
}

/* words: (transfer full) (nullable). */
static RbWordsAnswer *words_answer(char *words)
{
    return rb_words_answer_new(words);
}

void rb_many_ask_free(void *pointer)
{
    RbManyAsk *ask = pointer;
    g_array_unref(ask->snaps);
    g_free(ask->field);
    g_free(ask->value);
    g_free(ask);
}

void *rb_errand_tag_snaps(RbStoreSide *side, void *data, RbCancel *cancel,
                          RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbManyAsk *ask = data;
    char *words = NULL;
    const RbTagChange change = { ask->field, ask->value };
    return rb_store_side_has_library(side, error) &&
                   rb_library_tag_snaps(side->library, ask->snaps, change, &words, error)
               ? words_answer(words)
               : NULL;
}

void rb_settle_ask_free(void *pointer)
{
    RbSettleAsk *ask = pointer;
    g_free(ask->field);
    g_free(ask->value);
    g_free(ask);
}

void *rb_errand_settle(RbStoreSide *side, void *data, RbCancel *cancel,
                       RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbSettleAsk *ask = data;
    char *words = NULL;
    const RbTagChange value = { ask->field, ask->value };
    return rb_store_side_has_library(side, error) &&
                   rb_library_settle_difference(side->library, ask->snap, ask->first,
                                                ask->second, &value, &words, error)
               ? words_answer(words)
               : NULL;
}

void rb_who_ask_free(void *pointer)
{
    RbWhoAsk *ask = pointer;
    g_free(ask->person);
    g_free(ask);
}

void *rb_errand_who(RbStoreSide *side, void *data, RbCancel *cancel, RbProgress *progress,
                    GError **error)
{
    (void)cancel;
    (void)progress;
    const RbWhoAsk *ask = data;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    rb_library_work_as(side->library, ask->person);
    rb_library_set_blind(side->library, ask->blind);
    return words_answer(g_strdup_printf(
        ask->blind ? _("%s charts, without seeing the charts of others") : _("%s charts"),
        ask->person));
}
