/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What it takes from a library on disk to the first pairing table, by the program's own path.
 *
 *     bench-first-table grow LIBRARY DROPBACKS   copies its games, tags and all, until there are
 *                                                so many; judges them once, which it prints
 *     bench-first-table LIBRARY                  opens it and counts, against the same figures by
 *                                                SQL over a covering index in the same run
 *
 * Exits 1 when a limit is missed: the load at most 1.5 times the SQL, a changed filter at most 0.15
 * of it, at most 64 bytes a dropback of heap (names and index included). */
#include <glib.h>
#include <inttypes.h>
#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rb/work/snapshot.h"

#include "plain-sql.h"

enum { ROUNDS = 5 };

/* Ids of copy ?1 follow one another and differ in their low bits, so that tables grow at their end. */
static const char *const copy_sql[] = {
    "INSERT INTO game SELECT ?1 * 1000003 + n.n, kind, rules, date(played_on, ?1 || ' days'), us,"
    " them, ours_only, lead, title, removed FROM from_game n JOIN game g ON g.id = n.id",
    "INSERT INTO snap SELECT ?1 * 1000003 + n.n, ?1 * 1000003 + g.n, number, phase, quarter, clock_s,"
    " down, distance, yards_to_goal, hash, offense, score_offense, score_defense,"
    " timeouts_offense, timeouts_defense, hurry, quarterback, personnel, formation, motion,"
    " strong, width, play, result, ending, gain, intended, note, removed"
    " FROM from_snap n JOIN snap s ON s.id = n.id JOIN from_game g ON g.id = s.game",
    "INSERT INTO chart (id, snap, author, call_kind, call_first, call_second, call_first_side,"
    " side_worked, shell, rotation_shown, technique_shown_left, technique_shown_right,"
    " cushion_left, cushion_right, leverage_left, leverage_right, coverage, rotation_played,"
    " technique_played_left, technique_played_right, safety_left, safety_right, rushers,"
    " unblocked, unblocked_side, adjusted, adjustment, ball, ball_read, release_ms,"
    " release_pm_ms, pressure, pressure_ms, movement, contact, throw, catch, fault, fault_read,"
    " note, removed) SELECT ?1 * 1000003 + c.rowid, ?1 * 1000003 + n.n, author, call_kind, call_first,"
    " call_second, call_first_side, side_worked, shell, rotation_shown, technique_shown_left,"
    " technique_shown_right, cushion_left, cushion_right, leverage_left, leverage_right,"
    " coverage, rotation_played, technique_played_left, technique_played_right, safety_left,"
    " safety_right, rushers, unblocked, unblocked_side, adjusted, adjustment, ball, ball_read,"
    " release_ms, release_pm_ms, pressure, pressure_ms, movement, contact, throw, catch, fault,"
    " fault_read, note, removed FROM from_chart c JOIN from_snap n ON n.id = c.snap",
    "INSERT INTO look SELECT ?1 * 1000003 + l.rowid, ?1 * 1000003 + c.rowid, slot, state, l.removed"
    " FROM from_look l JOIN from_chart c ON c.id = l.chart",
};

static const char *const from_sql =
    "CREATE TEMP TABLE from_game AS SELECT row_number() OVER () AS n, id FROM game"
    " WHERE id > 1 << 50;"
    "CREATE TEMP TABLE from_snap AS SELECT row_number() OVER () AS n, id FROM snap"
    " WHERE id > 1 << 50 AND play NOT IN ('run', 'kneel', 'punt', 'field-goal') AND removed = 0;"
    "CREATE TEMP TABLE from_chart AS SELECT c.* FROM chart c JOIN from_snap s ON s.id = c.snap;"
    "CREATE TEMP TABLE from_look AS SELECT l.* FROM look l JOIN from_chart c ON c.id = l.chart;"
    "CREATE INDEX temp.g ON from_game(id); CREATE INDEX temp.s ON from_snap(id);"
    "CREATE INDEX temp.c ON from_chart(id);";

