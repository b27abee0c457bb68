/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/random.h"
#include "rb/store/playbook.h"
#include "rb/work/decision-try.h"
#include "rb/work/error.h"
#include "rb/work/explain.h"
#include "rb/work/footwork.h"
#include "rb/work/playbook-edit.h"

#include "suite.h"

TCase *rb_case_footwork(void);

static RbLibrary *library_new(void)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("footwork.readbreak");
    RbLibrary *library = rb_library_create(path, "Coach", &error);
    rb_assert_no_error(error);
    return library;
}

static RbFootwork table_of(RbLibrary *library)
{
    GError *error = NULL;
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    return *rb_names_footwork(names);
}

/* Any number of assignments, NULL at the end; saves them. Returns: (transfer full) (nullable):
 * the words of the history. */
static char *set(RbLibrary *library, const char *const *texts)
{
    GError *error = NULL;
    char *words = NULL;
    RbFootwork table = table_of(library);
    for (; *texts != NULL; texts++) {
        ck_assert(rb_footwork_assign(&table, *texts, &error));
        rb_assert_no_error(error);
    }
    ck_assert(rb_library_set_footwork(library, &table, &words, &error));
    rb_assert_no_error(error);
    return words;
}

static void assert_same_table(const RbFootwork *table, const RbFootwork *other)
{
    g_autoptr(GArray) lines = rb_footwork_lines(table);
    g_autoptr(GArray) others = rb_footwork_lines(other);
    ck_assert_uint_eq(lines->len, others->len);
    for (guint i = 0; i < lines->len; i++) {
        ck_assert_str_eq(g_array_index(lines, RbFootworkLine, i).key,
                         g_array_index(others, RbFootworkLine, i).key);
        ck_assert_int_eq(g_array_index(lines, RbFootworkLine, i).ms,
                         g_array_index(others, RbFootworkLine, i).ms);
    }
}

START_TEST(test_footwork__every_default_is_told_with_its_source)
{
    g_autoptr(RbLibrary) library = library_new();
    const RbFootwork table = table_of(library);
    assert_same_table(&table, rb_footwork_defaults());
    g_autoptr(GArray) lines = rb_footwork_lines(&table);
    ck_assert_int_eq((int)lines->len, rb_footwork_defaults()->n + 4);
    for (guint i = 0; i < lines->len; i++) {
        const RbFootworkLine *line = &g_array_index(lines, RbFootworkLine, i);
        g_autofree char *mark = rb_footwork_mark_text(line);
        ck_assert(!line->ours);
        ck_assert_int_eq(line->ms, line->default_ms);
        ck_assert_ptr_nonnull(line->source);
        ck_assert(g_str_has_prefix(mark, "default: "));
        ck_assert_ptr_nonnull(strstr(mark, "no source"));
    }
    ck_assert_str_eq(g_array_index(lines, RbFootworkLine, 0).key, "centre-1");
    static const char *const last[] = { "hitch", "fake", "boot", "sprint" };
    for (guint i = 0; i < G_N_ELEMENTS(last); i++) {
        ck_assert_str_eq(
            g_array_index(lines, RbFootworkLine, lines->len - G_N_ELEMENTS(last) + i).key,
            last[i]);
    }
    ck_assert_ptr_null(rb_footwork_default_source(RB_BACKFIELD_GUN, 2));
}
END_TEST

START_TEST(test_footwork__own_values_are_marked_and_taken_out_again)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autofree char *words =
        set(library, (const char *const[]){ "GUN-2=1.8", "hitch=0.5", NULL });
    ck_assert_str_eq(words,
                     "Footwork: 2 steps from the gun 1.80 s; a hitch 0.50 s instead "
                     "of 0.40 s");
    RbFootwork table = table_of(library);
    g_autoptr(GArray) lines = rb_footwork_lines(&table);
    int ours = 0;
    for (guint i = 0; i < lines->len; i++) {
        const RbFootworkLine *line = &g_array_index(lines, RbFootworkLine, i);
        g_autofree char *mark = rb_footwork_mark_text(line);
        if (strcmp(line->key, "gun-2") == 0) {
            ck_assert_str_eq(mark, "ours; there is no default");
        } else if (strcmp(line->key, "hitch") == 0) {
            ck_assert_str_eq(mark, "ours; the default is 0.40 s");
        }
        ours += line->ours;
    }
    ck_assert_int_eq(ours, 2);
    g_autofree char *back =
        set(library, (const char *const[]){ "gun-2=default", "hitch=default", NULL });
    ck_assert_str_eq(back,
                     "Footwork: 2 steps from the gun taken out; a hitch 0.40 s instead "
                     "of 0.50 s");
    table = table_of(library);
    assert_same_table(&table, rb_footwork_defaults());
}
END_TEST

