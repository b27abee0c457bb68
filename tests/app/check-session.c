/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The session on a real library, without a window. */
#include <glib/gstdio.h>
#include <string.h>

#include "rb/work/open-data.h"

#include "cases.h"
#include "display.h"
#include "errands.h"
#include "sample-library.h"
#include "session.h"

typedef struct {
    RbSession *session;
    int sheets;
    int said;
    char *last; /* owned */
} Watch;

static void on_sheet(Watch *watch)
{
    watch->sheets++;
}

static void on_said(Watch *watch, const char *sentence)
{
    watch->said++;
    g_free(watch->last);
    watch->last = g_strdup(sentence);
}

static bool has_sheet(void *data)
{
    return rb_session_get_sheet(((Watch *)data)->session) != NULL;
}

static bool has_said(void *data)
{
    return ((Watch *)data)->said > 0;
}

static bool has_failed(void *data)
{
    return rb_session_get_state(((Watch *)data)->session) == RB_SESSION_FAILED;
}

static bool has_ladder(void *data)
{
    return rb_session_get_ladder(((Watch *)data)->session) != NULL;
}

static void watch_start(Watch *watch)
{
    *watch = (Watch){ .session = rb_session_new() };
    g_signal_connect_swapped(watch->session, "sheet", G_CALLBACK(on_sheet), watch);
    g_signal_connect_swapped(watch->session, "said", G_CALLBACK(on_said), watch);
}

static void watch_end(Watch *watch)
{
    gpointer watched = watch->session;
    g_object_add_weak_pointer(watched, &watched);
    g_signal_handlers_disconnect_by_data(watch->session, watch);
    rb_session_close(watch->session);
    g_object_unref(watch->session);
    ck_assert_ptr_null(watched);
    g_free(watch->last);
}

/* Opens a fresh sample library and waits for its first sheet. Returns: (transfer full). */
static char *open_sample(Watch *watch)
{
    char *path = rb_test_path("sample.readbreak");
    GError *error = NULL;
    ck_assert(rb_sample_library_make(path, false, &error));
    rb_assert_no_error(error);
    watch_start(watch);
    rb_session_open(watch->session, path);
    ck_assert(rb_display_run_until(has_sheet, watch));
    return path;
}

/* The value of a tag as another reader of the file finds it. Returns: (transfer full). */
static char *stored(const char *path, RbSnapId snap, const char *field)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) charts = rb_library_load_charts(library, snap, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnap) found = rb_library_load_snap(library, snap, &error);
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    const RbChart *newest = NULL;
    for (guint i = 0; i < charts->len; i++) {
        const RbChart *chart = charts->pdata[i];
        newest = newest == NULL || chart->stamp_us > newest->stamp_us ? chart : newest;
    }
    ck_assert_ptr_nonnull(newest);
    return rb_taggable_get(rb_taggable_parse(field, NULL), names, found, newest);
}

START_TEST(test_session__opens_on_the_newest_game_and_its_first_dropback)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    ck_assert_int_eq(rb_session_get_state(watch.session), RB_SESSION_OPEN);
    const RbNames *names = rb_session_get_names(watch.session);
    ck_assert_str_eq(rb_names_game(names, rb_session_get_game(watch.session)),
                     "Week 2 at Elm Fork");
    ck_assert_int_eq(rb_session_get_snap(watch.session).value,
                     rb_sample_snap_id(1).value);
    ck_assert_uint_eq(rb_session_get_snaps(watch.session)->len, RB_SAMPLE_SNAPS - 8);
    watch_end(&watch);
}
END_TEST

static bool tag_is_on_screen(void *data)
{
    const RbSheet *sheet = rb_session_get_sheet(((Watch *)data)->session);
    g_autofree char *value = rb_taggable_get(rb_taggable_parse("coverage", NULL),
                                             sheet->names, sheet->snap, sheet->chart);
    return g_str_equal(value, "quarters");
}

START_TEST(test_session__an_answer_is_stored_said_and_undone)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    const RbSnapId snap = rb_session_get_snap(watch.session);
    rb_session_tag(watch.session, "coverage", "quarters");
    ck_assert(rb_display_run_until(has_said, &watch));
    /* said means stored: no later than the sentence */
    g_autofree char *after = stored(path, snap, "coverage");
    ck_assert_str_eq(after, "quarters");
    ck_assert_ptr_nonnull(strstr(watch.last, "overage of snap 1"));
    ck_assert(rb_display_run_until(tag_is_on_screen, &watch));
    watch.said = 0;
    rb_session_undo(watch.session);
    ck_assert(rb_display_run_until(has_said, &watch));
    g_autofree char *undone = stored(path, snap, "coverage");
    ck_assert_str_eq(undone, "cover-2");
    watch.said = 0;
    rb_session_redo(watch.session);
    ck_assert(rb_display_run_until(has_said, &watch));
    g_autofree char *redone = stored(path, snap, "coverage");
    ck_assert_str_eq(redone, "quarters");
    watch_end(&watch);
}
END_TEST

