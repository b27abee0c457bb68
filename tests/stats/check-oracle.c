/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <sqlite3.h>
#include <string.h>

#include "rb/stats/packed.h"

#include "rows.h"
#include "suite.h"

TCase *rb_case_oracle(void);

/* The figures of 500 generated seasons counted four times: by SQL over a table of the same rows,
 * by a loop over the rows without any cleverness, by the pairing table, and by packed columns. */
enum { SEASONS = 500, FIGURES = 12 };

static const char *const names[FIGURES] = {
    "dropbacks", "successes", "pointed",       "yards",     "completions", "attempts",
    "explosive", "sacks",     "interceptions", "pressured", "right",       "judged",
};

/* By the definitions of design section 6: what the row itself says, 0 or 1, or yards. */
static void figures_of(const RbDropback *row, int figures[FIGURES])
{
    const bool caught = row->result == RB_RESULT_COMPLETE;
    const bool taken = row->result == RB_RESULT_INTERCEPTED;
    const bool fell =
        row->result == RB_RESULT_INCOMPLETE || row->result == RB_RESULT_THROWN_AWAY;
    const int yards = taken || fell ? 0 : row->gain;
    const int values[FIGURES] = {
        1,
        row->success,
        row->has_points,
        yards,
        caught,
        caught || taken || fell,
        yards >= 16,
        row->result == RB_RESULT_SACK,
        taken,
        row->pressured,
        row->verdict == RB_VERDICT_ON_READ || row->verdict == RB_VERDICT_SOUND,
        row->verdict != RB_VERDICT_UNGRADED && row->verdict != RB_VERDICT_SPOILED,
    };
    memcpy(figures, values, sizeof values);
}

static void figures_of_tally(const RbTally *tally, int64_t figures[FIGURES])
{
    const int64_t values[FIGURES] = {
        tally->dropbacks,     tally->successes, tally->pointed,   tally->yards,
        tally->completions,   tally->attempts,  tally->explosive, tally->sacks,
        tally->interceptions, tally->pressured, tally->right,     tally->judged,
    };
    memcpy(figures, values, sizeof values);
}

static void run(sqlite3 *db, const char *sql)
{
    char *error = NULL;
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &error) == SQLITE_OK, "%s", error);
}

static void insert_rows(sqlite3 *db, const RbDropback *rows, int n)
{
    sqlite3_stmt *insert = NULL;
    run(db, "DELETE FROM dropback; BEGIN");
    sqlite3_prepare_v2(
        db, "INSERT INTO dropback VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)", -1,
        &insert, NULL);
    for (int i = 0; i < n; i++) {
        int figures[FIGURES];
        figures_of(&rows[i], figures);
        sqlite3_bind_int64(insert, 1, rows[i].concept.value);
        sqlite3_bind_int64(insert, 2, rows[i].coverage.value);
        sqlite3_bind_int(insert, 3, rows[i].in_ladder);
        sqlite3_bind_int(insert, 4, rows[i].stage_read);
        sqlite3_bind_int(insert, 5, (int)rows[i].stage);
        sqlite3_bind_double(insert, 6, rows[i].has_points ? rows[i].points : 0.0);
        for (int f = 0; f < FIGURES; f++) {
            sqlite3_bind_int(insert, 7 + f, figures[f]);
        }
        ck_assert_int_eq(sqlite3_step(insert), SQLITE_DONE);
        sqlite3_reset(insert);
    }
    sqlite3_finalize(insert);
    run(db, "COMMIT");
}

static sqlite3 *open_table(void)
{
    sqlite3 *db = NULL;
    g_autoptr(GString) sql =
        g_string_new("CREATE TABLE dropback(concept INTEGER, coverage INTEGER, counts "
                     "INTEGER, read INTEGER, stage INTEGER, points REAL");
    ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
    for (int f = 0; f < FIGURES; f++) {
        g_string_append_printf(sql, ", %s INTEGER", names[f]);
    }
    g_string_append(sql, ") STRICT");
    run(db, sql->str);
    return db;
}

/* Sums by SQL of one cell; 0 in a place of the key means any. */
static double sum_sql(sqlite3 *db, int64_t concept, int64_t coverage,
                      int64_t figures[FIGURES])
{
    g_autoptr(GString) sql = g_string_new("SELECT total(points)");
    for (int f = 0; f < FIGURES; f++) {
        g_string_append_printf(sql, ", coalesce(sum(%s), 0)", names[f]);
    }
    g_string_append(sql, " FROM dropback WHERE counts AND concept <> 0 AND coverage <> 0"
                         " AND ?1 IN (0, concept) AND ?2 IN (0, coverage)");
    sqlite3_stmt *query = NULL;
    ck_assert_int_eq(sqlite3_prepare_v2(db, sql->str, -1, &query, NULL), SQLITE_OK);
    sqlite3_bind_int64(query, 1, concept);
    sqlite3_bind_int64(query, 2, coverage);
    ck_assert_int_eq(sqlite3_step(query), SQLITE_ROW);
    const double points = sqlite3_column_double(query, 0);
    for (int f = 0; f < FIGURES; f++) {
        figures[f] = sqlite3_column_int64(query, 1 + f);
    }
    sqlite3_finalize(query);
    return points;
}

