/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/quiz.h"

#include <string.h>

#include "rb/base/ids.h"
#include "rb/base/told.h"
#include "rb/store/films.h"
#include "rb/store/quiz.h"
#include "rb/work/quarterback.h"

#include "judging.h"
#include "library-private.h"

/* A right read named faster than this counts as known at once. */
enum { AT_ONCE_MS = 3000 };

void rb_quiz_question_free(RbQuizQuestion *question)
{
    if (question != NULL) {
        g_free(question->due_on);
        g_free(question);
    }
}

/* The snap's moment is on film: a clip with its snap mark. */
static bool has_moment(RbStore *store, RbSnapId snap, bool *has, GError **error)
{
    g_autoptr(GPtrArray) clips = rb_store_list_clips(store, snap, error);
    if (clips == NULL) {
        return false;
    }
    *has = false;
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        for (guint j = 0; clip->film.value != 0 && j < clip->marks->len; j++) {
            *has = *has || g_array_index(clip->marks, RbMark, j).kind == RB_MARK_SNAP;
        }
    }
    return true;
}

/* Where the film stops: at the clock of each live read, in the order of the clocks. */
static void find_stops(const RbOrder *order, RbQuizQuestion *question)
{
    for (int i = 0; i < order->live; i++) {
        const int ms = order->rungs[i].clock_ms;
        if (ms < 0) {
            continue;
        }
        int at = question->n_stops;
        while (at > 0 && question->stop_ms[at - 1] > ms) {
            at--;
        }
        if (at > 0 && question->stop_ms[at - 1] == ms) {
            continue;
        }
        memmove(&question->stop_ms[at + 1], &question->stop_ms[at],
                sizeof(int) * (size_t)(question->n_stops - at));
        question->stop_ms[at] = ms;
        question->n_stops++;
    }
}

static RbQuizQuestion *question_of(const RbSnapshot *snapshot, RbSnapId snap)
{
    const RbJudgment *judgment = rb_snapshot_find_judgment(snapshot, snap);
    const RbChart *chart = rb_snapshot_find_chart(snapshot, snap);
    const RbReadContext context = rb_context_for(
        rb_snapshot_get_names(snapshot), rb_snapshot_find_snap(snapshot, snap), chart);
    RbQuizQuestion *question = g_new0(RbQuizQuestion, 1);
    question->snap = snap;
    question->shell =
        chart->shown.shell != RB_SHELL_UNCLEAR ? chart->shown.shell : RB_SHELL_UNKNOWN;
    question->side = judgment->order.required_side;
    question->first_read = judgment->order.live > 0 ? judgment->order.rungs[0].slot : 0;
    question->right_read = judgment->right_slot;
    question->n_rungs = rb_order_slots(&context, chart, question->rungs);
    for (int i = 0; i < question->n_rungs; i++) {
        question->outlet =
            question->rungs[i].outlet ? question->rungs[i].slot : question->outlet;
    }
    find_stops(&judgment->order, question);
    return question;
}

/* What a person has answered about one snap, as the schedule sees it. */
typedef struct {
    RbSpacing spacing;
    int asked;
    const char *last_on; /* borrowed from the answer */
} Memory;

/* Returns: (transfer full): snap id to Memory. answers: in the order given. */
static GHashTable *remember(const GPtrArray *answers)
{
    GHashTable *memories =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, g_free);
    for (guint i = 0; i < answers->len; i++) {
        const RbQuizAnswer *answer = answers->pdata[i];
        Memory *memory = g_hash_table_lookup(memories, &answer->snap.value);
        if (memory == NULL) {
            memory = g_new0(Memory, 1);
            memory->spacing = rb_spacing_new();
            g_hash_table_insert(memories, (gpointer)&answer->snap.value, memory);
        }
        memory->spacing = rb_spacing_next(memory->spacing, rb_quiz_quality(answer));
        memory->asked++;
        memory->last_on = answer->asked_on;
    }
    return memories;
}

/* The date some days after another. Returns: (transfer full) (nullable). */
static char *date_after(const char *date, int days)
{
    int year = 0;
    int month = 0;
    int day = 0;
    if (date == NULL || strlen(date) != 10 || date[4] != '-' || date[7] != '-') {
        return NULL;
    }
    year = (int)g_ascii_strtoll(date, NULL, 10);
    month = (int)g_ascii_strtoll(date + 5, NULL, 10);
    day = (int)g_ascii_strtoll(date + 8, NULL, 10);
    if (!g_date_valid_dmy((GDateDay)day, (GDateMonth)month, (GDateYear)year)) {
        return NULL;
    }
    GDate moment;
    g_date_clear(&moment, 1);
    g_date_set_dmy(&moment, (GDateDay)day, (GDateMonth)month, (GDateYear)year);
    g_date_add_days(&moment, (guint)days);
    return g_strdup_printf("%04d-%02d-%02d", (int)g_date_get_year(&moment),
                           (int)g_date_get_month(&moment), (int)g_date_get_day(&moment));
}

