/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Prints what the packed columns cost against the same figures by SQL over a covering index, in
 * one run: 1,000,000 dropbacks, 40 concepts by 15 coverages. Usage: bench-packed [DROPBACKS].
 * Exits 1 when a limit is missed: a filter change to table and ladder at most 0.15 of the SQL,
 * a first load at most 1.5 of it, at most 64 bytes a dropback. */
#include <glib.h>
#include <inttypes.h>
#include <malloc.h>
#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>

#include "rb/base/random.h"
#include "rb/stats/packed.h"

enum { CONCEPTS = 40, COVERAGES = 15, ROUNDS = 5 };

static RbPackedRow draw(RbRandom *random, int i)
{
    static const int64_t tags[] = { 101, 102, 103, 104 };
    RbPackedRow drawn = { 0 };
    for (int f = 0; f < RB_FIELDS; f++) {
        drawn.values[f] = rb_random_int(random, 1, 12);
        drawn.known[f] = true;
    }
    drawn.own_tags = tags + i % 4; /* on half of the snaps one tag */
    drawn.n_own_tags = i % 2;
    drawn.values[RB_FIELD_DOWN] = rb_random_int(random, 1, 4);
    drawn.values[RB_FIELD_DISTANCE] = rb_random_int(random, 1, 25);
    drawn.values[RB_FIELD_YARDS_TO_GOAL] = rb_random_int(random, 1, 99);
    drawn.row = (RbDropback){
        .snap = { i + 1 },
        .game = { 1 + i / 60 % 240 },
        .quarterback = { rb_random_int(random, 1, 9) },
        .concept = { rb_random_int(random, 1, CONCEPTS) },
        .coverage = { rb_random_int(random, 1, COVERAGES) },
        .verdict = (RbVerdict)rb_random_int(random, 0, RB_VERDICTS - 1),
        .stage = (RbStage)rb_random_int(random, 0, RB_STAGES - 1),
        .stage_read = rb_random_int(random, 0, 5),
        .result = (RbResult)rb_random_int(random, 1, RB_RESULT_SACK),
        .gain = rb_random_int(random, -8, 30),
        .success = rb_random_chance(random, 0.45),
        .has_points = true,
        .points = rb_random_int(random, -32, 32) / 8.0,
        .pressured = rb_random_chance(random, 0.3),
        .release_ms = rb_random_int(random, 900, 4000),
        .in_ladder = true,
    };
    return drawn;
}

static void run(sqlite3 *db, const char *sql)
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
    "pressed INTEGER, right INTEGER, judged INTEGER) STRICT;"
    "CREATE TABLE cache(id INTEGER PRIMARY KEY, bytes BLOB) STRICT;";

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
static void insert(sqlite3_stmt *statement, const RbDropback *row, int64_t down)
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

static RbPacked *fill(sqlite3 *db, int n)
{
    RbRandom random;
    sqlite3_stmt *statement = NULL;
    RbPacked *packed = rb_packed_new(n);
    rb_random_seed(&random, 1);
    run(db, table_sql);
    run(db, "BEGIN");
    sqlite3_prepare_v2(
        db,
        "INSERT INTO dropback VALUES(?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,"
        "?13,?14,?15,?16,?17)",
        -1, &statement, NULL);
    for (int i = 0; i < n; i++) {
        const RbPackedRow row = draw(&random, i);
        rb_packed_append(packed, &row);
        insert(statement, &row.row, row.values[RB_FIELD_DOWN]);
    }
    sqlite3_finalize(statement);
    run(db, "COMMIT");
    run(db, index_sql);
    return packed;
}

static double now_ms(void)
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

static double time_sql(sqlite3 *db, int down, int64_t *count)
{
    const double before = now_ms();
    *count = step_all(db, pairing_sql, down);
    if (step_all(db, ladder_sql, down) != *count) {
        fprintf(stderr, "The two queries count differently.\n");
        exit(EXIT_FAILURE);
    }
    return now_ms() - before;
}

static double time_packed(const RbPacked *packed, const RbFilter *filter, int64_t *count)
{
    RbPairings pairings;
    RbLadder ladder;
    const double before = now_ms();
    g_autofree uint8_t *mask = g_malloc((gsize)rb_packed_get_count(packed) + 1);
    rb_packed_filter(packed, filter, mask);
    rb_packed_pairings(packed, mask, &pairings);
    rb_packed_ladder(packed, mask, &ladder);
    const double took = now_ms() - before;
    *count = pairings.all.dropbacks;
    if (ladder.dropbacks != *count) {
        fprintf(stderr, "Table and ladder count differently.\n");
        exit(EXIT_FAILURE);
    }
    rb_pairings_clear(&pairings);
    return took;
}

