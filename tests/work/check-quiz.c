/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>

#include "rb/store/films.h"
#include "rb/work/demo.h"
#include "rb/work/quarterback.h"
#include "rb/work/quiz.h"

#include "suite.h"

TCase *rb_case_quiz(void);

enum { MANY = 100000 };

static RbLibrary *library;
static RbSelection *selection;

/* Their film lies nowhere: the questions need its marks only. */
enum { FILMED = 6 };

static void save_clip(RbStore *store, RbSnapId snap)
{
    GError *error = NULL;
    g_autoptr(RbClip) clip =
        rb_clip_new((RbClipId){ snap.value ^ 5 }, snap, (RbFilmId){ 9 }, RB_ANGLE_WIDE);
    const RbMark mark = { .id = { snap.value ^ 6 },
                          .clip = clip->id,
                          .kind = RB_MARK_SNAP,
                          .frame = 100,
                          .time = { 100, { 1, 30 } } };
    g_array_append_val(clip->marks, mark);
    rb_store_save_clip(store, clip, &error);
    rb_assert_no_error(error);
}

/* The first dropbacks get clips with a snap mark each. */
static void save_clips(const char *path)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = rb_store_open(path, &error);
    rb_assert_no_error(error);
    rb_store_begin(store, rb_library_get_person(library), "Film", &error);
    rb_assert_no_error(error);
    g_autoptr(RbFilm) film = rb_film_new((RbFilmId){ 9 }, "wide.mp4");
    rb_store_save_film(store, film, &error);
    rb_assert_no_error(error);
    int n = 0;
    g_autofree RbDropback *rows =
        rb_snapshot_dup_rows(rb_selection_get_snapshot(selection), &n);
    ck_assert_int_gt(n, FILMED);
    for (int i = 0; i < FILMED; i++) {
        save_clip(store, rows[i].snap);
    }
    rb_store_commit(store, &error);
    rb_assert_no_error(error);
}

/* A demo season without pictures. */
static void open_demo(void)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("demo.readbreak");
    RbDemoOptions options = rb_demo_options_default();
    options.film_snaps = 0;
    rb_demo_make(path, &options, NULL, NULL, &error);
    rb_assert_no_error(error);
    library = rb_library_open(path, "Player", &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    selection = rb_selection_new(snapshot, NULL);
    save_clips(path);
}

static void close_demo(void)
{
    rb_selection_free(selection);
    rb_library_close(library);
}

static GPtrArray *ask(const char *today, int limit)
{
    GError *error = NULL;
    GPtrArray *questions = rb_quiz_questions(
        library, selection, rb_library_get_person(library), today, limit, &error);
    rb_assert_no_error(error);
    return questions;
}

static void answer(const RbQuizQuestion *question, const char *today, bool right)
{
    GError *error = NULL;
    g_autoptr(RbQuizAnswer) given = rb_quiz_answer_new(
        (RbQuizAnswerId){ 0 }, question->snap, rb_library_get_person(library));
    given->asked_on = g_strdup(today);
    given->shell = question->shell;
    given->side = question->side;
    given->first_read = question->first_read;
    given->read = right ? question->right_read : RB_READS_MAX + 1;
    given->thinking_ms = 5000;
    rb_quiz_score(question, given);
    ck_assert_int_eq(given->read_right, right ? RB_YES : RB_NO);
    ck_assert_int_ne(given->first_right, RB_NO);
    rb_quiz_keep(library, given, &error);
    rb_assert_no_error(error);
}

START_TEST(test_quiz__asks_settled_snaps_with_film_errors_first)
{
    open_demo();
    g_autoptr(GPtrArray) questions = ask("2026-11-25", MANY);
    ck_assert_uint_ge(questions->len, 1);
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    bool rights = false;
    for (guint i = 0; i < questions->len; i++) {
        const RbQuizQuestion *question = questions->pdata[i];
        RbDropback row;
        ck_assert(rb_snapshot_find_row(snapshot, question->snap, &row));
        ck_assert(rb_verdict_is_judged(row.verdict));
        const bool right = rb_verdict_is_right(row.verdict);
        ck_assert(right || !rights);
        rights = rights || right;
        ck_assert_ptr_null(question->due_on);
        ck_assert_int_ge(question->n_rungs, 2);
        ck_assert_int_eq(question->right_read, row.right_read);
        for (int s = 1; s < question->n_stops; s++) {
            ck_assert_int_lt(question->stop_ms[s - 1], question->stop_ms[s]);
        }
        ck_assert_int_ge(question->n_stops, 1);
    }
    g_autoptr(GPtrArray) one = ask("2026-11-25", 1);
    ck_assert_uint_eq(one->len, 1);
    close_demo();
}
END_TEST

