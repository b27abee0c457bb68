/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>
#include <utime.h>

#include "rb/base/error.h"
#include "rb/film/error.h"
#include "rb/work/cutups.h"
#include "rb/work/error.h"

#include "suite.h"

TCase *rb_case_cutup_export(void);

/* What goes wrong while a cut-up is exported, as one film and as a file for each clip: nothing
 * half is left, a sentence says what and where, and the rest goes on if asked. */

static RbCutupClip *clip_new(const char *path, const char *title, int first, int last)
{
    RbCutupClip *clip = g_new0(RbCutupClip, 1);
    clip->entry =
        rb_cutup_entry_new((RbCutupEntryId){ 1 }, (RbCutupId){ 2 }, (RbSnapId){ 3 });
    clip->title = g_strdup(title);
    clip->card = g_ptr_array_new_with_free_func(g_free);
    clip->path = g_strdup(path);
    clip->first = first;
    clip->last = last;
    clip->freeze = -1;
    return clip;
}

static void clip_free(void *data)
{
    RbCutupClip *clip = data;
    rb_cutup_entry_free(clip->entry);
    g_free(clip->title);
    g_ptr_array_unref(clip->card);
    g_free(clip->path);
    g_free(clip->missing);
    g_free(clip);
}

static void add(RbCutupPlan *plan, const char *path, const char *title, int first,
                int last)
{
    g_ptr_array_add(plan->clips, clip_new(path, title, first, last));
}

static RbCutupPlan *empty_plan(void)
{
    RbCutupPlan *plan = g_new0(RbCutupPlan, 1);
    plan->cutup = rb_cutup_new((RbCutupId){ 2 }, "Monday", RB_CUTUP_FIXED);
    plan->clips = g_ptr_array_new_with_free_func(clip_free);
    return plan;
}

/* 90 frames with a key frame every 15. */
static char *make_film(const char *name)
{
    char *path = rb_test_path(name);
    g_autofree char *line = g_strconcat(
        "ffmpeg -v error -nostdin -y -f lavfi -i testsrc2=s=160x90:r=30:d=3 -c:v libx264 "
        "-preset ultrafast -crf 5 -pix_fmt yuv420p -g 15 -movflags +faststart ",
        path, NULL);
    int status = 1;
    ck_assert(g_spawn_command_line_sync(line, NULL, NULL, &status, NULL));
    ck_assert_int_eq(status, 0);
    /* A film that changed just now counts as still being recorded: its index is not kept. */
    struct utimbuf long_ago = { .actime = 1700000000, .modtime = 1700000000 };
    ck_assert_int_eq(g_utime(path, &long_ago), 0);
    return path;
}

/* Short, long, short: what fits on a small disk and what does not. */
static RbCutupPlan *three_clips(const char *film)
{
    RbCutupPlan *plan = empty_plan();
    add(plan, film, "first", 15, 29);
    add(plan, film, "second", 0, 89);
    add(plan, film, "third", 45, 59);
    return plan;
}

static char *make_folder(void)
{
    char *folder = rb_test_path("out");
    ck_assert_int_eq(g_mkdir(folder, 0755), 0);
    return folder;
}

static int by_name(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The names in a folder in order, parted by "|". Returns: (transfer full). */
static char *names_in(const char *folder)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    for (const char *name = g_dir_read_name(dir); name != NULL;
         name = g_dir_read_name(dir)) {
        g_ptr_array_add(names, g_strdup(name));
    }
    g_ptr_array_sort(names, by_name);
    g_ptr_array_add(names, NULL);
    return g_strjoinv("|", (char **)names->pdata);
}

static void assert_names(const char *folder, const char *wanted)
{
    g_autofree char *names = names_in(folder);
    ck_assert_str_eq(names, wanted);
}

/* Frames that ffprobe decodes of a film without a complaint. */
static int frames_of(const char *folder, const char *name)
{
    g_autofree char *path = g_build_filename(folder, name, NULL);
    const char *const argv[] = { "ffprobe",
                                 "-v",
                                 "warning",
                                 "-count_frames",
                                 "-select_streams",
                                 "v",
                                 "-show_entries",
                                 "stream=nb_read_frames",
                                 "-of",
                                 "csv=p=0",
                                 path,
                                 NULL };
    g_autofree char *out = NULL;
    g_autofree char *errors = NULL;
    ck_assert(g_spawn_sync(NULL, (char **)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL,
                           &out, &errors, NULL, NULL));
    ck_assert_str_eq(errors, "");
    return (int)g_ascii_strtoll(out, NULL, 10);
}

