/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/stats/packed.h"

#include "rows.h"
#include "suite.h"

TCase *rb_case_packed(void);

/* What no column holds is left as the filter's own value. kinds: different values a field. */
static RbPackedRow random_row(RbRandom *random, int kinds)
{
    RbPackedRow row = { .row = rb_random_dropback(random, 6) };
    row.row.game.value = rb_random_int(random, 0, kinds);
    row.row.quarterback.value = rb_random_int(random, 0, 4);
    row.row.number = rb_random_int(random, 0, 3 * kinds);
    row.row.opened = (uint8_t)rb_random_int(random, 0, 255);
    row.row.has_gain = rb_random_chance(random, 0.9);
    row.row.right_read = rb_random_int(random, 0, RB_READS_MAX);
    row.row.ball_read = rb_random_int(random, 0, RB_READS_MAX);
    for (int f = 0; f < RB_FIELDS; f++) {
        row.known[f] = rb_random_chance(random, 0.8);
        row.values[f] = (int64_t)rb_random_int(random, -3, kinds) * 1000003;
    }
    /* Tags are borrowed: every row's are a stretch of the same. */
    static const int64_t tags[] = { 4, 1000003, -7, 2, 1000005, 900 };
    const int drawn = rb_random_int(random, -3, 3);
    row.n_own_tags = MAX(drawn, 0);
    row.own_tags = tags + rb_random_int(random, 0, 3);
    return row;
}

static RbPackedRow *random_rows(RbRandom *random, int n, int kinds, RbPacked **packed)
{
    RbPackedRow *rows = g_new(RbPackedRow, n + 1);
    *packed = rb_packed_new(n);
    for (int i = 0; i < n; i++) {
        rows[i] = random_row(random, kinds);
        rb_packed_append(*packed, &rows[i]);
    }
    return rows;
}

/* What a filter is told of a row; fields that the dropback itself holds come from it. */
static bool row_value(const void *data, RbField field, int index, int64_t *value)
{
    const RbPackedRow *row = data;
    const RbDropback *dropback = &row->row;
    switch ((int)field) {
    case RB_FIELD_GAME:
        *value = dropback->game.value;
        return *value != 0;
    case RB_FIELD_QUARTERBACK:
        *value = dropback->quarterback.value;
        return *value != 0;
    case RB_FIELD_CONCEPT:
        *value = dropback->concept
        .value;
        return *value != 0;
    case RB_FIELD_COVERAGE:
        *value = dropback->coverage.value;
        return *value != 0;
    case RB_FIELD_RESULT:
        *value = dropback->result;
        return *value != RB_RESULT_UNKNOWN;
    case RB_FIELD_VERDICT:
        *value = dropback->verdict;
        return true;
    case RB_FIELD_STAGE:
        *value = dropback->stage;
        return true;
    case RB_FIELD_READ:
        *value = dropback->stage_read;
        return true;
    case RB_FIELD_COUNTS:
        *value = dropback->in_ladder ? RB_YES : RB_NO;
        return true;
    case RB_FIELD_OWN_TAG:
        *value = index < row->n_own_tags ? row->own_tags[index] : 0;
        return index < row->n_own_tags;
    default:
        *value = row->values[field];
        return row->known[field];
    }
}

static RbFilter *random_filter(RbRandom *random, const RbPackedRow *rows, int n)
{
    RbFilter *filter = rb_filter_new();
    const int clauses = rb_random_int(random, 0, 3);
    for (int c = 0; c < clauses; c++) {
        const RbField field = (RbField)rb_random_int(random, 0, RB_FIELDS - 1);
        int64_t value = 4;
        row_value(&rows[rb_random_int(random, 0, n - 1)], field, 0, &value);
        if (rb_random_chance(random, 0.3)) {
            rb_filter_set_range(filter, field, value - 2, value + 2000000);
        } else {
            rb_filter_add_value(filter, field, value);
            rb_filter_add_value(filter, field, 2);
        }
    }
    return filter;
}

