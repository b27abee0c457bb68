/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain-sql.h"

#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>

void plain_run(sqlite3 *db, const char *sql)
{
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK) {
        fprintf(stderr, "%s: %s\n", sql, sqlite3_errmsg(db));
        exit(EXIT_FAILURE);
    }
}

static const char *const table_sql =
    "CREATE TABLE dropback(snap INTEGER PRIMARY KEY, concept INTEGER, coverage INTEGER, down "
    "INTEGER, read INTEGER, stage INTEGER, success INTEGER, points REAL, yards INTEGER, "
    "complete INTEGER, attempt INTEGER, explosive INTEGER, sack INTEGER, interception INTEGER, "
    "pressed INTEGER, right INTEGER, judged INTEGER) STRICT;";

static const char *const index_sql =
    "CREATE INDEX by_pairing ON dropback(concept, coverage, down, success, points, yards, "
    "complete, attempt, explosive, sack, interception, pressed, right, judged);"
    "CREATE INDEX by_rung ON dropback(read, stage, down, points); ANALYZE;";

static const char *const pairing_sql =
    "SELECT concept, coverage, count(*), sum(success), sum(points), sum(yards), sum(complete), "
    "sum(attempt), sum(explosive), sum(sack), sum(interception), sum(pressed), sum(right), "
    "sum(judged) FROM dropback WHERE down = ?1 OR ?1 = 0 GROUP BY concept, coverage";
static const char *const ladder_sql =
    "SELECT read, stage, count(*), sum(points) FROM dropback WHERE down = ?1 OR ?1 = 0 GROUP "
    "BY read, stage";

/* Figures of one row as the table stores them, by the definitions and not by our code. */
void plain_insert(sqlite3_stmt *statement, const RbDropback *row, int64_t down)
{
    const bool complete = row->result == RB_RESULT_COMPLETE;
    const bool taken = row->result == RB_RESULT_INTERCEPTED;
    const bool fell =
        row->result == RB_RESULT_INCOMPLETE || row->result == RB_RESULT_THROWN_AWAY;
    const int yards = taken || fell ? 0 : row->gain;
    const int64_t values[] = {
        row->snap.value,
        row->concept.value,
        row->coverage.value,
        down,
        row->stage_read,
        row->stage,
        row->success,
        0,
        yards,
        complete,
        complete || taken || fell,
        yards >= 16,
        row->result == RB_RESULT_SACK,
        taken,
        row->pressured,
        row->verdict == RB_VERDICT_ON_READ || row->verdict == RB_VERDICT_SOUND,
        row->verdict != RB_VERDICT_UNGRADED && row->verdict != RB_VERDICT_SPOILED
    };
    for (int i = 0; i < (int)G_N_ELEMENTS(values); i++) {
        sqlite3_bind_int64(statement, i + 1, values[i]);
    }
    sqlite3_bind_double(statement, 8, row->points);
    sqlite3_step(statement);
    sqlite3_reset(statement);
}

double plain_now_ms(void)
{
    return (double)g_get_monotonic_time() / 1000.0;
}

/* Steps through a query; the sum of its third column, so that nothing is left out. */
static int64_t step_all(sqlite3 *db, const char *sql, int down)
{
    sqlite3_stmt *statement = NULL;
    int64_t count = 0;
    sqlite3_prepare_v2(db, sql, -1, &statement, NULL);
    sqlite3_bind_int(statement, 1, down);
    while (sqlite3_step(statement) == SQLITE_ROW) {
        count += sqlite3_column_int64(statement, 2);
    }
    sqlite3_finalize(statement);
    return count;
}

double plain_time(sqlite3 *db, int down, int64_t *count)
{
    const double before = plain_now_ms();
    *count = step_all(db, pairing_sql, down);
    if (step_all(db, ladder_sql, down) != *count) {
        fprintf(stderr, "The two queries count differently.\n");
        exit(EXIT_FAILURE);
    }
    return plain_now_ms() - before;
}

sqlite3_stmt *plain_begin(sqlite3 *db)
{
    sqlite3_stmt *statement = NULL;
    plain_run(db, table_sql);
    plain_run(db, "BEGIN");
    sqlite3_prepare_v2(
        db,
        "INSERT INTO dropback VALUES(?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,"
        "?13,?14,?15,?16,?17)",
        -1, &statement, NULL);
    return statement;
}

void plain_commit(sqlite3 *db, sqlite3_stmt *statement)
{
    sqlite3_finalize(statement);
    plain_run(db, "COMMIT");
    plain_run(db, index_sql);
}

static int compare(const void *a, const void *b)
{
    const double one = *(const double *)a;
    const double other = *(const double *)b;
    return (one > other) - (one < other);
}

double plain_median(double *times, int n)
{
    qsort(times, (size_t)n, sizeof times[0], compare);
    return times[n / 2];
}

size_t plain_heap(void)
{
    const struct mallinfo2 heap = mallinfo2();
    return heap.uordblks + heap.hblkhd;
}