static void copy_once(sqlite3 *db, int copy)
{
    for (size_t i = 0; i < G_N_ELEMENTS(copy_sql);
         i++) { /* an old copy would be in the way */
        sqlite3_stmt *statement = NULL;
        if (sqlite3_prepare_v2(db, copy_sql[i], -1, &statement, NULL) != SQLITE_OK) {
            fprintf(stderr, "%s\n", sqlite3_errmsg(db));
            exit(EXIT_FAILURE);
        }
        sqlite3_bind_int(statement, 1, copy);
        if (sqlite3_step(statement) != SQLITE_DONE) {
            fprintf(stderr, "%s\n", sqlite3_errmsg(db));
            exit(EXIT_FAILURE);
        }
        sqlite3_finalize(statement);
    }
}

static void fail(const GError *error)
{
    fprintf(stderr, "%s\n", error->message);
    exit(EXIT_FAILURE);
}

static RbSnapshot *take(const char *path, RbLibrary **library)
{
    g_autoptr(GError) error = NULL;
    *library = rb_library_open(path, "Bench", &error);
    RbSnapshot *snapshot =
        *library != NULL ? rb_snapshot_take(*library, NULL, NULL, &error) : NULL;
    if (snapshot == NULL) {
        fail(error);
    }
    return snapshot;
}

static int count(const RbSnapshot *snapshot)
{
    return rb_packed_get_count(rb_snapshot_get_packed(snapshot));
}

static int grow(const char *path, int wanted)
{
    sqlite3 *db = NULL;
    RbLibrary *library = NULL;
    RbSnapshot *snapshot = take(path, &library);
    const int each = count(snapshot);
    rb_snapshot_unref(snapshot);
    rb_library_close(library);
    sqlite3_open(path, &db);
    plain_run(db, "PRAGMA cache_size = -400000; PRAGMA synchronous = OFF");
    plain_run(db, from_sql);
    plain_run(db, "BEGIN; DELETE FROM judged");
    for (int copy = 1; copy * each < wanted; copy++) {
        copy_once(db, copy);
    }
    plain_run(db, "COMMIT");
    sqlite3_close(db);
    const double before = plain_now_ms();
    snapshot = take(path, &library);
    const double took = plain_now_ms() - before;
    printf("%d dropbacks judged for the first time in %.1f s, %.3f ms each\n",
           count(snapshot), took / 1000.0, took / count(snapshot));
    rb_snapshot_unref(snapshot);
    rb_library_close(library);
    return EXIT_SUCCESS;
}

static sqlite3 *fill_plain(const RbSnapshot *snapshot, const char *path)
{
    sqlite3 *db = NULL;
    const RbPacked *packed = rb_snapshot_get_packed(snapshot);
    remove(path);
    sqlite3_open(path, &db);
    plain_run(db, "PRAGMA journal_mode = WAL; PRAGMA cache_size = -200000");
    sqlite3_stmt *statement = plain_begin(db);
    for (int i = 0; i < rb_packed_get_count(packed); i++) {
        RbDropback row;
        int64_t down = 0;
        rb_packed_get_row(packed, i, &row);
        rb_packed_get_value(packed, i, RB_FIELD_DOWN, &down);
        if (row.in_ladder) {
            plain_insert(statement, &row, down);
        }
    }
    plain_commit(db, statement);
    return db;
}

/* Library on disk to pairing table and ladder. */
static double time_first(const char *path)
{
    RbLibrary *library = NULL;
    RbPairings pairings;
    RbLadder ladder;
    const double before = plain_now_ms();
    RbSnapshot *snapshot = take(path, &library);
    RbSelection *selection = rb_selection_new(snapshot, NULL);
    rb_selection_pairings(selection, &pairings);
    rb_selection_ladder(selection, &ladder);
    const double took = plain_now_ms() - before;
    rb_pairings_clear(&pairings);
    rb_selection_free(selection);
    rb_snapshot_unref(snapshot);
    rb_library_close(library);
    return took;
}