static void check_tally(const RbTally *got, const RbTally *want)
{
    ck_assert_int_eq(got->concept.value, want->concept.value);
    ck_assert_int_eq(got->coverage.value, want->coverage.value);
    ck_assert_int_eq(got->dropbacks, want->dropbacks);
    ck_assert_int_eq(got->successes, want->successes);
    ck_assert_int_eq(got->pointed, want->pointed);
    ck_assert_double_eq_tol(got->points, want->points, 1e-9);
    ck_assert_int_eq(got->yards, want->yards);
    ck_assert_int_eq(got->completions, want->completions);
    ck_assert_int_eq(got->attempts, want->attempts);
    ck_assert_int_eq(got->explosive, want->explosive);
    ck_assert_int_eq(got->sacks, want->sacks);
    ck_assert_int_eq(got->interceptions, want->interceptions);
    ck_assert_int_eq(got->pressured, want->pressured);
    ck_assert_int_eq(got->right, want->right);
    ck_assert_int_eq(got->judged, want->judged);
}

static void check_tallies(const RbTally *got, int n_got, const RbTally *want, int n_want)
{
    ck_assert_int_eq(n_got, n_want);
    for (int i = 0; i < n_got; i++) {
        check_tally(&got[i], &want[i]);
    }
}

/* Table and ladder of the mask against those of the rows picked one by one. */
static void check_figures(const RbPacked *packed, const uint8_t *mask,
                          const RbDropback *picked, int n)
{
    RbPairings got;
    RbPairings want;
    RbLadder ladder;
    RbLadder plain;
    rb_packed_pairings(packed, mask, RB_FIELD_COVERAGE, &got);
    rb_pairings_build(picked, n, &want);
    check_tallies(got.cells, got.n_cells, want.cells, want.n_cells);
    check_tallies(got.concepts, got.n_concepts, want.concepts, want.n_concepts);
    check_tallies(got.coverages, got.n_coverages, want.coverages, want.n_coverages);
    check_tally(&got.all, &want.all);
    ck_assert_int_eq(got.untagged, want.untagged);
    rb_pairings_clear(&got);
    rb_pairings_clear(&want);
    rb_packed_ladder(packed, mask, &ladder);
    rb_ladder_build(picked, n, &plain);
    ck_assert_int_eq(ladder.dropbacks, plain.dropbacks);
    ck_assert_int_eq(ladder.pointed, plain.pointed);
    ck_assert_double_eq_tol(ladder.points, plain.points, 1e-9);
    for (int read = 0; read <= RB_READS_MAX; read++) {
        for (int stage = 0; stage < RB_STAGES; stage++) {
            ck_assert_int_eq(ladder.cells[read][stage].dropbacks,
                             plain.cells[read][stage].dropbacks);
            ck_assert_double_eq_tol(ladder.cells[read][stage].points,
                                    plain.cells[read][stage].points, 1e-9);
        }
    }
}

static void check_filter(const RbPacked *packed, const RbPackedRow *rows, int n,
                         const RbFilter *filter)
{
    g_autofree uint8_t *mask = g_malloc((gsize)n + 1);
    g_autofree RbDropback *picked = g_new(RbDropback, n + 1);
    int n_picked = 0;
    rb_packed_filter(packed, filter, mask);
    for (int i = 0; i < n; i++) {
        const bool wanted = rb_filter_matches(filter, &rows[i], row_value);
        ck_assert_int_eq(mask[i], wanted);
        if (wanted) {
            picked[n_picked++] = rows[i].row;
        }
    }
    check_figures(packed, mask, picked, n_picked);
}

START_TEST(test_packed__equals_rows_under_any_filter)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(31));
    const int cases = rb_test_some(120);
    for (int round = 0; round < cases; round++) {
        const int n = rb_random_int(&random, 1, 160);
        g_autoptr(RbPacked) packed = NULL;
        g_autofree RbPackedRow *rows =
            random_rows(&random, n, round % 3 == 0 ? 400 : 9, &packed);
        g_autoptr(RbFilter) filter = random_filter(&random, rows, n);
        check_filter(packed, rows, n, filter);
    }
}
END_TEST

