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

#include "plain-sql.h"

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

static RbPacked *fill(sqlite3 *db, int n)
{
    RbRandom random;
    RbPacked *packed = rb_packed_new(n);
    rb_random_seed(&random, 1);
    sqlite3_stmt *statement = plain_begin(db);
    for (int i = 0; i < n; i++) {
        const RbPackedRow row = draw(&random, i);
        rb_packed_append(packed, &row);
        plain_insert(statement, &row.row, row.values[RB_FIELD_DOWN]);
    }
    plain_commit(db, statement);
    plain_run(db, "CREATE TABLE cache(id INTEGER PRIMARY KEY, bytes BLOB) STRICT");
    return packed;
}

static double time_packed(const RbPacked *packed, const RbFilter *filter, int64_t *count)
{
    RbPairings pairings;
    RbLadder ladder;
    const double before = plain_now_ms();
    g_autofree uint8_t *mask = g_malloc((gsize)rb_packed_get_count(packed) + 1);
    rb_packed_filter(packed, filter, mask);
    rb_packed_pairings(packed, mask, RB_FIELD_COVERAGE, &pairings);
    rb_packed_ladder(packed, mask, &ladder);
    const double took = plain_now_ms() - before;
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
    const double before = plain_now_ms();
    sqlite3_prepare_v2(db, "SELECT bytes FROM cache", -1, &statement, NULL);
    sqlite3_step(statement);
    g_autoptr(RbPacked) loaded = rb_packed_from_bytes(
        sqlite3_column_blob(statement, 0), (size_t)sqlite3_column_bytes(statement, 0));
    sqlite3_finalize(statement);
    if (loaded == NULL || rb_packed_get_count(loaded) != n) {
        fprintf(stderr, "The stored columns cannot be read.\n");
        exit(EXIT_FAILURE);
    }
    return plain_now_ms() - before;
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
        by_sql[round] = plain_time(db, down, &count);
        by_columns[round] = time_packed(packed, filter, &counted);
        if (count != counted) {
            fprintf(stderr, "SQL counts %" PRId64 ", the columns %" PRId64 ".\n", count,
                    counted);
            exit(EXIT_FAILURE);
        }
    }
    *sql_ms = plain_median(by_sql, ROUNDS);
    const double columns_ms = plain_median(by_columns, ROUNDS);
    printf("%-9s  %9" PRId64
           "  SQL %6.1f ms  columns %5.1f ms  ratio %.3f (limit 0.15)\n",
           down == 0 ? "no filter" : "one down", count, *sql_ms, columns_ms,
           columns_ms / *sql_ms);
    return columns_ms / *sql_ms;
}

/* What the columns really take: the heap before and after a whole copy of them. */
static double measure_bytes(const RbPacked *packed, int n)
{
    const size_t before = plain_heap();
    g_autoptr(RbPacked) copy = rb_packed_copy(packed);
    return (double)(plain_heap() - before) / n;
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
    plain_run(db, "PRAGMA journal_mode = WAL; PRAGMA cache_size = -200000");
    g_autoptr(RbPacked) packed = fill(db, n);
    const double whole = compare_filter(db, packed, 0, &whole_ms);
    const double part = compare_filter(db, packed, 3, &part_ms);
    store(db, packed);
    double loads[ROUNDS];
    for (int round = 0; round < ROUNDS; round++) {
        loads[round] = time_load(db, n);
    }
    const double load = plain_median(loads, ROUNDS) / whole_ms;
    const double each = measure_bytes(packed, n);
    printf("load %.1f ms, ratio %.2f (limit 1.5)\n", plain_median(loads, ROUNDS), load);
    printf("memory %.1f bytes a dropback of heap, %.1f by its own count (limit 64)\n",
           each, (double)rb_packed_get_size(packed) / n);
    sqlite3_close(db);
    remove(path);
    return whole <= 0.15 && part <= 0.15 && load <= 1.5 && each <= 64.0 ? EXIT_SUCCESS
                                                                        : EXIT_FAILURE;
}