static void store(sqlite3 *db, const RbPacked *packed)
{
    sqlite3_stmt *statement = NULL;
    gsize size = 0;
    g_autoptr(GBytes) bytes = rb_packed_to_bytes(packed);
    const void *data = g_bytes_get_data(bytes, &size);
    sqlite3_prepare_v2(db, "INSERT INTO cache VALUES(1, ?1)", -1, &statement, NULL);
    sqlite3_bind_blob64(statement, 1, data, size, SQLITE_STATIC);
    sqlite3_step(statement);
    sqlite3_finalize(statement);
}

static double time_load(sqlite3 *db, int n)
{
    sqlite3_stmt *statement = NULL;
    const double before = now_ms();
    sqlite3_prepare_v2(db, "SELECT bytes FROM cache", -1, &statement, NULL);
    sqlite3_step(statement);
    g_autoptr(RbPacked) loaded = rb_packed_from_bytes(
        sqlite3_column_blob(statement, 0), (size_t)sqlite3_column_bytes(statement, 0));
    sqlite3_finalize(statement);
    if (loaded == NULL || rb_packed_get_count(loaded) != n) {
        fprintf(stderr, "The stored columns cannot be read.\n");
        exit(EXIT_FAILURE);
    }
    return now_ms() - before;
}

static int compare(const void *a, const void *b)
{
    const double one = *(const double *)a;
    const double other = *(const double *)b;
    return (one > other) - (one < other);
}

static double median(double times[ROUNDS])
{
    qsort(times, ROUNDS, sizeof times[0], compare);
    return times[ROUNDS / 2];
}

/* One filter, in turns with its SQL. Returns the ratio of the medians. */
static double compare_filter(sqlite3 *db, const RbPacked *packed, int down,
                             double *sql_ms)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    double by_sql[ROUNDS];
    double by_columns[ROUNDS];
    int64_t count = 0;
    int64_t counted = 0;
    if (down != 0) {
        rb_filter_add_value(filter, RB_FIELD_DOWN, down);
    }
    for (int round = 0; round < ROUNDS; round++) {
        by_sql[round] = time_sql(db, down, &count);
        by_columns[round] = time_packed(packed, filter, &counted);
        if (count != counted) {
            fprintf(stderr, "SQL counts %" PRId64 ", the columns %" PRId64 ".\n", count,
                    counted);
            exit(EXIT_FAILURE);
        }
    }
    *sql_ms = median(by_sql);
    const double columns_ms = median(by_columns);
    printf("%-9s  %9" PRId64
           "  SQL %6.1f ms  columns %5.1f ms  ratio %.3f (limit 0.15)\n",
           down == 0 ? "no filter" : "one down", count, *sql_ms, columns_ms,
           columns_ms / *sql_ms);
    return columns_ms / *sql_ms;
}

/* Heap in use, whatever took it. */
static size_t heap_in_use(void)
{
    const struct mallinfo2 heap = mallinfo2();
    return heap.uordblks + heap.hblkhd;
}

/* What the columns really take: the heap before and after a whole copy of them. */
static double measure_bytes(const RbPacked *packed, int n)
{
    const size_t before = heap_in_use();
    g_autoptr(RbPacked) copy = rb_packed_copy(packed);
    return (double)(heap_in_use() - before) / n;
}

int main(int argc, char **argv)
{
    const int n = argc > 1 ? atoi(argv[1]) : 1000000;
    g_autofree char *path = g_build_filename(g_get_tmp_dir(), "bench-packed.db", NULL);
    sqlite3 *db = NULL;
    double whole_ms = 0.0;
    double part_ms = 0.0;
    if (argc > 2 || n < 1) {
        fprintf(stderr, "usage: %s [DROPBACKS]\n", argv[0]);
        return EXIT_FAILURE;
    }
    remove(path);
    sqlite3_open(path, &db);
    run(db, "PRAGMA journal_mode = WAL; PRAGMA cache_size = -200000");
    g_autoptr(RbPacked) packed = fill(db, n);
    const double whole = compare_filter(db, packed, 0, &whole_ms);
    const double part = compare_filter(db, packed, 3, &part_ms);
    store(db, packed);
    double loads[ROUNDS];
    for (int round = 0; round < ROUNDS; round++) {
        loads[round] = time_load(db, n);
    }
    const double load = median(loads) / whole_ms;
    const double each = measure_bytes(packed, n);
    printf("load %.1f ms, ratio %.2f (limit 1.5)\n", median(loads), load);
    printf("memory %.1f bytes a dropback of heap, %.1f by its own count (limit 64)\n",
           each, (double)rb_packed_get_size(packed) / n);
    sqlite3_close(db);
    remove(path);
    return whole <= 0.15 && part <= 0.15 && load <= 1.5 && each <= 64.0 ? EXIT_SUCCESS
                                                                        : EXIT_FAILURE;
}