static double sum_plainly(const RbDropback *rows, int n, int64_t concept,
                          int64_t coverage, int64_t figures[FIGURES])
{
    double points = 0.0;
    memset(figures, 0, FIGURES * sizeof figures[0]);
    for (int i = 0; i < n; i++) {
        const RbDropback *row = &rows[i];
        if (!row->in_ladder || row->concept.value == 0 || row->coverage.value == 0 ||
            (concept != 0 && row->concept.value != concept) ||
            (coverage != 0 && row->coverage.value != coverage)) {
            continue;
        }
        int own[FIGURES];
        figures_of(row, own);
        for (int f = 0; f < FIGURES; f++) {
            figures[f] += own[f];
        }
        points += row->has_points ? row->points : 0.0;
    }
    return points;
}

static void check_cell(sqlite3 *db, const RbDropback *rows, int n, const RbTally *tally)
{
    int64_t by_sql[FIGURES];
    int64_t plainly[FIGURES];
    int64_t ours[FIGURES];
    const int64_t concept = tally->concept.value;
    const int64_t coverage = tally->coverage.value;
    const double points = sum_sql(db, concept, coverage, by_sql);
    const double plain_points = sum_plainly(rows, n, concept, coverage, plainly);
    figures_of_tally(tally, ours);
    for (int f = 0; f < FIGURES; f++) {
        ck_assert_msg(ours[f] == by_sql[f] && ours[f] == plainly[f],
                      "%s of %d against %d: SQL %d, a loop %d, ours %d", names[f],
                      (int)concept, (int)coverage, (int)by_sql[f], (int)plainly[f],
                      (int)ours[f]);
    }
    ck_assert_double_eq_tol(tally->points, points, 1e-9);
    ck_assert_double_eq_tol(tally->points, plain_points, 1e-9);
}

static void check_table(sqlite3 *db, const RbDropback *rows, int n,
                        const RbPairings *pairings)
{
    for (int i = 0; i < pairings->n_cells; i++) {
        check_cell(db, rows, n, &pairings->cells[i]);
    }
    for (int i = 0; i < pairings->n_concepts; i++) {
        check_cell(db, rows, n, &pairings->concepts[i]);
    }
    for (int i = 0; i < pairings->n_coverages; i++) {
        check_cell(db, rows, n, &pairings->coverages[i]);
    }
    check_cell(db, rows, n, &pairings->all);
}

static void check_ladder(sqlite3 *db, const RbLadder *ladder)
{
    sqlite3_stmt *query = NULL;
    int64_t all = 0;
    sqlite3_prepare_v2(
        db,
        "SELECT read, stage, count(*), sum(pointed), sum(points) FROM dropback"
        " WHERE counts GROUP BY read, stage",
        -1, &query, NULL);
    while (sqlite3_step(query) == SQLITE_ROW) {
        const RbLadderCell *cell =
            &ladder->cells[sqlite3_column_int(query, 0)][sqlite3_column_int(query, 1)];
        ck_assert_int_eq(cell->dropbacks, sqlite3_column_int64(query, 2));
        ck_assert_int_eq(cell->pointed, sqlite3_column_int64(query, 3));
        ck_assert_double_eq_tol(cell->points, sqlite3_column_double(query, 4), 1e-9);
        all += cell->dropbacks;
    }
    ck_assert_int_eq(all, ladder->dropbacks);
    sqlite3_finalize(query);
}

START_TEST(test_oracle__five_hundred_seasons)
{
    RbRandom random;
    sqlite3 *db = open_table();
    rb_random_seed(&random, rb_test_seed(41));
    const int cases = rb_test_some(SEASONS);
    for (int season = 0; season < cases; season++) {
        const int n = rb_random_int(&random, 0, 160);
        const int kinds = rb_random_int(&random, 0, 5);
        g_autofree RbDropback *rows = rb_random_dropbacks(&random, n, kinds);
        g_autofree uint8_t *mask = g_malloc((gsize)n + 1);
        g_autoptr(RbPacked) packed = rb_packed_new(n);
        g_autofree RbDropback *counted = g_new(RbDropback, n + 1);
        int n_counted = 0;
        for (int i = 0; i < n; i++) {
            const RbPackedRow row = { .row = rows[i] };
            rb_packed_append(packed, &row);
            if (rows[i].in_ladder) {
                counted[n_counted++] = rows[i];
            }
        }
        memset(mask, 1, (size_t)n + 1);
        insert_rows(db, rows, n);
        RbPairings pairings;
        RbLadder ladder;
        rb_pairings_build(counted, n_counted, &pairings);
        check_table(db, rows, n, &pairings);
        rb_pairings_clear(&pairings);
        rb_packed_pairings(packed, mask, RB_FIELD_COVERAGE, &pairings);
        check_table(db, rows, n, &pairings);
        rb_pairings_clear(&pairings);
        rb_ladder_build(counted, n_counted, &ladder);
        check_ladder(db, &ladder);
        rb_packed_ladder(packed, mask, &ladder);
        check_ladder(db, &ladder);
    }
    sqlite3_close(db);
}
END_TEST

TCase *rb_case_oracle(void)
{
    TCase *tcase = rb_case_new("oracle");
    tcase_add_test(tcase, test_oracle__five_hundred_seasons);
    return tcase;
}
