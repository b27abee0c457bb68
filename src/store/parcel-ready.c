/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/error.h"

#include "parcel-merge.h"
#include "statement-private.h"

bool rb_merge_is_in(const RbMerge *merge, int64_t number)
{
    return number <= merge->known;
}

int64_t rb_merge_number(const RbMerge *merge, guint i)
{
    return merge->parcel->first + (int64_t)i;
}

static void keep(GHashTable *lasts, int64_t laptop, int64_t last)
{
    g_hash_table_insert(lasts, g_memdup2(&laptop, sizeof laptop),
                        g_memdup2(&last, sizeof last));
}

/* Ops of a laptop come in order, so its last tells of all. -1 on failure. */
static int64_t last_seq(RbMerge *merge, int64_t laptop, GError **error)
{
    const int64_t *kept = g_hash_table_lookup(merge->last_seqs, &laptop);
    if (kept != NULL) {
        return *kept;
    }
    int64_t last = 0;
    g_autofree char *sql = g_strdup_printf(
        "SELECT max(seq) FROM op WHERE author = %" G_GINT64_FORMAT, laptop);
    if (!rb_sqlite_int(merge->store->db, merge->store->path, sql, 0, &last, error)) {
        return -1;
    }
    keep(merge->last_seqs, laptop, last);
    return last;
}

/* As last_seq(), of another laptop's actions. */
static int64_t last_number(RbMerge *merge, int64_t laptop, GError **error)
{
    const int64_t *kept = g_hash_table_lookup(merge->last_numbers, &laptop);
    if (kept != NULL) {
        return *kept;
    }
    const int64_t last = rb_store_last_action(merge->store, laptop, error);
    if (last >= 0) {
        keep(merge->last_numbers, laptop, last);
    }
    return last;
}

static void wait_for(RbMerge *merge, int64_t laptop, int64_t number)
{
    merge->report->outcome = RB_PARCEL_WAITS;
    merge->report->missing_laptop = laptop;
    merge->report->missing_number = number;
}

/* Whether an op that another builds on is here, or comes before it in the parcel: of a parcel
 * itself only ops before `before`. True with report WAITS when not. */
static bool need_op(RbMerge *merge, RbOpId id, int64_t before, bool *ready,
                    GError **error)
{
    if (id.author == 0) {
        return true;
    }
    int64_t last = before - 1;
    if (id.author != merge->parcel->laptop) {
        last = last_seq(merge, id.author, error);
    }
    if (last >= 0 && id.seq > last) {
        wait_for(merge, id.author, 0);
        *ready = false;
    }
    return last >= 0;
}

static bool need_action(RbMerge *merge, RbActionId id, int64_t before, bool *ready,
                        GError **error)
{
    if (id.laptop == 0) {
        return true;
    }
    int64_t last = before - 1;
    if (id.laptop != merge->parcel->laptop) {
        last = last_number(merge, id.laptop, error);
    }
    if (last >= 0 && id.number > last) {
        wait_for(merge, id.laptop, id.number);
        *ready = false;
    }
    return last >= 0;
}

/* Whether everything is here that one action builds on. seq: of the op before its first. */
static bool check_action_ready(RbMerge *merge, const RbParcelAction *action,
                               int64_t number, int64_t seq, bool *ready, GError **error)
{
    if (!need_action(merge, action->target, number, ready, error)) {
        return false;
    }
    for (guint j = 0; j < action->ops->len && *ready; j++) {
        const RbParcelOp *op = g_ptr_array_index(action->ops, j);
        seq++;
        if (!need_op(merge, op->of, seq, ready, error)) {
            return false;
        }
        for (guint k = 0; k < op->base->len; k++) {
            if (!need_op(merge, g_array_index(op->base, RbOpId, k), seq, ready, error)) {
                return false;
            }
        }
    }
    return true;
}

bool rb_merge_count_ready(RbMerge *merge, GError **error)
{
    const RbParcel *parcel = merge->parcel;
    if (parcel->first > merge->known + 1) {
        wait_for(merge, parcel->laptop, parcel->first - 1);
        return true;
    }
    int64_t seq = parcel->seq_before;
    bool ready = true;
    for (guint i = 0; i < parcel->actions->len && ready; i++) {
        const RbParcelAction *action = g_ptr_array_index(parcel->actions, i);
        if (!rb_merge_is_in(merge, rb_merge_number(merge, i)) &&
            !check_action_ready(merge, action, rb_merge_number(merge, i), seq, &ready,
                                error)) {
            return false;
        }
        seq += action->ops->len;
        merge->ready += ready ? 1 : 0;
    }
    return true;
}

bool rb_merge_check_numbers(RbMerge *merge, const char *name, GError **error)
{
    int64_t seq = merge->parcel->seq_before;
    for (guint i = 0; i < merge->parcel->actions->len; i++) {
        const RbParcelAction *action = g_ptr_array_index(merge->parcel->actions, i);
        seq += rb_merge_is_in(merge, rb_merge_number(merge, i))
                   ? (int64_t)action->ops->len
                   : 0;
    }
    merge->seq = last_seq(merge, merge->parcel->laptop, error);
    if (merge->seq < 0) {
        return false;
    }
    return seq == merge->seq ||
           rb_error_set(
               error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
               "The file %s does not go on where that laptop's work here ends, so "
               "nothing of it was taken; ask who sent it to send everything anew.",
               name);
}