/* Wrong: tomorrow. Right: tomorrow, then in six days: rb/stats/spacing.h. */
START_TEST(test_quiz__comes_back_on_schedule)
{
    open_demo();
    g_autoptr(GPtrArray) first = ask("2026-11-30", MANY);
    const RbQuizQuestion *question = first->pdata[0];
    answer(question, "2026-11-30", true);
    g_autoptr(GPtrArray) same_day = ask("2026-11-30", MANY);
    ck_assert_uint_eq(same_day->len, first->len - 1);
    g_autoptr(GPtrArray) next_day = ask("2026-12-01", MANY);
    ck_assert_uint_eq(next_day->len, first->len);
    const RbQuizQuestion *again = next_day->pdata[0];
    ck_assert_int_eq(again->snap.value, question->snap.value); /* due before new */
    ck_assert_str_eq(again->due_on, "2026-12-01");
    ck_assert_int_eq(again->asked, 1);
    answer(again, "2026-12-01", true);
    g_autoptr(GPtrArray) fifth = ask("2026-12-06", MANY);
    ck_assert_uint_eq(fifth->len, first->len - 1);
    g_autoptr(GPtrArray) sixth = ask("2026-12-07", MANY);
    ck_assert_uint_eq(sixth->len, first->len);
    answer(sixth->pdata[0], "2026-12-07", false);
    g_autoptr(GPtrArray) tomorrow = ask("2026-12-08", MANY);
    const RbQuizQuestion *back = tomorrow->pdata[0];
    ck_assert_int_eq(back->snap.value, question->snap.value);
    ck_assert_int_eq(back->asked, 3);
    close_demo();
}
END_TEST

START_TEST(test_quiz__report_adds_up)
{
    open_demo();
    GError *error = NULL;
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    const RbPersonId me = rb_library_get_person(library);
    g_autoptr(GPtrArray) none = rb_quiz_report(library, snapshot, me, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(none->len, 1);
    ck_assert_int_eq(((RbQuizLine *)none->pdata[0])->median_ms, -1);
    g_autoptr(GPtrArray) questions = ask("2026-11-30", MANY);
    for (guint i = 0; i < questions->len; i++) {
        answer(questions->pdata[i], "2026-11-30", i == 0);
    }
    g_autoptr(GPtrArray) lines = rb_quiz_report(library, snapshot, me, &error);
    rb_assert_no_error(error);
    RbQuizLine sum = { 0 };
    for (guint i = 0; i + 1 < lines->len; i++) {
        const RbQuizLine *line = lines->pdata[i];
        ck_assert_ptr_nonnull(line->name);
        sum.asked += line->asked;
        sum.reads_right += line->reads_right;
        sum.shells += line->shells;
        sum.firsts_right += line->firsts_right;
    }
    const RbQuizLine *all = lines->pdata[lines->len - 1];
    ck_assert_ptr_null(all->name);
    ck_assert_int_eq(all->asked, (int)questions->len);
    ck_assert_int_eq(all->reads_right, 1);
    ck_assert_int_eq(sum.asked, all->asked);
    ck_assert_int_eq(sum.reads_right, all->reads_right);
    ck_assert_int_eq(sum.shells, all->shells);
    ck_assert_int_eq(sum.firsts_right, all->firsts_right);
    ck_assert_int_eq(all->median_ms, 5000);
    /* Somebody else has answered nothing. */
    g_autoptr(GPtrArray) other =
        rb_quiz_report(library, snapshot, (RbPersonId){ 99 }, &error);
    ck_assert_uint_eq(other->len, 1);
    close_demo();
}
END_TEST

START_TEST(test_quiz__scores_by_table)
{
    static const struct {
        RbYesNo shell, first, read;
        int ms, quality;
    } rows[] = {
        { RB_YES, RB_YES, RB_YES, 2000, 5 },
        { RB_YES, RB_YES, RB_YES, 9000, 4 },
        { RB_YES, RB_YES, RB_YES, -1, 4 },
        { RB_YES_NO_UNKNOWN, RB_YES_NO_UNKNOWN, RB_YES, 3000, 5 },
        { RB_NO, RB_YES, RB_YES, 2000, 3 },
        { RB_YES, RB_NO, RB_YES, 2000, 3 },
        { RB_YES, RB_YES, RB_NO, 2000, 2 },
        { RB_NO, RB_YES, RB_NO, 2000, 1 },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        const RbQuizAnswer given = { .shell_right = rows[i].shell,
                                     .first_right = rows[i].first,
                                     .read_right = rows[i].read,
                                     .thinking_ms = rows[i].ms };
        ck_assert_int_eq(rb_quiz_quality(&given), rows[i].quality);
    }
    /* A side to be picked is asked instead of the first read; with nothing open both the outlet
     * and nobody are right. */
    const RbQuizQuestion question = {
        .shell = RB_SHELL_TWO_HIGH, .side = RB_SIDE_LEFT, .first_read = 1, .outlet = 4
    };
    RbQuizAnswer given = { .shell = RB_SHELL_ONE_HIGH, .side = RB_SIDE_LEFT, .read = 4 };
    rb_quiz_score(&question, &given);
    ck_assert_int_eq(given.shell_right, RB_NO);
    ck_assert_int_eq(given.first_right, RB_YES);
    ck_assert_int_eq(given.read_right, RB_YES);
    given.read = 0;
    rb_quiz_score(&question, &given);
    ck_assert_int_eq(given.read_right, RB_YES);
    given.read = 2;
    rb_quiz_score(&question, &given);
    ck_assert_int_eq(given.read_right, RB_NO);
}
END_TEST

TCase *rb_case_quiz(void)
{
    TCase *tcase = rb_case_new("quiz");
    tcase_add_test(tcase, test_quiz__asks_settled_snaps_with_film_errors_first);
    tcase_add_test(tcase, test_quiz__comes_back_on_schedule);
    tcase_add_test(tcase, test_quiz__report_adds_up);
    tcase_add_test(tcase, test_quiz__scores_by_table);
    return tcase;
}