typedef struct {
    bool done;
    RbCutupMade made;
    GPtrArray *log; /* owned, of char * */
    GError *error;  /* owned, nullable */
} Outcome;

static Outcome export(const RbCutupPlan *plan, const char *path,
                      const RbCutupExport *options, RbCancel *cancel,
                      RbProgress *progress)
{
    Outcome outcome = { 0 };
    outcome.done = rb_cutup_export(plan, path, options, cancel, progress, &outcome.log,
                                   &outcome.made, &outcome.error);
    ck_assert_int_eq(outcome.done, outcome.error == NULL);
    ck_assert(outcome.done || rb_error_is_cancelled(outcome.error) ||
              g_str_has_suffix(outcome.error->message, "."));
    return outcome;
}

static void outcome_clear(Outcome *outcome)
{
    g_ptr_array_unref(outcome->log);
    g_clear_error(&outcome->error);
}

static const char *log_of(const Outcome *outcome, const char *clip)
{
    const char *found = NULL;
    for (guint i = 0; i < outcome->log->len; i++) {
        if (g_str_has_prefix(outcome->log->pdata[i], clip)) {
            ck_assert_ptr_null(found);
            found = outcome->log->pdata[i];
        }
    }
    ck_assert_ptr_nonnull(found);
    return found;
}

/* The shim stands before the C library in the helper; the sanitizers want to be first. */
static bool with_shim(const char *limit, const char *bytes)
{
    const char *shim = g_getenv("RB_TEST_FAILING_DISK");
    if (shim == NULL) {
        return false;
    }
    g_setenv("LD_PRELOAD", shim, TRUE);
    g_setenv(limit, bytes, TRUE);
    return true;
}

static void without_shim(void)
{
    g_unsetenv("LD_PRELOAD");
    g_unsetenv("RB_TEST_DISK_BYTES");
    g_unsetenv("RB_TEST_DRIVE_BYTES");
}

static char *size_between(const char *folder, const char *small, const char *large)
{
    GStatBuf a;
    GStatBuf b;
    g_autofree char *one = g_build_filename(folder, small, NULL);
    g_autofree char *two = g_build_filename(folder, large, NULL);
    ck_assert_int_eq(g_stat(one, &a), 0);
    ck_assert_int_eq(g_stat(two, &b), 0);
    ck_assert_int_lt(a.st_size, b.st_size);
    g_unlink(one);
    g_unlink(two);
    return g_strdup_printf("%d", (int)((a.st_size + b.st_size) / 2));
}

START_TEST(test_cutup_export__a_full_disk)
{
    g_autofree char *film = make_film("film.mp4");
    g_autofree char *folder = make_folder();
    g_autofree char *one = g_build_filename(folder, "monday.mp4", NULL);
    g_autoptr(RbCutupPlan) plan = three_clips(film);
    Outcome whole = export(plan, folder, &(RbCutupExport){ .each = true }, NULL, NULL);
    rb_assert_no_error(whole.error);
    ck_assert_int_eq(whole.made.files, 3);
    ck_assert_int_eq(whole.made.left_out, 0);
    assert_names(folder, "01 first.mp4|02 second.mp4|03 third.mp4");
    ck_assert_int_eq(frames_of(folder, "02 second.mp4"), 90);
    outcome_clear(&whole);
    g_autofree char *third = g_build_filename(folder, "03 third.mp4", NULL);
    g_unlink(third);
    g_autofree char *limit = size_between(folder, "01 first.mp4", "02 second.mp4");
    if (!with_shim("RB_TEST_DISK_BYTES", limit)) {
        return;
    }
    for (int skip = 0; skip < 2; skip++) { /* one film: there is no rest */
        const RbCutupExport options = { .skip = skip != 0 };
        Outcome outcome = export(plan, one, &options, NULL, NULL);
        ck_assert(g_error_matches(outcome.error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE));
        ck_assert_ptr_nonnull(strstr(outcome.error->message, "disk is full"));
        ck_assert_int_eq(outcome.made.files, 0);
        outcome_clear(&outcome);
        assert_names(folder, "");
    }
    Outcome stopped = export(plan, folder, &(RbCutupExport){ .each = true }, NULL, NULL);
    ck_assert(g_error_matches(stopped.error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE));
    ck_assert_ptr_nonnull(strstr(stopped.error->message, "The 1 clip before it is"));
    assert_names(folder, "01 first.mp4");
    outcome_clear(&stopped);
    Outcome rest =
        export(plan, folder, &(RbCutupExport){ .each = true, .skip = true }, NULL, NULL);
    without_shim();
    rb_assert_no_error(rest.error);
    ck_assert_int_eq(rest.made.files, 2);
    ck_assert_int_eq(rest.made.left_out, 1);
    ck_assert_ptr_nonnull(strstr(log_of(&rest, "Clip 2, second: left out: "), "full"));
    assert_names(folder, "01 first.mp4|03 third.mp4");
    ck_assert_int_eq(frames_of(folder, "01 first.mp4"), 15);
    ck_assert_int_eq(frames_of(folder, "03 third.mp4"), 15);
    outcome_clear(&rest);
}
END_TEST

