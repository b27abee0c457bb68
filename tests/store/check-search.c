/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"
#include "store-private.h"

/* The filter in SQL against the filter in C over the same values. */

typedef struct {
    const RbSnap *snap;
    const RbGame *game;
    const RbChart *chart; /* nullable */
    RbFamily family;
} Row;

static bool known(int64_t value, int64_t unknown, int64_t *out)
{
    *out = value;
    return value != unknown;
}

static bool game_value(const Row *row, RbField field, int64_t *value)
{
    if (field == RB_FIELD_GAME) {
        return known(row->game->id.value, 0, value);
    }
    if (field == RB_FIELD_OPPONENT) {
        return known(row->game->them.value, 0, value);
    }
    int year = 0;
    int month = 0;
    int day = 0;
    sscanf(row->game->played_on, "%d-%d-%d", &year, &month, &day);
    return known(year * 10000 + month * 100 + day, 0, value);
}

static bool snap_value(const Row *row, RbField field, int64_t *value)
{
    const RbSnap *snap = row->snap;
    const RbSituation *situation = &snap->situation;
    switch ((int)field) {
    case RB_FIELD_DOWN:
        return known(situation->down, 0, value);
    case RB_FIELD_DISTANCE:
        return known(situation->distance, 0, value);
    case RB_FIELD_YARDS_TO_GOAL:
        return known(situation->yards_to_goal, 0, value);
    case RB_FIELD_HASH:
        return known(situation->hash, 0, value);
    case RB_FIELD_QUARTER:
        return known(situation->quarter, 0, value);
    case RB_FIELD_CLOSE:
        return known(rb_situation_is_close(situation), 0, value);
    case RB_FIELD_PERSONNEL:
        return known(snap->personnel.value, 0, value);
    case RB_FIELD_FORMATION:
        return known(snap->formation.value, 0, value);
    case RB_FIELD_MOTION:
        return known(snap->motion.value, 0, value);
    case RB_FIELD_QUARTERBACK:
        return known(snap->quarterback.value, 0, value);
    case RB_FIELD_RESULT:
        return known(snap->result, 0, value);
    default:
        return false;
    }
}

static bool chart_value(const Row *row, RbField field, int64_t *value)
{
    const RbChart *chart = row->chart;
    if (chart == NULL) {
        return false;
    }
    switch ((int)field) {
    case RB_FIELD_CALL:
        return known(chart->call.kind, 0, value);
    case RB_FIELD_CONCEPT:
        return known(rb_chart_concept(chart).value, 0, value);
    case RB_FIELD_SIDE_WORKED:
        return known(chart->side_worked, 0, value);
    case RB_FIELD_SHELL:
        return known(chart->shown.shell, 0, value);
    case RB_FIELD_COVERAGE:
        return known(chart->played.coverage.value, 0, value);
    case RB_FIELD_FAMILY:
        return known(row->family, 0, value);
    case RB_FIELD_RUSHERS:
        return known(chart->played.rushers, -1, value);
    case RB_FIELD_PRESSURE:
        return known(chart->pressure, 0, value);
    default:
        return false;
    }
}

static bool value_of(const void *data, RbField field, int index, int64_t *value)
{
    const Row *row = data;
    if (field == RB_FIELD_OWN_TAG) {
        const GArray *tags = row->snap->own_tags;
        *value = index < (int)tags->len ? g_array_index(tags, RbTermId, index).value : 0;
        return *value != 0;
    }
    if (field <= RB_FIELD_DATE) {
        return game_value(row, field, value);
    }
    return snap_value(row, field, value) || chart_value(row, field, value);
}

enum { GAMES = 4, SNAPS = 40, TERMS = 4, IDS = 5 };

/* Few different ids, so that filters find something. */
static void narrow(RbRandom *random, int64_t *id)
{
    *id = rb_random_int(random, 0, IDS);
}