START_TEST(test_session__a_refused_answer_says_why_and_changes_nothing)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    rb_session_tag(watch.session, "rushers", "99");
    ck_assert(rb_display_run_until(has_said, &watch));
    ck_assert_ptr_nonnull(strstr(watch.last, "99"));
    g_autofree char *value = stored(path, rb_session_get_snap(watch.session), "rushers");
    ck_assert_str_eq(value, "4");
    watch_end(&watch);
}
END_TEST

START_TEST(test_session__only_the_newest_wish_for_a_snap_is_shown)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    watch.sheets = 0;
    for (int i = 2; i <= 8; i++) {
        rb_session_set_snap(watch.session, rb_sample_snap_id(i));
    }
    const gint64 until = g_get_monotonic_time() + G_USEC_PER_SEC / 2;
    while (g_get_monotonic_time() < until) {
        rb_display_settle();
        g_usleep(2000);
    }
    ck_assert_int_eq(watch.sheets, 1);
    ck_assert_int_eq(rb_session_get_sheet(watch.session)->snap->number, 8);
    watch_end(&watch);
}
END_TEST

static bool sees_other_window(void *data)
{
    const RbSheet *sheet = rb_session_get_sheet(((Watch *)data)->session);
    return sheet->snap->situation.down == 4;
}

START_TEST(test_session__sees_what_another_program_changed)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    GError *error = NULL;
    g_autoptr(RbLibrary) other = rb_library_open(path, "Alex", &error);
    rb_assert_no_error(error);
    const RbTagChange change = { "down", "4" };
    ck_assert(rb_library_tag(other, rb_sample_snap_id(1), &change, 1, NULL, &error));
    rb_assert_no_error(error);
    ck_assert(rb_display_run_until(sees_other_window, &watch));
    watch_end(&watch);
}
END_TEST

START_TEST(test_session__figures_filter_and_the_snaps_behind_them_agree)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    rb_session_want_figures(watch.session);
    ck_assert(rb_display_run_until(has_ladder, &watch));
    const RbPairings *pairings = rb_session_get_pairings(watch.session);
    const RbLadderAnswer *answer = rb_session_get_ladder(watch.session);
    ck_assert_int_gt(pairings->all.dropbacks, 0);
    ck_assert_int_eq(pairings->all.dropbacks, answer->ladder.dropbacks);
    for (int read = 0; read <= RB_READS_MAX; read++) {
        for (int stage = 0; stage < RB_STAGES; stage++) {
            g_autoptr(GArray) snaps = rb_selection_snaps(
                answer->selection, RB_ANY_CONCEPT, RB_ANY_COVERAGE, read, stage);
            ck_assert_int_eq((int)snaps->len,
                             answer->ladder.cells[read][stage].dropbacks);
        }
    }
    watch_end(&watch);
}
END_TEST

/* Opens what is no library and expects a sentence that names it; nothing is written. */
static void expect_refusal(const char *path, const char *word)
{
    Watch watch;
    watch_start(&watch);
    rb_session_open(watch.session, path);
    ck_assert(rb_display_run_until(has_failed, &watch));
    const char *sentence = rb_session_get_sentence(watch.session);
    ck_assert_msg(strstr(sentence, word) != NULL, "%s: %s", word, sentence);
    watch_end(&watch);
}

START_TEST(test_session__what_is_no_library_is_refused_in_a_sentence)
{
    g_autofree char *missing = rb_test_path("missing.readbreak");
    g_autofree char *text = rb_test_path("text.readbreak");
    ck_assert(g_file_set_contents(text, "a shopping list\n", -1, NULL));
    expect_refusal(missing, "missing.readbreak");
    expect_refusal(text, "text.readbreak");
    expect_refusal(rb_test_folder(), g_strrstr(rb_test_folder(), "/") + 1);
    ck_assert(!g_file_test(missing, G_FILE_TEST_EXISTS));
}
END_TEST

START_TEST(test_session__a_refused_file_leaves_the_open_library_open)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    g_autofree char *missing = rb_test_path("missing.readbreak");
    rb_session_open(watch.session, missing);
    ck_assert(rb_display_run_until(has_said, &watch));
    ck_assert_ptr_nonnull(strstr(watch.last, "missing.readbreak"));
    ck_assert_int_eq(rb_session_get_state(watch.session), RB_SESSION_OPEN);
    ck_assert_str_eq(rb_session_get_path(watch.session), path);
    watch.said = 0;
    rb_session_tag(watch.session, "coverage", "quarters");
    ck_assert(rb_display_run_until(has_said, &watch));
    g_autofree char *after = stored(path, rb_session_get_snap(watch.session), "coverage");
    ck_assert_str_eq(after, "quarters");
    watch_end(&watch);
}
END_TEST

