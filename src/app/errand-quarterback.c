/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "errand-quarterback.h"

#include "errands.h"

void rb_quarterback_ask_free(void *pointer)
{
    RbQuarterbackAsk *ask = pointer;
    rb_snapshot_unref(ask->snapshot);
    g_free(ask);
}

void rb_quarterback_answer_free(void *pointer)
{
    RbQuarterbackAnswer *answer = pointer;
    for (int i = 0; i < RB_QUARTERBACK_FIELDS; i++) {
        g_ptr_array_unref(answer->groups[i]);
    }
    g_array_unref(answer->quarterbacks);
    rb_quarterback_free(answer->figures);
    rb_selection_free(answer->selection);
    g_clear_pointer(&answer->filmed, g_hash_table_unref);
    g_free(answer);
}

void *rb_errand_quarterback(RbStoreSide *side, void *data, RbCancel *cancel,
                            RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    (void)error;
    const RbQuarterbackAsk *ask = data;
    g_autoptr(RbFilter) filter = rb_filter_new();
    if (ask->quarterback.value != 0) {
        rb_filter_add_value(filter, RB_FIELD_QUARTERBACK, ask->quarterback.value);
    }
    RbQuarterbackAnswer *answer = g_new0(RbQuarterbackAnswer, 1);
    answer->quarterback = ask->quarterback;
    answer->quarterbacks = rb_quarterbacks_of(ask->snapshot);
    answer->selection = rb_selection_new(ask->snapshot, filter);
    answer->figures = rb_quarterback_new(answer->selection);
    answer->filmed = rb_errand_filmed(side, answer->selection);
    for (int i = 0; i < RB_QUARTERBACK_FIELDS; i++) {
        answer->groups[i] =
            rb_quarterback_groups(answer->selection, rb_quarterback_fields[i]);
    }
    return answer;
}