static void fill(RbRandom *random, RbStore *store)
{
    begin(store, "all");
    for (int i = 1; i <= TERMS; i++) {
        g_autoptr(RbTerm) term = make_term(random);
        term->id.value = i;
        check(rb_store_save_term(store, term, &error_));
    }
    for (int i = 1; i <= GAMES; i++) {
        g_autoptr(RbGame) game = make_game(random);
        game->id.value = i;
        narrow(random, &game->them.value);
        game->lead.value = rb_random_int(random, 0, 3);
        check(rb_store_save_game(store, game, &error_));
    }
    for (int i = 0; i < SNAPS; i++) {
        const RbGameId game = { rb_random_int(random, 1, GAMES) };
        g_autoptr(RbSnap) snap = make_snap(random, game, rb_random_int(random, 1, 30));
        narrow(random, &snap->personnel.value);
        narrow(random, &snap->formation.value);
        narrow(random, &snap->motion.value);
        narrow(random, &snap->quarterback.value);
        check(rb_store_save_snap(store, snap, &error_));
        for (int author = 1; author <= 3; author++) {
            if (rb_random_chance(random, 0.4)) {
                continue;
            }
            g_autoptr(RbChart) chart =
                make_chart(random, snap->id, (RbPersonId){ author });
            narrow(random, &chart->call.first.value);
            narrow(random, &chart->call.second.value);
            narrow(random, &chart->played.coverage.value);
            check(rb_store_save_chart(store, chart, &error_));
        }
    }
    commit(store);
}

static RbFilter *make_filter(RbRandom *random)
{
    RbFilter *filter = rb_filter_new();
    for (int n = rb_random_int(random, 0, 3); n > 0; n--) {
        const RbField field = (RbField)rb_random_int(random, 0, RB_FIELDS - 1);
        if (field == RB_FIELD_DATE) {
            const int month = rb_random_int(random, 1, 12);
            rb_filter_set_range(filter, field, 20260000 + month * 100,
                                20261231 - rb_random_int(random, 0, 12 - month) * 100);
        } else if (rb_random_chance(random, 0.4)) {
            const int low = rb_random_int(random, -1, 6);
            rb_filter_set_range(filter, field, low, low + rb_random_int(random, 0, 30));
        } else {
            for (int i = rb_random_int(random, 1, 4); i > 0; i--) {
                rb_filter_add_value(filter, field, rb_random_int(random, -1, 20));
            }
        }
    }
    return filter;
}

/* Those of a filter's clauses that SQL applies. */
static RbFilter *applied_part(const RbFilter *filter, uint32_t left)
{
    RbFilter *part = rb_filter_copy(filter);
    for (int field = 0; field < RB_FIELDS; field++) {
        if ((left & UINT32_C(1) << field) != 0) {
            ck_assert_ptr_nonnull(rb_filter_find(filter, (RbField)field));
            rb_filter_remove(part, (RbField)field);
        }
    }
    return part;
}

typedef struct {
    GPtrArray *games;
    GPtrArray *snaps;
    GPtrArray *charts; /* those that count */
    GPtrArray *terms;
} All;

static Row row_of(const All *all, const RbSnap *snap)
{
    Row row = { .snap = snap };
    for (guint i = 0; i < all->games->len; i++) {
        const RbGame *game = all->games->pdata[i];
        row.game = game->id.value == snap->game.value ? game : row.game;
    }
    for (guint i = 0; i < all->charts->len; i++) {
        const RbChart *chart = all->charts->pdata[i];
        row.chart = chart->snap.value == snap->id.value ? chart : row.chart;
    }
    if (row.chart != NULL) {
        const RbTerm *term = rb_vocabulary_find(all->terms, row.chart->played.coverage);
        row.family = term != NULL ? term->family : RB_FAMILY_UNKNOWN;
    }
    return row;
}