START_TEST(test_session__a_change_is_read_again_once)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    watch.sheets = 0;
    rb_session_tag(watch.session, "coverage", "quarters");
    const gint64 until = g_get_monotonic_time() + 5 * G_USEC_PER_SEC; /* two watches */
    while (g_get_monotonic_time() < until) {
        rb_display_settle();
        g_usleep(2000);
    }
    ck_assert_int_eq(watch.sheets, 1);
    watch_end(&watch);
}
END_TEST

START_TEST(test_session__making_the_demo_can_be_stopped_and_leaves_nothing)
{
    Watch watch;
    g_setenv("XDG_DATA_HOME", rb_test_folder(), TRUE);
    watch_start(&watch);
    rb_session_open_demo(watch.session);
    ck_assert(rb_session_is_making_demo(watch.session));
    rb_session_cancel(watch.session);
    ck_assert(rb_display_run_until(has_failed, &watch));
    g_autofree char *path = rb_test_path("readbreak/demo.readbreak");
    ck_assert(!g_file_test(path, G_FILE_TEST_EXISTS));
    watch_end(&watch);
}
END_TEST

static bool has_compared(void *data)
{
    const RbCompareAnswer *answer = rb_session_get_compared(((Watch *)data)->session);
    return answer != NULL &&
           answer->compared.second.dropbacks != answer->compared.first.dropbacks;
}

static bool has_worklist(void *data)
{
    return rb_session_get_worklist(((Watch *)data)->session) != NULL;
}

START_TEST(test_session__compares_its_filter_with_another_and_lists_the_work)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    rb_session_want_figures(watch.session);
    ck_assert(rb_display_run_until(has_ladder, &watch));
    rb_session_want_study(watch.session, RB_STUDY_COMPARE);
    /* The other side starts as the same, then is narrowed. */
    ck_assert(rb_filter_equal(rb_session_get_second_filter(watch.session),
                              rb_session_get_filter(watch.session)));
    RbFilter *second = rb_filter_new();
    rb_filter_add_value(second, RB_FIELD_DOWN, 1);
    rb_session_take_second_filter(watch.session, second);
    ck_assert(rb_display_run_until(has_compared, &watch));
    const RbCompareAnswer *answer = rb_session_get_compared(watch.session);
    ck_assert_int_eq(answer->compared.shared, answer->compared.second.dropbacks);
    ck_assert_ptr_nonnull(answer->warning);
    rb_session_want_study(watch.session, RB_STUDY_WORKLIST);
    ck_assert(rb_display_run_until(has_worklist, &watch));
    const RbWorklistAnswer *work = rb_session_get_worklist(watch.session);
    ck_assert(work->items->len > 0 || work->empty[0] != '\0');
    watch_end(&watch);
}
END_TEST

START_TEST(test_session__keeps_a_filter_by_name_and_takes_it_back)
{
    Watch watch;
    g_autofree char *path = open_sample(&watch);
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_DOWN, 3);
    rb_session_save_filter(watch.session, "Third", filter);
    ck_assert(rb_display_run_until(has_said, &watch));
    ck_assert_str_eq(watch.last, "Filter Third saved");
    watch.said = 0;
    rb_session_undo(watch.session);
    ck_assert(rb_display_run_until(has_said, &watch));
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    ck_assert_uint_eq(rb_names_filters(names)->len, 0);
    watch_end(&watch);
}
END_TEST

/* What other programs read is written when nothing was done for a while, and only then. */
START_TEST(test_session__open_data_follows_when_it_is_quiet)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("quiet.readbreak");
    ck_assert(rb_sample_library_make(path, false, &error));
    RbStoreSide side = { .library = rb_library_open(path, NULL, &error) };
    ck_assert_ptr_nonnull(side.library);
    int n = 0;
    const RbOpenView *views = rb_open_views(&n);
    const RbOpenView *verdicts = NULL;
    for (int i = 0; i < n; i++) {
        verdicts = strcmp(views[i].name, "verdicts") == 0 ? &views[i] : verdicts;
    }
    ck_assert_ptr_nonnull(verdicts);
    int watches = 0;
    while (rb_library_count_view(side.library, verdicts, &error) == 0 && watches < 20) {
        ck_assert_ptr_nonnull(rb_errand_watch(&side, NULL, NULL, NULL, &error));
        watches++;
    }
    /* Not at once, and not never. */
    ck_assert_int_ge(watches, 5);
    ck_assert_int_lt(watches, 20);
    rb_library_close(side.library);
}
END_TEST

