/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/quiz.h"
#include "rb/work/quarterback.h"
#include "rb/work/quiz.h"

#include "library-private.h"

/* A line with the times behind it. */
typedef struct {
    RbQuizLine *line; /* borrowed */
    GArray *times;    /* owned, of int */
} Sum;

static void sum_free(void *data)
{
    Sum *sum = data;
    g_array_unref(sum->times);
    g_free(sum);
}

static Sum *sum_new(GPtrArray *lines, RbTermId coverage, const char *name)
{
    RbQuizLine *line = g_new0(RbQuizLine, 1);
    line->coverage = coverage;
    line->name = name;
    line->median_ms = -1;
    g_ptr_array_add(lines, line);
    Sum *sum = g_new0(Sum, 1);
    sum->line = line;
    sum->times = g_array_new(FALSE, FALSE, sizeof(int));
    return sum;
}

static void add_answer(const Sum *sum, const RbQuizAnswer *answer)
{
    RbQuizLine *line = sum->line;
    line->asked++;
    line->shells += answer->shell_right != RB_YES_NO_UNKNOWN ? 1 : 0;
    line->shells_right += answer->shell_right == RB_YES ? 1 : 0;
    line->firsts += answer->first_right != RB_YES_NO_UNKNOWN ? 1 : 0;
    line->firsts_right += answer->first_right == RB_YES ? 1 : 0;
    line->reads_right += answer->read_right == RB_YES ? 1 : 0;
    if (answer->thinking_ms >= 0) {
        g_array_append_val(sum->times, answer->thinking_ms);
    }
}

static Sum *sum_of(GPtrArray *sums, GPtrArray *lines, const RbNames *names,
                   RbTermId coverage)
{
    for (guint i = 0; i < sums->len; i++) {
        Sum *sum = g_ptr_array_index(sums, i);
        if (sum->line->coverage.value == coverage.value) {
            return sum;
        }
    }
    Sum *sum = sum_new(lines, coverage, rb_names_term(names, coverage));
    g_ptr_array_add(sums, sum);
    return sum;
}

static void finish(const Sum *sum)
{
    if (sum->times->len > 0) {
        sum->line->median_ms = rb_median_ms(sum->times);
    }
}

static int by_asked(gconstpointer left, gconstpointer right)
{
    const RbQuizLine *a = *(RbQuizLine *const *)left;
    const RbQuizLine *b = *(RbQuizLine *const *)right;
    return a->asked != b->asked ? b->asked - a->asked : g_strcmp0(a->name, b->name);
}

GPtrArray *rb_quiz_report(RbLibrary *library, const RbSnapshot *snapshot,
                          RbPersonId person, GError **error)
{
    g_autoptr(GPtrArray) answers =
        rb_store_list_quiz_answers(rb_library_store(library), person, error);
    if (answers == NULL) {
        return NULL;
    }
    const RbNames *names = rb_snapshot_get_names(snapshot);
    GPtrArray *lines = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GPtrArray) sums = g_ptr_array_new_with_free_func(sum_free);
    g_autoptr(GPtrArray) last = g_ptr_array_new_with_free_func(g_free);
    Sum *all = sum_new(last, (RbTermId){ 0 }, NULL);
    for (guint i = 0; i < answers->len; i++) {
        const RbQuizAnswer *answer = answers->pdata[i];
        RbDropback row;
        const bool there = rb_snapshot_find_row(snapshot, answer->snap, &row);
        const RbTermId coverage = there ? row.coverage : (RbTermId){ 0 };
        add_answer(sum_of(sums, lines, names, coverage), answer);
        add_answer(all, answer);
    }
    for (guint i = 0; i < sums->len; i++) {
        finish(g_ptr_array_index(sums, i));
    }
    finish(all);
    sum_free(all);
    g_ptr_array_sort(lines, by_asked);
    g_ptr_array_add(lines, g_ptr_array_steal_index(last, 0));
    return lines;
}