START_TEST(test_packed__gives_rows_back)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(32));
    g_autoptr(RbPacked) packed = NULL;
    g_autofree RbPackedRow *rows = random_rows(&random, 700, 600, &packed);
    for (int i = 0; i < 700; i++) {
        RbDropback row;
        rb_packed_get_row(packed, i, &row);
        ck_assert_int_eq(row.snap.value, rows[i].row.snap.value);
        ck_assert_int_eq(row.game.value, rows[i].row.game.value);
        ck_assert_int_eq(row.concept.value, rows[i].row.concept.value);
        ck_assert_int_eq(row.verdict, rows[i].row.verdict);
        ck_assert_int_eq(row.stage, rows[i].row.stage);
        ck_assert_int_eq(row.stage_read, rows[i].row.stage_read);
        ck_assert_int_eq(row.right_read, rows[i].row.right_read);
        ck_assert_int_eq(row.ball_read, rows[i].row.ball_read);
        ck_assert_int_eq(row.result, rows[i].row.result);
        ck_assert_int_eq(row.gain, rows[i].row.gain);
        ck_assert_int_eq(row.success, rows[i].row.success);
        ck_assert_int_eq(row.has_points, rows[i].row.has_points);
        ck_assert_double_eq(row.points, rows[i].row.points);
        ck_assert_int_eq(row.pressured, rows[i].row.pressured);
        ck_assert_int_eq(row.release_ms, rows[i].row.release_ms);
        ck_assert_int_eq(row.in_ladder, rows[i].row.in_ladder);
    }
}
END_TEST

/* Tagged anew again and again, with values never seen before: as if made from the rows as they
 * are now; the copy taken before stays as it was. */
START_TEST(test_packed__followed_equals_fresh)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(33));
    const int cases = rb_test_some(30);
    for (int round = 0; round < cases; round++) {
        enum { N = 90 };
        g_autoptr(RbPacked) packed = NULL;
        g_autofree RbPackedRow *rows = random_rows(&random, N, 9, &packed);
        g_autofree RbPackedRow *before = g_memdup2(rows, N * sizeof *rows);
        g_autoptr(RbPacked) kept = rb_packed_copy(packed);
        for (int edit = 0; edit < 400; edit++) {
            const int place = rb_random_int(&random, 0, N - 1);
            rows[place] = random_row(&random, 900);
            rb_packed_set(packed, place, &rows[place]);
        }
        g_autoptr(RbFilter) filter = random_filter(&random, rows, N);
        check_filter(packed, rows, N, filter);
        g_autoptr(RbFilter) other = random_filter(&random, before, N);
        check_filter(kept, before, N, other);
    }
}
END_TEST

START_TEST(test_packed__takes_at_most_64_bytes_a_dropback)
{
    enum { N = 50000 };
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(34));
    g_autoptr(RbPacked) packed = NULL;
    g_autofree RbPackedRow *rows = random_rows(&random, N, 40, &packed);
    ck_assert_int_eq(rb_packed_get_count(packed), N);
    ck_assert_double_le((double)rb_packed_get_size(packed) / N, 64.0);
}
END_TEST

START_TEST(test_packed__bytes_there_and_back)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(35));
    for (int round = 0; round < 12; round++) {
        const int n = rb_random_int(&random, 1, 500);
        gsize size = 0;
        g_autoptr(RbPacked) packed = NULL;
        g_autofree RbPackedRow *rows = random_rows(&random, n, 500, &packed);
        g_autoptr(GBytes) bytes = rb_packed_to_bytes(packed);
        const void *data = g_bytes_get_data(bytes, &size);
        g_autoptr(RbPacked) again = rb_packed_from_bytes(data, size);
        ck_assert_ptr_nonnull(again);
        g_autoptr(RbFilter) filter = random_filter(&random, rows, n);
        check_filter(again, rows, n, filter);
    }
}
END_TEST