/* A changed filter to pairing table and ladder, in turns with its SQL. Returns the ratio. */
static double compare_filter(sqlite3 *db, RbSnapshot *snapshot, int down)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    double by_sql[ROUNDS];
    double by_columns[ROUNDS];
    int64_t wanted = 0;
    if (down != 0) {
        rb_filter_add_value(filter, RB_FIELD_DOWN, down);
    }
    for (int round = 0; round < ROUNDS; round++) {
        RbPairings pairings;
        RbLadder ladder;
        by_sql[round] = plain_time(db, down, &wanted);
        const double before = plain_now_ms();
        RbSelection *selection = rb_selection_new(snapshot, filter);
        rb_selection_pairings(selection, &pairings);
        rb_selection_ladder(selection, &ladder);
        by_columns[round] = plain_now_ms() - before;
        if (pairings.all.dropbacks != wanted || ladder.dropbacks != wanted) {
            fprintf(stderr, "SQL counts %" PRId64 ", the table %d, the ladder %d.\n",
                    wanted, pairings.all.dropbacks, ladder.dropbacks);
            exit(EXIT_FAILURE);
        }
        rb_pairings_clear(&pairings);
        rb_selection_free(selection);
    }
    const double sql_ms = plain_median(by_sql, ROUNDS);
    const double columns_ms = plain_median(by_columns, ROUNDS);
    printf("%-9s  %9" PRId64
           "  SQL %6.1f ms  columns %5.1f ms  ratio %.3f (limit 0.15)\n",
           down == 0 ? "no filter" : "one down", wanted, sql_ms, columns_ms,
           columns_ms / sql_ms);
    return columns_ms / sql_ms;
}

static long resident_bytes(void)
{
    long whole = 0;
    long resident = 0;
    FILE *file = fopen("/proc/self/statm", "r");
    if (file == NULL || fscanf(file, "%ld %ld", &whole, &resident) != 2) {
        resident = 0;
    }
    if (file != NULL) {
        fclose(file);
    }
    return resident * 4096;
}

static int measure(const char *path)
{
    g_autofree char *plain = g_strdup_printf("%s-plain", path);
    double first[ROUNDS];
    double by_sql[ROUNDS];
    int64_t counted = 0;
    RbLibrary *library = NULL;
    rb_library_close((take(path, &library), library)); /* judged, if it was not */
    malloc_trim(0);
    const size_t heap = plain_heap();
    const long resident = resident_bytes();
    RbSnapshot *snapshot = take(path, &library);
    const int n = count(snapshot);
    const double size = (double)rb_snapshot_get_size(snapshot) / n; /* makes the index */
    rb_library_close(library);
    malloc_trim(0);
    const double each = (double)(plain_heap() - heap) / n;
    const double in_memory = (double)(resident_bytes() - resident) / n;
    sqlite3 *db = fill_plain(snapshot, plain);
    const double whole = compare_filter(db, snapshot, 0);
    const double part = compare_filter(db, snapshot, 3);
    rb_snapshot_unref(snapshot);
    for (int round = 0; round < ROUNDS; round++) {
        by_sql[round] = plain_time(db, 0, &counted);
        first[round] = time_first(path);
    }
    sqlite3_close(db);
    remove(plain);
    const double sql_ms = plain_median(by_sql, ROUNDS);
    const double first_ms = plain_median(first, ROUNDS);
    printf("%d dropbacks, %" PRId64 " of them count\n", n, counted);
    printf(
        "library on disk to first table %.1f ms, SQL %.1f ms, ratio %.2f (limit 1.5)\n",
        first_ms, sql_ms, first_ms / sql_ms);
    printf(
        "memory a dropback: %.1f bytes of heap with names and index, %.1f resident, %.1f by "
        "its own count (limit 64)\n",
        each, in_memory, size);
    return first_ms <= 1.5 * sql_ms && whole <= 0.15 && part <= 0.15 && each <= 64.0
               ? EXIT_SUCCESS
               : EXIT_FAILURE;
}

int main(int argc, char **argv)
{
    if (argc == 4 && strcmp(argv[1], "grow") == 0) {
        return grow(argv[2], atoi(argv[3]));
    }
    if (argc == 2) {
        return measure(argv[1]);
    }
    fprintf(stderr, "usage: %s grow LIBRARY DROPBACKS | %s LIBRARY\n", argv[0], argv[0]);
    return EXIT_FAILURE;
}
