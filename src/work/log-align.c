/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plays and snaps in two columns, each in order, gaps on both sides: the cheapest way by dynamic
 * programming. What both know speaks for or against a pair; a snap without a play costs little
 * where the chain of the log breaks and much where it does not. */
#include "log-align.h"

#include "rb/model/chain.h"

enum {
    PAIRS_MAX = 4000000,
    ALIKE = -2,
    DIFFERS = 6,
    SAME_NUMBER = -3,
    GAP = 9,
    GAP_AT_BREAK = 3,
};

typedef struct {
    const LogAlignment *in;
    int n;             /* rows */
    int m;             /* snaps */
    int *pair;         /* owned, n x m: cost */
    int *break_before; /* owned, n + 1: cost of a snap without a play before this row */
    int *from_start;   /* owned, (n + 1) x (m + 1) */
    int *to_end;       /* owned, the same */
} Table;

static RbLogRow *row_at(const LogAlignment *in, int i)
{
    return in->rows->pdata[i];
}

/* Two plays that do not follow from one another have something between them. */
static bool breaks(const LogAlignment *in, const RbLogRow *a, const RbLogRow *b)
{
    if (a->trouble != NULL || b->trouble != NULL) {
        return false;
    }
    g_autoptr(RbSnap) one = rb_snap_copy(a->snap);
    g_autoptr(RbSnap) other = rb_snap_copy(b->snap);
    one->number = 1;
    other->number = 2;
    g_autoptr(GPtrArray) snaps = g_ptr_array_new();
    g_ptr_array_add(snaps, one);
    g_ptr_array_add(snaps, other);
    g_autoptr(GPtrArray) findings =
        rb_chain_check(snaps, in->teams, in->ours_only, in->rules);
    for (guint i = 0; i < findings->len; i++) {
        const RbFinding *finding = findings->pdata[i];
        if (finding->field != RB_CHAIN_VALUE && finding->field != RB_CHAIN_NUMBER) {
            return true;
        }
    }
    return false;
}

/* Numbers without a gap only count the rows. */
static bool numbers_tell(const LogAlignment *in)
{
    bool gap = false;
    for (guint i = 1; i < in->rows->len; i++) {
        const int step = row_at(in, (int)i)->number - row_at(in, (int)i - 1)->number;
        if (step <= 0) {
            return false;
        }
        gap = gap || step > 1;
    }
    return gap && row_at(in, 0)->number > 0;
}

static void fill_costs(Table *table)
{
    const LogAlignment *in = table->in;
    const bool numbers = numbers_tell(in);
    for (int i = 0; i < table->n; i++) {
        const RbLogRow *row = row_at(in, i);
        for (int j = 0; j < table->m; j++) {
            const RbSnap *snap = in->snaps->pdata[j];
            int alike = 0;
            int differs = 0;
            if (row->trouble == NULL) {
                rb_log_compare(row->snap, snap, &alike, &differs);
            }
            table->pair[i * table->m + j] =
                alike * ALIKE + differs * DIFFERS +
                (numbers && row->number == snap->number ? SAME_NUMBER : 0);
        }
        table->break_before[i] =
            i > 0 && breaks(in, row_at(in, i - 1), row) ? GAP_AT_BREAK : GAP;
    }
    table->break_before[table->n] = GAP;
}

static int at(const Table *table, int i, int j)
{
    return i * (table->m + 1) + j;
}

static void run_forward(Table *table)
{
    for (int i = 0; i <= table->n; i++) {
        for (int j = 0; j <= table->m; j++) {
            int best = i == 0 && j == 0 ? 0 : G_MAXINT;
            if (i > 0) {
                best = MIN(best, table->from_start[at(table, i - 1, j)] + GAP);
            }
            if (j > 0) {
                best = MIN(best, table->from_start[at(table, i, j - 1)] +
                                     table->break_before[i]);
            }
            if (i > 0 && j > 0) {
                best = MIN(best, table->from_start[at(table, i - 1, j - 1)] +
                                     table->pair[(i - 1) * table->m + j - 1]);
            }
            table->from_start[at(table, i, j)] = best;
        }
    }
}

static void run_backward(Table *table)
{
    for (int i = table->n; i >= 0; i--) {
        for (int j = table->m; j >= 0; j--) {
            int best = i == table->n && j == table->m ? 0 : G_MAXINT;
            if (i < table->n) {
                best = MIN(best, table->to_end[at(table, i + 1, j)] + GAP);
            }
            if (j < table->m) {
                best = MIN(best,
                           table->to_end[at(table, i, j + 1)] + table->break_before[i]);
            }
            if (i < table->n && j < table->m) {
                best = MIN(best, table->to_end[at(table, i + 1, j + 1)] +
                                     table->pair[i * table->m + j]);
            }
            table->to_end[at(table, i, j)] = best;
        }
    }
}

/* Where a row can go on a cheapest way; several places are a doubt. */
static int place(const Table *table, int i, bool *doubt)
{
    const int best = table->to_end[0];
    int found = -2;
    for (int j = 0; j < table->m; j++) {
        const int whole = table->from_start[at(table, i, j)] +
                          table->pair[i * table->m + j] +
                          table->to_end[at(table, i + 1, j + 1)];
        if (whole == best) {
            *doubt = *doubt || found != -2;
            found = j;
        }
    }
    for (int j = 0; j <= table->m; j++) {
        const int whole =
            table->from_start[at(table, i, j)] + GAP + table->to_end[at(table, i + 1, j)];
        if (whole == best && found != -1) {
            *doubt = *doubt || found != -2;
            found = found == -2 ? -1 : found;
        }
    }
    return found;
}

static void table_clear(Table *table)
{
    g_free(table->pair);
    g_free(table->break_before);
    g_free(table->from_start);
    g_free(table->to_end);
}

bool rb_log_align(const LogAlignment *in, int *to, int *doubtful)
{
    Table table = { .in = in, .n = (int)in->rows->len, .m = (int)in->snaps->len };
    const size_t cells = ((size_t)table.n + 1) * ((size_t)table.m + 1);
    *doubtful = -1;
    if (cells > PAIRS_MAX) {
        return false;
    }
    table.pair = g_new0(int, cells);
    table.break_before = g_new0(int, (size_t)table.n + 1);
    table.from_start = g_new0(int, cells);
    table.to_end = g_new0(int, cells);
    fill_costs(&table);
    run_forward(&table);
    run_backward(&table);
    for (int i = 0; i < table.n; i++) {
        bool doubt = false;
        to[i] = place(&table, i, &doubt);
        if (doubt && *doubtful < 0) {
            *doubtful = i;
        }
    }
    table_clear(&table);
    return true;
}
