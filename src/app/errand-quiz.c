/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "errand-quiz.h"

void rb_quiz_want_free(void *pointer)
{
    RbQuizWant *want = pointer;
    rb_snapshot_unref(want->snapshot);
    g_free(want);
}

void rb_quiz_set_free(void *pointer)
{
    RbQuizSet *set = pointer;
    if (set != NULL) {
        g_clear_pointer(&set->questions, g_ptr_array_unref);
        g_clear_pointer(&set->sheets, g_ptr_array_unref);
        g_clear_pointer(&set->report, g_ptr_array_unref);
        rb_snapshot_unref(set->snapshot);
        g_free(set->name);
        g_free(set->today);
        g_free(set);
    }
}

static bool load_sheets(RbLibrary *library, RbQuizSet *set, GError **error)
{
    set->sheets = g_ptr_array_new_with_free_func(rb_errand_sheet_free);
    for (guint i = 0; i < set->questions->len; i++) {
        const RbQuizQuestion *question = set->questions->pdata[i];
        RbSheet *sheet = rb_library_load_sheet(library, question->snap, error);
        if (sheet == NULL) {
            return false;
        }
        g_ptr_array_add(set->sheets, sheet);
    }
    return true;
}

void *rb_errand_quiz(RbStoreSide *side, void *data, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbQuizWant *want = data;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    g_autoptr(RbFilter) filter = rb_filter_new();
    if (want->quarterback.value != 0) {
        rb_filter_add_value(filter, RB_FIELD_QUARTERBACK, want->quarterback.value);
    }
    g_autoptr(RbSelection) selection = rb_selection_new(want->snapshot, filter);
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    RbQuizSet *set = g_new0(RbQuizSet, 1);
    set->snapshot = rb_snapshot_ref(want->snapshot);
    set->person = rb_library_get_person(side->library);
    set->name = g_strdup(rb_library_get_person_name(side->library));
    set->today = g_date_time_format(now, "%Y-%m-%d");
    set->questions = rb_quiz_questions(side->library, selection, set->person, set->today,
                                       RB_QUIZ_ROUND, error);
    set->report = set->questions != NULL
                      ? rb_quiz_report(side->library, want->snapshot, set->person, error)
                      : NULL;
    if (set->report == NULL || !load_sheets(side->library, set, error)) {
        rb_quiz_set_free(set);
        return NULL;
    }
    return set;
}

void rb_quiz_answer_free_data(void *answer)
{
    rb_quiz_answer_free(answer);
}

void *rb_errand_keep_quiz(RbStoreSide *side, void *data, RbCancel *cancel,
                          RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    if (!rb_store_side_has_library(side, error) ||
        !rb_quiz_keep(side->library, data, error)) {
        return NULL;
    }
    rb_library_has_changed(side->library); /* no figure hangs on an answer */
    return g_new0(RbWordsAnswer, 1);
}