static bool has_one_measure(void *data)
{
    const RbMeasuresAnswer *answer = rb_session_get_measures(((Watch *)data)->session);
    return answer != NULL && answer->measures->len == 1 && answer->views->len == 1;
}

static bool has_no_measure(void *data)
{
    const RbMeasuresAnswer *answer = rb_session_get_measures(((Watch *)data)->session);
    return answer != NULL && answer->measures->len == 0;
}

/* The wide clip of a snap that has film. */
static const RbClip *wide_clip(Watch *watch)
{
    const RbSheet *sheet = rb_session_get_sheet(watch->session);
    for (guint i = 0; i < sheet->clips->len; i++) {
        const RbClip *clip = sheet->clips->pdata[i];
        if (clip->film.value != 0 && clip->angle == RB_ANGLE_WIDE) {
            return clip;
        }
    }
    return NULL;
}

static void save_length(Watch *watch, const RbClip *clip, int64_t frame)
{
    RbFieldView *view = rb_field_view_new(clip->film, frame);
    view->width = 640;
    view->height = 360;
    rb_field_view_add(view, "near-hash-l35", 100, 200);
    RbFilmMeasure *measure = rb_film_measure_new(clip->snap, clip->id, RB_MEASURE_LENGTH);
    measure->value = 5500;
    measure->frame_1 = measure->frame_2 = frame;
    rb_session_save_measure(watch->session, view, measure);
}

/* Kept with the view they stand on, read again after every change, also after a restart. */
START_TEST(test_session__measures_and_their_views_come_and_go)
{
    Watch watch;
    g_autofree char *path = rb_test_path("filmed.readbreak");
    GError *error = NULL;
    ck_assert(rb_sample_library_make(path, true, &error));
    rb_assert_no_error(error);
    watch_start(&watch);
    rb_session_open(watch.session, path);
    ck_assert(rb_display_run_until(has_sheet, &watch));
    const RbClip *clip = wide_clip(&watch);
    ck_assert_ptr_nonnull(clip);
    ck_assert_ptr_null(rb_session_get_measures(watch.session)); /* nobody looks */
    const RbSnapId snap = clip->snap;
    rb_session_want_measures(watch.session, snap);
    ck_assert(rb_display_run_until(has_no_measure, &watch));
    save_length(&watch, clip, clip->first + 1);
    ck_assert(rb_display_run_until(has_one_measure, &watch));
    const RbMeasuresAnswer *answer = rb_session_get_measures(watch.session);
    const RbFilmMeasureId id = ((const RbFilmMeasure *)answer->measures->pdata[0])->id;
    rb_session_remove_measure(watch.session, id);
    ck_assert(rb_display_run_until(has_no_measure, &watch));
    rb_session_undo(watch.session);
    ck_assert(rb_display_run_until(has_one_measure, &watch));
    watch_end(&watch);

    watch_start(&watch);
    rb_session_open(watch.session, path);
    ck_assert(rb_display_run_until(has_sheet, &watch));
    rb_session_want_measures(watch.session, snap);
    ck_assert(rb_display_run_until(has_one_measure, &watch));
    /* A view of a frame that another snap's clip shows is none of this one's. */
    clip = wide_clip(&watch);
    save_length(&watch, clip, clip->last + 1);
    rb_session_want_measures(watch.session, (RbSnapId){ 0 });
    ck_assert_ptr_null(rb_session_get_measures(watch.session));
    watch_end(&watch);
}
END_TEST

TCase *rb_case_session(void)
{
    TCase *tcase = rb_case_new("session");
    tcase_add_test(tcase, test_session__measures_and_their_views_come_and_go);
    tcase_add_test(tcase, test_session__open_data_follows_when_it_is_quiet);
    tcase_add_test(tcase, test_session__opens_on_the_newest_game_and_its_first_dropback);
    tcase_add_test(tcase, test_session__an_answer_is_stored_said_and_undone);
    tcase_add_test(tcase, test_session__a_refused_answer_says_why_and_changes_nothing);
    tcase_add_test(tcase, test_session__only_the_newest_wish_for_a_snap_is_shown);
    tcase_add_test(tcase, test_session__sees_what_another_program_changed);
    tcase_add_test(tcase, test_session__figures_filter_and_the_snaps_behind_them_agree);
    tcase_add_test(tcase, test_session__what_is_no_library_is_refused_in_a_sentence);
    tcase_add_test(tcase, test_session__a_refused_file_leaves_the_open_library_open);
    tcase_add_test(tcase, test_session__a_change_is_read_again_once);
    tcase_add_test(tcase,
                   test_session__making_the_demo_can_be_stopped_and_leaves_nothing);
    tcase_add_test(tcase,
                   test_session__compares_its_filter_with_another_and_lists_the_work);
    tcase_add_test(tcase, test_session__keeps_a_filter_by_name_and_takes_it_back);
    return tcase;
}