static const char *const nonsense[] = {
    "gun-3",        "=2",          "gun=2",     "gun-0=2",
    "gun-10=2",     "centre-03=2", "gun-3=",    "gun-3=soon",
    "gun-3=0.29",   "gun-3=10.01", "gun-3=2,2", "gun-3=1.2.3",
    "gun-3=.5",     "gun-3=2.",    "gun-3=-2",  "gun-3=+2",
    "gun-3=1e0",    "gun-3=0x2",   "gun-3= 2",  "gun-3=nan",
    "gun-3=inf",    "hitch=0.09",  "fake=2.01", "boot=0.29",
    "sprint=10.01", "hitch=2.01",  "hitch=0",   "gun-3=99999999999999999999",
};

START_TEST(test_footwork__nonsense_is_refused_in_one_sentence)
{
    for (guint i = 0; i < G_N_ELEMENTS(nonsense); i++) {
        GError *error = NULL;
        RbFootwork table = *rb_footwork_defaults();
        ck_assert_msg(!rb_footwork_assign(&table, nonsense[i], &error), "%s",
                      nonsense[i]);
        ck_assert_ptr_nonnull(error);
        ck_assert(error->domain == RB_WORK_ERROR);
        ck_assert(g_str_has_suffix(error->message, "."));
        ck_assert_ptr_null(strchr(error->message, '\n'));
        g_error_free(error);
        assert_same_table(&table, rb_footwork_defaults());
    }
}
END_TEST

START_TEST(test_footwork__more_steps_take_more_time)
{
    g_autoptr(RbLibrary) library = library_new();
    GError *error = NULL;
    RbFootwork table = table_of(library);
    ck_assert(rb_footwork_assign(&table, "centre-3=2.4", NULL));
    ck_assert(!rb_library_set_footwork(library, &table, NULL, &error));
    ck_assert_str_eq(
        error->message,
        "5 steps from centre would take 2.40 s and 3 steps 2.40 s: more steps "
        "must take more time, so change both.");
    g_clear_error(&error);
    table = table_of(library);
    assert_same_table(&table, rb_footwork_defaults());
    /* What is odd by itself is right together; the backfields do not meddle. */
    g_autofree char *words =
        set(library,
            (const char *const[]){ "centre-3=2.4", "centre-5=2.6", "gun-5=2.3", NULL });
    ck_assert_str_eq(words,
                     "Footwork: 3 steps from centre 2.40 s instead of 1.50 s; 5 steps "
                     "from centre 2.60 s instead of 2.40 s; 5 steps from the gun "
                     "2.30 s instead of 2.90 s");
}
END_TEST

/* One read, thrown open from three steps in the gun at 2.3 s. */
static RbVerdict judge(RbLibrary *library)
{
    GError *error = NULL;
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    const RbConcept *concept = rb_names_parse_concept(names, "lone-out", &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnap) snap = NULL;
    g_autoptr(RbChart) chart = NULL;
    rb_try_new(concept, &snap, &chart);
    static const char *const said[][2] = { { "read-1", "open" },
                                           { "ball", "read-1" },
                                           { "release", "2.3" } };
    for (guint i = 0; i < G_N_ELEMENTS(said); i++) {
        const RbTaggable *field = rb_taggable_parse(said[i][0], &error);
        ck_assert(rb_taggable_set(field, names, snap, chart, said[i][1], &error));
    }
    rb_try_fill_played(chart);
    RbExplanation told;
    rb_explain(names, snap, chart, NULL, &told);
    const RbVerdict verdict = told.judgment.verdict;
    rb_explanation_clear(&told);
    return verdict;
}

static void add_concept(RbLibrary *library)
{
    GError *error = NULL;
    g_autoptr(RbConcept) concept = rb_concept_new("lone-out", "Lone out");
    RbRead *read = rb_read_new(1, RB_ROUTE_OUT);
    read->clock = (RbClock){ .kind = RB_CLOCK_FOOTWORK,
                             .backfield = RB_BACKFIELD_GUN,
                             .steps = 3,
                             .tolerance_ms = 250 };
    g_ptr_array_add(concept->reads, read);
    ck_assert(rb_library_put_concept(library, concept, NULL, &error));
    rb_assert_no_error(error);
}