/* The film of the second clip is gone before its turn; the third's drive is pulled out while it
 * is read. A clip is called by its number in the list, whatever came before it. */
START_TEST(test_cutup_export__films_that_vanish)
{
    g_autofree char *film = make_film("film.mp4");
    g_autofree char *gone = make_film("gone.mp4");
    g_autofree char *folder = make_folder();
    g_autofree char *one = g_build_filename(folder, "monday.mp4", NULL);
    g_autoptr(RbCutupPlan) plan = empty_plan();
    add(plan, film, "first", 15, 29);
    add(plan, gone, "second", 15, 29);
    add(plan, film, "third", 75, 89);
    Outcome before = export(plan, one, &(RbCutupExport){ 0 }, NULL, NULL);
    rb_assert_no_error(before.error); /* and the indexes are known */
    outcome_clear(&before);
    g_unlink(one);
    GStatBuf now;
    ck_assert_int_eq(g_stat(film, &now), 0);
    g_autofree char *bytes = g_strdup_printf("%d", (int)(now.st_size * 3 / 4));
    g_unlink(gone);
    if (!with_shim("RB_TEST_DRIVE_BYTES", bytes)) {
        return;
    }
    for (int each = 0; each < 2; each++) {
        const char *path = each != 0 ? folder : one;
        RbCutupExport options = { .each = each != 0 };
        Outcome stopped = export(plan, path, &options, NULL, NULL);
        ck_assert(g_error_matches(stopped.error, RB_FILM_ERROR, RB_FILM_ERROR_MISSING));
        ck_assert_ptr_nonnull(strstr(stopped.error->message, "gone.mp4"));
        ck_assert_int_eq(stopped.made.files, each);
        outcome_clear(&stopped);
        options.skip = true;
        Outcome rest = export(plan, path, &options, NULL, NULL);
        rb_assert_no_error(rest.error);
        ck_assert_int_eq(rest.made.files, 1);
        ck_assert_ptr_nonnull(strstr(log_of(&rest, "Clip 1, first: "), "15 frames"));
        ck_assert_ptr_nonnull(
            strstr(log_of(&rest, "Clip 2, second: left out: "), "gone.mp4"));
        const char *third = log_of(&rest, "Clip 3, third: left out: Clip 3 ");
        ck_assert_ptr_nonnull(strstr(third, "drive"));
        outcome_clear(&rest);
        const char *name = each != 0 ? "01 first.mp4" : "monday.mp4";
        assert_names(folder, name);
        ck_assert_int_eq(frames_of(folder, name), 15);
        g_autofree char *written = g_build_filename(folder, name, NULL);
        g_unlink(written);
    }
    without_shim();
    g_ptr_array_remove_index(plan->clips, 2);
    g_ptr_array_remove_index(plan->clips, 0);
    Outcome none =
        export(plan, folder, &(RbCutupExport){ .each = true, .skip = true }, NULL, NULL);
    ck_assert_ptr_nonnull(strstr(none.error->message, "gone.mp4"));
    assert_names(folder, "");
    outcome_clear(&none);
}
END_TEST

typedef struct {
    RbCancel *cancel;
    double at;
    double seen;
} Impatience;

static void on_progress(double fraction, const char *what, void *data)
{
    Impatience *impatience = data;
    ck_assert_ptr_nonnull(what);
    ck_assert(fraction >= impatience->seen - 1e-9);
    impatience->seen = fraction;
    if (fraction > impatience->at) {
        rb_cancel_cancel(impatience->cancel);
    }
}