/* Returns how many were found. */
static guint compare(RbStore *store, const All *all, const RbFilter *filter)
{
    GError *error = NULL;
    uint32_t left = 0;
    g_autoptr(GArray) found = rb_store_find_snaps(store, filter, &left, &error);
    rb_assert_no_error(error);
    g_autoptr(RbFilter) part = applied_part(filter, left);
    guint at = 0;
    for (guint i = 0; i < all->snaps->len; i++) {
        const Row row = row_of(all, all->snaps->pdata[i]);
        if (!rb_filter_matches(part, &row, value_of)) {
            continue;
        }
        ck_assert_uint_lt(at, found->len);
        const RbFound *one = &g_array_index(found, RbFound, at);
        ck_assert_int_eq(one->snap.value, row.snap->id.value);
        ck_assert_int_eq(one->game.value, row.game->id.value);
        ck_assert_int_eq(one->chart.value, row.chart != NULL ? row.chart->id.value : 0);
        at++;
    }
    ck_assert_uint_eq(at, found->len);
    return at;
}

START_TEST(test_search__sql_and_c_agree)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(30));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    fill(&random, store);
    GError *error = NULL;
    const RbGameId every = { 0 };
    const All all = {
        .games = rb_store_list_games(store, &error),
        .snaps = rb_store_list_snaps(store, every, &error),
        .charts = rb_store_list_counting_charts(store, every, &error),
        .terms = rb_store_list_terms(store, &error),
    };
    rb_assert_no_error(error);
    ck_assert_uint_eq(all.snaps->len, SNAPS);
    int some = 0;
    for (int i = 0; i < 600; i++) {
        g_autoptr(RbFilter) filter = make_filter(&random);
        const guint n = compare(store, &all, filter);
        some += n > 0 && n < SNAPS ? 1 : 0;
    }
    ck_assert_int_gt(some, 100); /* the filters were no trivial ones */
    g_ptr_array_unref(all.games);
    g_ptr_array_unref(all.snaps);
    g_ptr_array_unref(all.charts);
    g_ptr_array_unref(all.terms);
}
END_TEST

START_TEST(test_search__says_what_it_left)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_DOWN, 3);
    rb_filter_add_value(filter, RB_FIELD_VERDICT, RB_VERDICT_LATE);
    rb_filter_add_value(filter, RB_FIELD_TECHNIQUE, RB_TECHNIQUE_OFF);
    uint32_t left = 0;
    GError *error = NULL;
    g_autoptr(GArray) found = rb_store_find_snaps(store, filter, &left, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(found->len, 0);
    ck_assert_uint_eq(left, UINT32_C(1) << RB_FIELD_VERDICT | UINT32_C(1)
                                                                  << RB_FIELD_TECHNIQUE);
}
END_TEST

/* What a screen asks again and again must not read the whole library. */
START_TEST(test_search__a_games_rows_are_found_by_index)
{
    static const char *const queries[] = {
        "SELECT * FROM snap WHERE game = ?",        "SELECT * FROM chart WHERE snap = ?",
        "SELECT * FROM penalty WHERE snap = ?",     "SELECT * FROM look WHERE chart = ?",
        "SELECT * FROM clip WHERE snap = ?",        "SELECT * FROM mark WHERE clip = ?",
        "SELECT * FROM player WHERE team = ?",      "SELECT * FROM film WHERE game = ?",
        "SELECT * FROM revision WHERE concept = ?",
    };
    g_autoptr(RbStore) store = make_store("a.readbreak");
    for (size_t i = 0; i < G_N_ELEMENTS(queries); i++) {
        GError *error = NULL;
        g_autofree char *sql = g_strconcat("EXPLAIN QUERY PLAN ", queries[i], NULL);
        g_autoptr(RbStatement) plan = rb_statement_new(store, sql, &error);
        rb_assert_no_error(error);
        ck_assert_int_eq(rb_statement_step(plan, &error), RB_STEP_ROW);
        const char *detail = rb_statement_get_text(plan, "detail");
        ck_assert_msg(g_str_has_prefix(detail, "SEARCH"), "%s: %s", queries[i], detail);
    }
}
END_TEST

TCase *rb_case_search(void)
{
    TCase *tcase = rb_case_new("search");
    tcase_add_test(tcase, test_search__sql_and_c_agree);
    tcase_add_test(tcase, test_search__says_what_it_left);
    tcase_add_test(tcase, test_search__a_games_rows_are_found_by_index);
    return tcase;
}
