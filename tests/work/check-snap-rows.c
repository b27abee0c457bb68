/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/store/films.h"
#include "rb/work/snap-rows.h"
#include "rb/work/snapshot.h"

#include "library-private.h"
#include "library-sample.h"
#include "suite.h"

TCase *rb_case_snap_rows(void);

static const RbSnapId some_snap = { 201010 };

static GPtrArray *rows_of_game(RbLibrary *library)
{
    g_autoptr(RbSnap) snap = rb_library_load_snap(library, some_snap, NULL);
    GError *error = NULL;
    GPtrArray *rows = rb_library_load_snap_rows(library, snap->game, &error);
    rb_assert_no_error(error);
    return rows;
}

static const RbSnapRow *row_of(const GPtrArray *rows, RbSnapId id)
{
    for (guint i = 0; i < rows->len; i++) {
        const RbSnapRow *row = rows->pdata[i];
        if (row->snap.value == id.value) {
            return row;
        }
    }
    ck_abort_msg("no row of snap %d", (int)id.value);
    return NULL;
}

static int column(const char *token)
{
    for (int i = 0; i < RB_SNAP_COLUMNS; i++) {
        if (g_str_equal(rb_snap_columns[i], token)) {
            return i;
        }
    }
    ck_abort_msg("no column %s", token);
    return -1;
}

/* A row shows what the sheet of the snap shows, snap after snap. */
START_TEST(test_snap_rows__rows_say_what_the_sheets_say)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(81));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(GPtrArray) rows = rows_of_game(library);
    ck_assert_uint_gt(rows->len, 1);
    for (guint i = 0; i < rows->len; i++) {
        const RbSnapRow *row = rows->pdata[i];
        ck_assert(i == 0 ||
                  ((const RbSnapRow *)rows->pdata[i - 1])->number < row->number);
        GError *error = NULL;
        g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, row->snap, &error);
        rb_assert_no_error(error);
        for (int k = 0; k < RB_SNAP_COLUMNS; k++) {
            const RbTaggable *field = rb_taggable_parse(rb_snap_columns[k], NULL);
            g_autofree char *value =
                rb_taggable_get(field, sheet->names, sheet->snap, sheet->chart);
            ck_assert_msg(g_str_equal(row->value[k], value), "snap %d, %s: %s, not %s",
                          row->number, rb_snap_columns[k], row->value[k], value);
        }
    }
    random_season_clear(&season);
}
END_TEST

/* The still of a row is the snap of its first clip, and of the film as its sheet names it. */
START_TEST(test_snap_rows__stills_are_of_the_snap)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(85));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    for (int placed = 0; placed < 2; placed++) {
        g_autoptr(GPtrArray) rows = rows_of_game(library);
        int marked = 0;
        for (guint i = 0; i < rows->len; i++) {
            const RbSnapRow *row = rows->pdata[i];
            g_autoptr(GPtrArray) clips = rb_library_load_clips(library, row->snap, NULL);
            if (placed == 0 || clips->len == 0) {
                ck_assert_ptr_null(row->film);
                continue;
            }
            const RbClip *clip = clips->pdata[0];
            const RbMark *snap = rb_clip_find_mark(clip, RB_MARK_SNAP);
            ck_assert_str_eq(row->film, "/films/wide.mp4");
            ck_assert_int_eq(row->frame,
                             snap != NULL ? snap->frame : (clip->first + clip->last) / 2);
            marked += snap != NULL;
        }
        ck_assert(placed == 0 || marked > 0);
        if (placed == 0) {
            GError *error = NULL;
            ck_assert(rb_store_add_film_path(rb_library_store(library), (RbFilmId){ 9 },
                                             "/films/wide.mp4", &error));
            rb_assert_no_error(error);
        }
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snap_rows__a_blind_chart_shows_only_its_own_tags)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(82));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    rb_library_set_blind(library, true);
    const int coverage = column("coverage");
    g_autoptr(GPtrArray) before = rows_of_game(library);
    ck_assert_str_eq(row_of(before, some_snap)->value[coverage], "");
    sample_tag(library, some_snap, "coverage", "cover-3");
    g_autoptr(GPtrArray) after = rows_of_game(library);
    ck_assert_str_eq(row_of(after, some_snap)->value[coverage], "cover-3");
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snap_rows__every_word_must_occur)
{
    const RbSnapRow row = { .sought = (char *)"34 1 3 own 40 stick cover 3 sack" };
    ck_assert(rb_snap_row_matches(&row, ""));
    ck_assert(rb_snap_row_matches(&row, "  "));
    ck_assert(rb_snap_row_matches(&row, "SACK Cover"));
    ck_assert(rb_snap_row_matches(&row, "stick\town"));
    ck_assert(!rb_snap_row_matches(&row, "stick quarters"));
}
END_TEST

static RbSnapRow row_with(int number, const char *value)
{
    RbSnapRow row = { .number = number };
    row.value[0] = (char *)value;
    row.shown[0] = (char *)value;
    return row;
}

START_TEST(test_snap_rows__numbers_go_by_size_and_the_unknown_last)
{
    const RbSnapRow nine = row_with(3, "9");
    const RbSnapRow ten = row_with(2, "10");
    const RbSnapRow loss = row_with(5, "-4");
    const RbSnapRow unknown = row_with(1, "");
    const RbSnapRow later = row_with(4, "9");
    ck_assert_int_lt(rb_snap_row_compare(&nine, &ten, 0), 0);
    ck_assert_int_lt(rb_snap_row_compare(&loss, &nine, 0), 0);
    ck_assert_int_gt(rb_snap_row_compare(&unknown, &ten, 0), 0);
    ck_assert_int_lt(rb_snap_row_compare(&ten, &unknown, 0), 0);
    ck_assert_int_lt(rb_snap_row_compare(&nine, &later, 0), 0);
    ck_assert_int_lt(rb_snap_row_compare(&unknown, &ten, -1), 0);
    const RbSnapRow drive = row_with(9, "Drive");
    const RbSnapRow stick = row_with(8, "Stick");
    ck_assert_int_lt(rb_snap_row_compare(&drive, &stick, 0), 0);
}
END_TEST

TCase *rb_case_snap_rows(void)
{
    TCase *tcase = rb_case_new("snap-rows");
    tcase_add_test(tcase, test_snap_rows__rows_say_what_the_sheets_say);
    tcase_add_test(tcase, test_snap_rows__stills_are_of_the_snap);
    tcase_add_test(tcase, test_snap_rows__a_blind_chart_shows_only_its_own_tags);
    tcase_add_test(tcase, test_snap_rows__every_word_must_occur);
    tcase_add_test(tcase, test_snap_rows__numbers_go_by_size_and_the_unknown_last);
    return tcase;
}