/* Stopped in the second of three clips: the first is whole, of the second there is nothing. */
START_TEST(test_cutup_export__stopped_on_the_way)
{
    g_autofree char *film = make_film("film.mp4");
    g_autofree char *folder = make_folder();
    g_autofree char *one = g_build_filename(folder, "monday.mp4", NULL);
    g_autoptr(RbCutupPlan) plan = three_clips(film);
    ((RbCutupClip *)plan->clips->pdata[1])->entry->cut.loops = 20;
    for (int each = 0; each < 2; each++) {
        const RbCutupExport options = { .each = each != 0, .encode = true, .skip = true };
        g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
        Impatience impatience = { cancel, 0.4, 0.0 };
        g_autoptr(RbProgress) progress = rb_progress_new(on_progress, &impatience);
        Outcome outcome =
            export(plan, each != 0 ? folder : one, &options, cancel, progress);
        ck_assert(rb_error_is_cancelled(outcome.error));
        ck_assert_int_eq(outcome.made.files, each);
        outcome_clear(&outcome);
        assert_names(folder, each != 0 ? "01 first.mp4" : "");
    }
    ck_assert_int_eq(frames_of(folder, "01 first.mp4"), 15);
}
END_TEST

START_TEST(test_cutup_export__a_file_that_is_there_is_kept_if_asked)
{
    g_autofree char *film = make_film("film.mp4");
    g_autofree char *folder = make_folder();
    g_autofree char *one = g_build_filename(folder, "monday.mp4", NULL);
    g_autofree char *second = g_build_filename(folder, "02 second.mp4", NULL);
    g_autoptr(RbCutupPlan) plan = three_clips(film);
    ck_assert(g_file_set_contents(one, "old", -1, NULL));
    ck_assert(g_file_set_contents(second, "old", -1, NULL));
    for (int each = 0; each < 2; each++) {
        const RbCutupExport options = { .each = each != 0, .keep = true };
        Outcome outcome = export(plan, each != 0 ? folder : one, &options, NULL, NULL);
        ck_assert(g_error_matches(outcome.error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS));
        outcome_clear(&outcome);
        assert_names(folder, "02 second.mp4|monday.mp4");
    }
    g_autofree char *text = NULL;
    ck_assert(g_file_get_contents(one, &text, NULL, NULL));
    ck_assert_str_eq(text, "old");
    Outcome replaced = export(plan, one, &(RbCutupExport){ 0 }, NULL, NULL);
    rb_assert_no_error(replaced.error);
    outcome_clear(&replaced);
    ck_assert_int_eq(frames_of(folder, "monday.mp4"), 120);
}
END_TEST

/* Files of a long list sort as its clips do, and no name is one that a file system refuses. */
START_TEST(test_cutup_export__files_sort_as_the_list)
{
    g_autofree char *film = make_film("film.mp4");
    g_autofree char *folder = make_folder();
    g_autoptr(RbCutupPlan) plan = empty_plan();
    for (int i = 0; i < 100; i++) {
        add(plan, film, i == 99 ? "a/b: \"last\"?" : "short", 15, 29);
        RbCutupClip *clip = plan->clips->pdata[i];
        clip->missing = i != 8 && i != 99 ? g_strdup("No film.") : NULL;
    }
    Outcome outcome =
        export(plan, folder, &(RbCutupExport){ .each = true, .skip = true }, NULL, NULL);
    rb_assert_no_error(outcome.error);
    ck_assert_int_eq(outcome.made.files, 2);
    ck_assert_uint_eq(outcome.log->len, 100);
    outcome_clear(&outcome);
    assert_names(folder, "009 short.mp4|100 a-b- -last--.mp4");
}
END_TEST

TCase *rb_case_cutup_export(void)
{
    TCase *tcase = rb_case_new("cutup-export");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, test_cutup_export__a_full_disk);
    tcase_add_test(tcase, test_cutup_export__films_that_vanish);
    tcase_add_test(tcase, test_cutup_export__stopped_on_the_way);
    tcase_add_test(tcase, test_cutup_export__a_file_that_is_there_is_kept_if_asked);
    tcase_add_test(tcase, test_cutup_export__files_sort_as_the_list);
    return tcase;
}
