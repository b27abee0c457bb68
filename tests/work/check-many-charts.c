/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Three and more people on one game. */
#include <math.h>
#include <string.h>

#include "rb/base/ids.h"
#include "rb/work/many-charts.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_many_charts(void);

enum { UNITS = 12, PEOPLE = 4 };

/* Krippendorff's own example: four observers, twelve units, values 1 to 5, some missing (0).
 * Nominal alpha is 0.743. K. Krippendorff, "Computing Krippendorff's Alpha-Reliability", 2011,
 * section E, from memory; the same table is in the tests of rb_alpha(). */
static const int observers[PEOPLE][UNITS] = {
    { 1, 2, 3, 3, 2, 1, 4, 1, 2, 0, 0, 0 },
    { 1, 2, 3, 3, 2, 2, 4, 1, 2, 5, 0, 3 },
    { 0, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, 0 },
    { 1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, 0 },
};

static const char *const names[PEOPLE] = { "Ana Bell", "Cal Dunn", "Eve Frost",
                                           "Gus Hale" };
static const char *const words[] = { "", "press", "off", "bail", "squat", "hard" };

static void tag_all(RbLibrary *library, const GPtrArray *snaps)
{
    for (int person = 0; person < PEOPLE; person++) {
        rb_library_work_as(library, names[person]);
        rb_library_set_blind(library, true); /* nothing of the others comes along */
        for (int i = 0; i < UNITS; i++) {
            const RbSnap *snap = snaps->pdata[i];
            if (observers[person][i] > 0) {
                sample_tag(library, snap->id, "left-technique",
                           words[observers[person][i]]);
            }
        }
    }
}

static GArray *ids_of(void)
{
    GArray *people = g_array_new(FALSE, FALSE, sizeof(RbPersonId));
    for (int i = 0; i < PEOPLE; i++) {
        const RbPersonId id = rb_person_id_of(names[i]);
        g_array_append_val(people, id);
    }
    return people;
}

static const RbTagAlpha *find_tag(const RbManyCharts *charts, const char *token)
{
    for (guint i = 0; i < charts->tags->len; i++) {
        const RbTagAlpha *tag = &g_array_index(charts->tags, RbTagAlpha, i);
        if (strcmp(tag->field->token, token) == 0) {
            return tag;
        }
    }
    return NULL;
}

START_TEST(test_many_charts__alpha_disagreements_and_habits)
{
    RbRandom random;
    RandomSeason season;
    GError *error = NULL;
    rb_random_seed(&random, rb_test_seed(91));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, random_games[0], &error);
    ck_assert_uint_ge(snaps->len, UNITS);
    tag_all(library, snaps);
    g_autoptr(GArray) people = ids_of();
    g_autoptr(RbManyCharts) charts =
        rb_library_compare_people(library, random_games[0], people, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(charts->tags->len, 1);
    const RbTagAlpha *tag = find_tag(charts, "left-technique");
    ck_assert_ptr_nonnull(tag);
    ck_assert(tag->has_alpha);
    ck_assert_msg(fabs(tag->alpha - 0.743) < 0.0005, "alpha is %.4f", tag->alpha);
    ck_assert_int_eq(tag->snaps, 11);
    /* Units 2, 6 and 8 are the ones on which not all say the same. */
    ck_assert_int_eq(tag->alike, 8);
    ck_assert_uint_eq(charts->disagreements->len, 3);
    const RbDisagreement *one = charts->disagreements->pdata[1];
    ck_assert_int_eq(one->number, ((const RbSnap *)snaps->pdata[5])->number);
    ck_assert_uint_eq(one->said->len, 4);
    ck_assert_str_eq(g_array_index(one->said, RbSaid, 0).shown, "Press");
    /* Eve calls "bail" on 2 and 6 where nobody else does. */
    ck_assert_uint_ge(charts->habits->len, 1);
    const RbHabit *habit = charts->habits->pdata[0];
    ck_assert_int_eq(habit->person.value, g_array_index(people, RbPersonId, 2).value);
    ck_assert_str_eq(habit->shown, "Bail");
    ck_assert_int_eq(habit->snaps, 10);
    ck_assert_int_eq(habit->said, 4);
    ck_assert(fabs(habit->others - 2.0) < 1e-9);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_many_charts__everybody_when_nobody_is_named)
{
    RbRandom random;
    RandomSeason season;
    GError *error = NULL;
    rb_random_seed(&random, rb_test_seed(92));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbManyCharts) alone =
        rb_library_compare_people(library, random_games[0], NULL, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(alone->tags->len, 0);
    ck_assert_uint_eq(alone->disagreements->len, 0);
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, random_games[0], &error);
    tag_all(library, snaps);
    g_autoptr(RbManyCharts) all =
        rb_library_compare_people(library, random_games[0], NULL, &error);
    ck_assert_uint_ge(all->people->len, PEOPLE);
    ck_assert_ptr_nonnull(find_tag(all, "left-technique"));
    for (guint i = 1; i < all->disagreements->len; i++) {
        const RbDisagreement *before = all->disagreements->pdata[i - 1];
        const RbDisagreement *now = all->disagreements->pdata[i];
        ck_assert_int_le(before->number, now->number);
    }
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_many_charts(void)
{
    TCase *tc = rb_case_new("many-charts");
    tcase_add_test(tc, test_many_charts__alpha_disagreements_and_habits);
    tcase_add_test(tc, test_many_charts__everybody_when_nobody_is_named);
    return tc;
}