/* Cut or changed bytes are refused, or at least safe to use. */
START_TEST(test_packed__damaged_bytes_do_no_harm)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(36));
    gsize size = 0;
    g_autoptr(RbPacked) packed = NULL;
    g_autofree RbPackedRow *rows = random_rows(&random, 60, 20, &packed);
    g_autoptr(GBytes) bytes = rb_packed_to_bytes(packed);
    const uint8_t *data = g_bytes_get_data(bytes, &size);
    for (gsize cut = 0; cut < size; cut += 1 + size / 300) {
        ck_assert_ptr_null(rb_packed_from_bytes(data, cut));
    }
    const int cases = rb_test_some(3000);
    for (int round = 0; round < cases; round++) {
        g_autofree uint8_t *changed = g_memdup2(data, size);
        changed[rb_random_int(&random, 0, (int)size - 1)] ^=
            (uint8_t)rb_random_int(&random, 1, 255);
        g_autoptr(RbPacked) again = rb_packed_from_bytes(changed, size);
        if (again != NULL) {
            g_autoptr(RbFilter) filter = random_filter(&random, rows, 60);
            g_autofree uint8_t *mask = g_malloc(61);
            RbPairings pairings;
            RbLadder ladder;
            rb_packed_filter(again, filter, mask);
            rb_packed_pairings(again, mask, RB_FIELD_COVERAGE, &pairings);
            rb_packed_ladder(again, mask, &ladder);
            rb_pairings_clear(&pairings);
        }
    }
}
END_TEST

START_TEST(test_packed__ranges_of_others_equal_rows)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(47));
    const int cases = rb_test_some(20);
    for (int round = 0; round < cases; round++) {
        const int n = rb_random_int(&random, 1, 400);
        RbPacked *from = NULL;
        g_autofree RbPackedRow *rows =
            random_rows(&random, n, round % 2 == 0 ? 6 : 400, &from);
        g_autoptr(RbPacked) others = from;
        g_autoptr(RbPacked) again = rb_packed_new(0);
        int at = 0;
        /* Now a range, now a row by itself, until all are there again. */
        while (at < n) {
            const int drawn = rb_random_int(&random, 0, 60);
            const int some = MIN(drawn, n - at);
            rb_packed_append_range(again, others, at, some);
            at += some;
            if (at < n) {
                rb_packed_append(again, &rows[at++]);
            }
        }
        rb_packed_trim(again);
        ck_assert_int_eq(rb_packed_get_count(again), n);
        g_autofree uint8_t *one = g_malloc0((gsize)n);
        g_autofree uint8_t *other = g_malloc0((gsize)n);
        for (int tries = 0; tries < 10; tries++) {
            g_autoptr(RbFilter) filter = random_filter(&random, rows, n);
            rb_packed_filter(others, filter, one);
            rb_packed_filter(again, filter, other);
            ck_assert_mem_eq(one, other, (size_t)n);
        }
        for (int i = 0; i < n; i++) {
            RbDropback a;
            RbDropback b;
            rb_packed_get_row(others, i, &a);
            rb_packed_get_row(again, i, &b);
            ck_assert_int_eq(a.snap.value, b.snap.value);
            ck_assert_int_eq(a.number, b.number);
            ck_assert_int_eq(a.opened, b.opened);
            ck_assert_int_eq(a.has_gain, b.has_gain);
            ck_assert_int_eq(a.game.value, b.game.value);
            ck_assert_int_eq(a.coverage.value, b.coverage.value);
            ck_assert_double_eq(a.points, b.points);
        }
    }
}
END_TEST

START_TEST(test_packed__nothing_is_nothing)
{
    g_autoptr(RbPacked) packed = rb_packed_new(0);
    g_autoptr(RbFilter) filter = rb_filter_new();
    uint8_t mask = 9;
    rb_packed_filter(packed, filter, &mask);
    ck_assert_int_eq(mask, 9);
    check_figures(packed, &mask, NULL, 0);
}
END_TEST

TCase *rb_case_packed(void)
{
    TCase *tcase = rb_case_new("packed");
    tcase_add_test(tcase, test_packed__equals_rows_under_any_filter);
    tcase_add_test(tcase, test_packed__gives_rows_back);
    tcase_add_test(tcase, test_packed__followed_equals_fresh);
    tcase_add_test(tcase, test_packed__takes_at_most_64_bytes_a_dropback);
    tcase_add_test(tcase, test_packed__bytes_there_and_back);
    tcase_add_test(tcase, test_packed__damaged_bytes_do_no_harm);
    tcase_add_test(tcase, test_packed__ranges_of_others_equal_rows);
    tcase_add_test(tcase, test_packed__nothing_is_nothing);
    return tcase;
}