START_TEST(test_footwork__a_changed_time_moves_a_verdict_and_undo_brings_it_back)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("footwork.readbreak");
    g_autoptr(RbLibrary) library = library_new();
    add_concept(library);
    ck_assert_int_eq(judge(library), RB_VERDICT_ON_READ); /* late after 2.45 s */
    g_autofree char *words = set(library, (const char *const[]){ "gun-3=2.04", NULL });
    ck_assert_str_eq(words, "Footwork: 3 steps from the gun 2.04 s instead of 2.20 s");
    ck_assert_int_eq(judge(library), RB_VERDICT_LATE); /* after 2.29 s */
    g_autoptr(RbLibrary) other = rb_library_open(path, "Other", &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(judge(other), RB_VERDICT_LATE);
    g_autofree char *undone = NULL;
    ck_assert(rb_library_undo(library, &undone, &error));
    ck_assert_ptr_nonnull(strstr(undone, words));
    ck_assert_int_eq(judge(library), RB_VERDICT_ON_READ);
    ck_assert_int_eq(judge(other), RB_VERDICT_ON_READ);
    ck_assert(rb_library_redo(library, NULL, &error));
    ck_assert_int_eq(judge(other), RB_VERDICT_LATE);
    g_autofree char *nothing = set(library, (const char *const[]){ "gun-3=2.04", NULL });
    ck_assert_ptr_null(nothing);
}
END_TEST

/* Any table that makes sense comes back from the file as it was. */
START_TEST(test_footwork__any_table_comes_back)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(204));
    g_autoptr(RbLibrary) library = library_new();
    g_autofree char *path = rb_test_path("footwork.readbreak");
    const int cases = rb_test_some(20);
    for (int round = 0; round < cases; round++) {
        GError *error = NULL;
        RbFootwork table = { .hitch_ms = 100 + 10 * rb_random_int(&random, 0, 190),
                             .fake_ms = 100 + 10 * rb_random_int(&random, 0, 190),
                             .boot_ms = 300 + 10 * rb_random_int(&random, 0, 970),
                             .sprint_ms = 300 + 10 * rb_random_int(&random, 0, 970) };
        for (int side = 0; side < 2; side++) {
            int ms = RB_FOOTWORK_MS_MIN;
            for (int steps = 1; steps <= RB_STEPS_MAX; steps++) {
                ms += 10 + 10 * rb_random_int(&random, 0, 99);
                const RbBackfield from =
                    side == 0 ? RB_BACKFIELD_GUN : RB_BACKFIELD_CENTRE;
                if (rb_footwork_default_source(from, steps) != NULL ||
                    rb_random_chance(&random, 0.7)) {
                    table.rows[table.n++] = (RbFootworkRow){ from, steps, ms };
                }
            }
        }
        ck_assert(rb_library_set_footwork(library, &table, NULL, &error));
        rb_assert_no_error(error);
        g_autoptr(RbLibrary) other = rb_library_open(path, "Other", &error);
        const RbFootwork back = table_of(other);
        assert_same_table(&back, &table);
    }
}
END_TEST

START_TEST(test_footwork__a_value_that_cannot_be_is_not_taken)
{
    static const char *const values[] = { "soon", "", "-5", "99999", "400 ms", "2001" };
    GError *error = NULL;
    g_autofree char *path = rb_test_path("footwork.readbreak");
    rb_library_close(library_new());
    RbStore *store = rb_store_open(path, &error);
    for (guint i = 0; i < G_N_ELEMENTS(values); i++) {
        ck_assert(rb_store_begin(store, (RbPersonId){ 5 }, "Damage", &error));
        ck_assert(rb_store_set_setting(store, "footwork.hitch", values[i], &error));
        ck_assert(rb_store_commit(store, &error));
        rb_assert_no_error(error);
        g_autoptr(RbLibrary) library = rb_library_open(path, "Coach", &error);
        const RbFootwork table = table_of(library);
        assert_same_table(&table, rb_footwork_defaults());
    }
    rb_store_free(store);
}
END_TEST

TCase *rb_case_footwork(void)
{
    TCase *tcase = rb_case_new("footwork");
    tcase_add_test(tcase, test_footwork__every_default_is_told_with_its_source);
    tcase_add_test(tcase, test_footwork__own_values_are_marked_and_taken_out_again);
    tcase_add_test(tcase, test_footwork__nonsense_is_refused_in_one_sentence);
    tcase_add_test(tcase, test_footwork__more_steps_take_more_time);
    tcase_add_test(tcase,
                   test_footwork__a_changed_time_moves_a_verdict_and_undo_brings_it_back);
    tcase_add_test(tcase, test_footwork__any_table_comes_back);
    tcase_add_test(tcase, test_footwork__a_value_that_cannot_be_is_not_taken);
    return tcase;
}