/* Due ones first, the longest due first; then new ones in the order they came in. */
static int by_need(gconstpointer left, gconstpointer right)
{
    const RbQuizQuestion *a = *(RbQuizQuestion *const *)left;
    const RbQuizQuestion *b = *(RbQuizQuestion *const *)right;
    if ((a->due_on == NULL) != (b->due_on == NULL)) {
        return a->due_on == NULL ? 1 : -1;
    }
    return g_strcmp0(a->due_on, b->due_on);
}

static bool is_settled(RbVerdict verdict)
{
    return verdict != RB_VERDICT_UNGRADED && verdict != RB_VERDICT_SPOILED;
}

/* Adds a row's question when it is new or due. */
static bool add_row(RbStore *store, const RbSnapshot *snapshot, const RbDropback *row,
                    GHashTable *memories, const char *today, GPtrArray *questions,
                    GError **error)
{
    const Memory *memory = g_hash_table_lookup(memories, &row->snap.value);
    g_autofree char *due =
        memory != NULL ? date_after(memory->last_on, memory->spacing.days) : NULL;
    if (memory != NULL && (due == NULL || strcmp(due, today) > 0)) {
        return true;
    }
    bool has = false;
    if (!has_moment(store, row->snap, &has, error)) {
        return false;
    }
    if (has) {
        RbQuizQuestion *question = question_of(snapshot, row->snap);
        question->due_on = g_steal_pointer(&due);
        question->asked = memory != NULL ? memory->asked : 0;
        question->spacing = memory != NULL ? memory->spacing : rb_spacing_new();
        g_ptr_array_add(questions, question);
    }
    return true;
}

GPtrArray *rb_quiz_questions(RbLibrary *library, const RbSelection *selection,
                             RbPersonId person, const char *today, int limit,
                             GError **error)
{
    RbStore *store = rb_library_store(library);
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    g_autoptr(GPtrArray) answers = rb_store_list_quiz_answers(store, person, error);
    if (answers == NULL) {
        return NULL;
    }
    g_autoptr(GHashTable) memories = remember(answers);
    g_autoptr(GPtrArray) questions =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_quiz_question_free);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    for (int errors = 1; errors >= 0; errors--) {
        for (int i = 0; i < n; i++) {
            if (rows[i].in_ladder && is_settled(rows[i].verdict) &&
                rb_verdict_is_right(rows[i].verdict) == (errors == 0) &&
                !add_row(store, snapshot, &rows[i], memories, today, questions, error)) {
                return NULL;
            }
        }
    }
    g_ptr_array_sort(questions, by_need); /* stable: GLib sorts by merging */
    if ((int)questions->len > limit) {
        g_ptr_array_set_size(questions, limit);
    }
    return g_steal_pointer(&questions);
}

static RbYesNo yes_no(bool right)
{
    return right ? RB_YES : RB_NO;
}

void rb_quiz_score(const RbQuizQuestion *question, RbQuizAnswer *answer)
{
    answer->shell_right = question->shell == RB_SHELL_UNKNOWN
                              ? RB_YES_NO_UNKNOWN
                              : yes_no(answer->shell == question->shell);
    if (question->side != RB_SIDE_UNKNOWN) {
        answer->first_right = yes_no(answer->side == question->side);
    } else {
        answer->first_right = question->first_read > 0
                                  ? yes_no(answer->first_read == question->first_read)
                                  : RB_YES_NO_UNKNOWN;
    }
    /* With nothing open the outlet is as right as throwing to nobody. */
    answer->read_right =
        yes_no(answer->read == question->right_read ||
               (question->right_read == 0 && answer->read == question->outlet));
}

int rb_quiz_quality(const RbQuizAnswer *answer)
{
    const bool before = answer->shell_right != RB_NO && answer->first_right != RB_NO;
    if (answer->read_right != RB_YES) {
        return before ? 2 : 1;
    }
    if (!before) {
        return 3;
    }
    return answer->thinking_ms >= 0 && answer->thinking_ms <= AT_ONCE_MS ? 5 : 4;
}

bool rb_quiz_keep(RbLibrary *library, const RbQuizAnswer *answer, GError **error)
{
    g_autofree char *words = rb_told("Quiz answered");
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    RbQuizAnswer kept = *answer;
    kept.id.value = kept.id.value != 0 ? kept.id.value : rb_id_random();
    if (!rb_store_save_quiz_answer(rb_library_store(library), &kept, error)) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, false, error);
}
