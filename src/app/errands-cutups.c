/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "errands-cutups.h"

void rb_cutups_answer_free(void *data)
{
    RbCutupsAnswer *answer = data;
    if (answer != NULL) {
        g_ptr_array_unref(answer->cutups);
        rb_cutup_plan_free(answer->plan);
        rb_cutup_plan_free(answer->nameless);
        g_free(answer);
    }
}

static RbCutupId choose(const GPtrArray *cutups, RbCutupId wanted)
{
    for (guint i = 0; i < cutups->len; i++) {
        if (((const RbCutup *)cutups->pdata[i])->id.value == wanted.value) {
            return wanted;
        }
    }
    return cutups->len > 0 ? ((const RbCutup *)cutups->pdata[0])->id : (RbCutupId){ 0 };
}

void *rb_errand_cutups(RbStoreSide *side, void *data, RbCancel *cancel,
                       RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    g_autoptr(GPtrArray) cutups = rb_store_side_has_library(side, error)
                                      ? rb_library_load_cutups(side->library, error)
                                      : NULL;
    if (cutups == NULL) {
        return NULL;
    }
    const RbCutupId id = choose(cutups, *(const RbCutupId *)data);
    g_autoptr(RbCutupPlan) plan = NULL;
    g_autoptr(RbCutupPlan) nameless = NULL;
    if (id.value != 0) {
        plan = rb_library_plan_cutup(side->library, id, true, error);
        nameless =
            plan != NULL ? rb_library_plan_cutup(side->library, id, false, error) : NULL;
        if (nameless == NULL) {
            return NULL;
        }
    }
    RbCutupsAnswer *answer = g_new0(RbCutupsAnswer, 1);
    answer->cutups = g_steal_pointer(&cutups);
    answer->plan = g_steal_pointer(&plan);
    answer->nameless = g_steal_pointer(&nameless);
    return answer;
}

RbCutupAsk *rb_cutup_ask_new(RbCutupAskKind kind, RbCutupId id)
{
    RbCutupAsk *ask = g_new0(RbCutupAsk, 1);
    ask->kind = kind;
    ask->id = id;
    return ask;
}

void rb_cutup_ask_free(void *data)
{
    RbCutupAsk *ask = data;
    g_free(ask->name);
    g_clear_pointer(&ask->snaps, g_array_unref);
    rb_filter_free(ask->filter);
    rb_cutup_entry_free(ask->entry);
    rb_cutup_free(ask->cutup);
    g_free(ask);
}

static bool change(RbLibrary *library, RbCutupAsk *ask, GError **error)
{
    switch (ask->kind) {
    case RB_CUTUP_ASK_MAKE:
        return rb_library_make_cutup(library, ask->name, NULL, ask->filter,
                                     (const RbSnapId *)(const void *)ask->snaps->data,
                                     (int)ask->snaps->len, &ask->id, error);
    case RB_CUTUP_ASK_MAKE_LIVE:
        return rb_library_make_live_cutup(library, ask->name, NULL, ask->filter, &ask->id,
                                          error);
    case RB_CUTUP_ASK_ADD:
        return rb_library_add_to_cutup(library, ask->id,
                                       (const RbSnapId *)(const void *)ask->snaps->data,
                                       (int)ask->snaps->len, error);
    case RB_CUTUP_ASK_MOVE:
        return rb_library_move_cutup_entry(library, ask->id, ask->from, ask->to, error);
    case RB_CUTUP_ASK_TAKE_OUT:
        return rb_library_remove_cutup_entry(library, ask->entry->id, error);
    case RB_CUTUP_ASK_SAVE_ENTRY:
        return rb_library_save_cutup_entry(library, ask->entry, error);
    case RB_CUTUP_ASK_SET_ALL:
        return rb_library_set_all_cuts(library, ask->id, &ask->entry->cut, error);
    case RB_CUTUP_ASK_SAVE:
        return rb_library_save_cutup(library, ask->cutup, error);
    case RB_CUTUP_ASK_FOLLOW:
        return rb_library_follow_cutup(library, ask->id, error);
    case RB_CUTUP_ASK_FIX:
        return rb_library_fix_cutup(library, ask->id, error);
    case RB_CUTUP_ASK_REMOVE:
        return rb_library_remove_cutup(library, ask->id, error);
    }
    return false;
}

void *rb_errand_change_cutup(RbStoreSide *side, void *data, RbCancel *cancel,
                             RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    return rb_store_side_has_library(side, error) && change(side->library, data, error)
               ? rb_words_answer_of_history(side, error)
               : NULL;
}
