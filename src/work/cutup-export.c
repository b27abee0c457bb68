/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/report/card.h"
#include "rb/work/cutups.h"
#include "rb/work/error.h"

#include "cutup-drawings.h"

/* The list into spans for the cutter, its results into lines for people. */

#define CARD_WIDTH 1280
#define CARD_HEIGHT 720

/* A file name has at most 255 bytes; some are left for the number and the ending. */
#define FILE_NAME_MAX 200

typedef struct {
    const RbCutupPlan *plan;
    const RbCutupExport *options;
    RbCancel *cancel;
    RbProgress *progress;
    GPtrArray *log;   /* owned, of char * */
    GPtrArray *cards; /* owned: pixels */
    GPtrArray *drawn; /* owned, of GArray of RbCutDrawingPicture */
    RbCutupMade made;
} Export;

static void say(Export *run, int number, const RbCutupClip *clip, const char *what)
{
    g_ptr_array_add(run->log,
                    g_strdup_printf(_("Clip %d, %s: %s"), number + 1, clip->title, what));
}

static void say_left_out(Export *run, int number, const RbCutupClip *clip,
                         const char *why)
{
    g_autofree char *line = g_strdup_printf(_("left out: %s"), why);
    run->made.left_out++;
    say(run, number, clip, line);
}

static void free_pictures(void *pictures)
{
    g_array_unref(pictures);
}

/* The list lives as long as the export: the span only borrows it. */
static void draw_over(Export *run, const RbCutupClip *clip, RbCutSpan *span)
{
    GArray *pictures = g_array_new(FALSE, FALSE, sizeof(RbCutDrawingPicture));
    g_ptr_array_add(run->drawn, pictures);
    rb_cutup_add_drawings(clip->path, clip->drawings, clip->first, clip->last, false,
                          pictures, run->cards);
    const int64_t shift = clip->beside_anchor - clip->anchor;
    rb_cutup_add_drawings(clip->beside, clip->beside_drawings,
                          MAX(clip->first + shift, 0), clip->last + shift, true, pictures,
                          run->cards);
    span->drawings = (const RbCutDrawingPicture *)(const void *)pictures->data;
    span->n_drawings = (int)pictures->len;
}

static RbCutSpan span_of(Export *run, guint number)
{
    const RbCutupClip *clip = run->plan->clips->pdata[number];
    const RbCut *cut = &clip->entry->cut;
    RbCutSpan span = { .path = clip->path,
                       .beside = clip->beside,
                       .first = clip->first,
                       .last = clip->last,
                       .anchor = clip->anchor,
                       .beside_anchor = clip->beside_anchor,
                       .freeze = clip->freeze,
                       .freeze_ms = cut->freeze_ms,
                       .speed = cut->speed,
                       .loops = cut->loops,
                       .number = (int)number + 1 };
    if (run->options->cards && clip->card->len > 0) {
        g_autoptr(GPtrArray) lines = g_ptr_array_new();
        for (guint i = 0; i < clip->card->len; i++) {
            g_ptr_array_add(lines, clip->card->pdata[i]);
        }
        g_ptr_array_add(lines, NULL);
        uint8_t *gray = rb_title_card_draw((const char *const *)lines->pdata, CARD_WIDTH,
                                           CARD_HEIGHT);
        g_ptr_array_add(run->cards, gray);
        span.card = (RbCutCardPicture){ gray, CARD_WIDTH, CARD_HEIGHT, RB_CARD_MS };
    }
    if (run->options->drawings) {
        draw_over(run, clip, &span);
    }
    return span;
}

static void log_result(Export *run, int number, const RbCutupClip *clip,
                       const RbCutResult *result)
{
    if (result->error != NULL) {
        say_left_out(run, number, clip, result->error->message);
        return;
    }
    g_autofree char *line =
        result->encoded == 0
            ? g_strdup_printf(_("%" PRId64 " frames copied"), result->copied)
            : g_strdup_printf(_("%" PRId64 " frames copied, %" PRId64 " encoded: %s"),
                              result->copied, result->encoded,
                              result->why != NULL ? result->why : "?");
    say(run, number, clip, line);
}

/* Clips that have no film. False unless they may be left out. */
static bool check_missing(Export *run, GError **error)
{
    for (guint i = 0; i < run->plan->clips->len; i++) {
        const RbCutupClip *clip = run->plan->clips->pdata[i];
        if (clip->missing == NULL) {
            continue;
        }
        if (!run->options->skip) {
            return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                                _("Clip %u cannot be exported: %s"), i + 1,
                                clip->missing);
        }
        say_left_out(run, (int)i, clip, clip->missing);
    }
    return true;
}

static bool write_spans(Export *run, const char *path, const RbCutSpan *spans,
                        const int *numbers, int n, RbProgress *progress, GError **error)
{
    const RbCutterOptions options = { .sound = run->options->sound,
                                      .encode = run->options->encode,
                                      .skip = run->options->skip && !run->options->each };
    g_autofree RbCutResult *results = g_new0(RbCutResult, n);
    const bool done =
        rb_cutter_write(path, spans, n, &options, run->cancel, progress, results, error);
    for (int i = 0; i < n; i++) {
        if (done || results[i].error != NULL) {
            log_result(run, numbers[i], run->plan->clips->pdata[numbers[i]], &results[i]);
        }
        rb_cut_result_clear(&results[i]);
    }
    run->made.files += done;
    return done;
}

static bool export_one(Export *run, const char *path, GError **error)
{
    const guint all = run->plan->clips->len;
    g_autofree RbCutSpan *spans = g_new0(RbCutSpan, MAX(all, 1));
    g_autofree int *numbers = g_new0(int, MAX(all, 1));
    int n = 0;
    for (guint i = 0; i < all; i++) {
        const RbCutupClip *clip = run->plan->clips->pdata[i];
        if (clip->missing == NULL) {
            numbers[n] = (int)i;
            spans[n++] = span_of(run, i);
        }
    }
    if (n == 0) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            _("The cut-up \"%s\" has no clip that can be exported; add snaps "
              "that have film."),
            run->plan->cutup->name);
    }
    return write_spans(run, path, spans, numbers, n, run->progress, error);
}

/* "01 Week 3 at Harbor City, snap 34.mp4": no sign that a file system refuses, cut at a letter,
 * and as many digits as sort the clips of the list. Returns: (transfer full). */
static char *file_name(const RbCutupPlan *plan, guint number)
{
    const RbCutupClip *clip = plan->clips->pdata[number];
    g_autofree char *last = g_strdup_printf("%u", plan->clips->len);
    g_autofree char *name =
        g_strdup_printf("%0*u %s", MAX((int)strlen(last), 2), number + 1, clip->title);
    g_strdelimit(name, "/\\:*?\"<>|\n\r\t", '-');
    for (char *c = name; *c != '\0'; c++) {
        *c = g_ascii_iscntrl(*c) ? '-' : *c;
    }
    if (strlen(name) > FILE_NAME_MAX) {
        *g_utf8_find_prev_char(name, name + FILE_NAME_MAX + 1) = '\0';
    }
    return g_strconcat(name, ".mp4", NULL);
}

bool rb_cutup_check_free(const char *path, GError **error)
{
    g_autofree char *name = g_filename_display_basename(path);
    return !g_file_test(path, G_FILE_TEST_EXISTS) ||
           rb_error_set(
               error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS,
               _("There is a file \"%s\" already; choose another name, or replace "
                 "it."),
               name);
}

static bool is_free(const Export *run, const char *path, GError **error)
{
    return !run->options->keep || rb_cutup_check_free(path, error);
}

static bool are_free(const Export *run, const char *folder, GError **error)
{
    for (guint i = 0; i < run->plan->clips->len; i++) {
        g_autofree char *name = file_name(run->plan, i);
        g_autofree char *path = g_build_filename(folder, name, NULL);
        if (!is_free(run, path, error)) {
            return false;
        }
    }
    return true;
}

static bool export_clip(Export *run, const char *folder, guint number, GError **error)
{
    const guint all = run->plan->clips->len;
    const RbCutSpan span = span_of(run, number);
    const int place = (int)number;
    g_autofree char *name = file_name(run->plan, number);
    g_autofree char *path = g_build_filename(folder, name, NULL);
    g_autoptr(RbProgress) part =
        rb_progress_part(run->progress, (double)number / all, (double)(number + 1) / all);
    const bool done = write_spans(run, path, &span, &place, 1, part, error);
    g_ptr_array_set_size(run->cards, 0);
    return done;
}

/* What stands in the folder after a clip failed is said, since it is whole. */
static void fail_after(const Export *run, GError *failure, GError **error)
{
    if (run->made.files > 0 && !rb_error_is_cancelled(failure)) {
        g_autofree char *said = g_steal_pointer(&failure->message);
        failure->message = g_strdup_printf(
            ngettext("%s The %d clip before it is written.",
                     "%s The %d clips before it are written.", (gulong)run->made.files),
            said, run->made.files);
    }
    g_propagate_error(error, failure);
}

static bool export_each(Export *run, const char *folder, GError **error)
{
    if (!g_file_test(folder, G_FILE_TEST_IS_DIR)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                            _("There is no folder \"%s\" for the clips; make it first."),
                            folder);
    }
    if (!are_free(run, folder, error)) {
        return false;
    }
    g_autoptr(GError) first = NULL;
    for (guint i = 0; i < run->plan->clips->len; i++) {
        const RbCutupClip *clip = run->plan->clips->pdata[i];
        g_autoptr(GError) failure = NULL;
        if (clip->missing != NULL || export_clip(run, folder, i, &failure)) {
            continue;
        }
        if (!run->options->skip || rb_error_is_cancelled(failure)) {
            fail_after(run, g_steal_pointer(&failure), error);
            return false;
        }
        say_left_out(run, (int)i, clip, failure->message);
        first = first != NULL ? first : g_steal_pointer(&failure);
    }
    if (run->made.files == 0 && first != NULL) {
        g_propagate_error(error, g_steal_pointer(&first));
        return false;
    }
    return run->made.files > 0 ||
           rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                        _("The cut-up \"%s\" has no clip that can be exported; add snaps "
                          "that have film."),
                        run->plan->cutup->name);
}

/* ---- the time left */

typedef struct {
    RbProgress *whole; /* borrowed, nullable */
    double from;       /* before it the films are found, which says nothing of the rest */
    double started;
    int64_t started_us;
} Clock;

/* step: words that the cutter marks for translation. */
static void on_progress(double fraction, const char *step, void *data)
{
    const char *what = step != NULL ? _(step) : "";
    Clock *clock = data;
    const int64_t now_us = g_get_monotonic_time();
    if (clock->started_us == 0 && fraction >= clock->from) {
        clock->started = fraction;
        clock->started_us = now_us;
    }
    const double done = (fraction - clock->started) / (1.0 - clock->started);
    const int64_t passed_us = now_us - clock->started_us;
    if (clock->started_us == 0 || done < 0.05 || done >= 1.0 || passed_us < 2000000) {
        rb_progress_set(clock->whole, fraction, what);
        return;
    }
    const int left_s = (int)((double)passed_us * (1.0 - done) / done / 1e6 + 0.5);
    g_autofree char *said =
        g_strdup_printf(_("%s, %d:%02d left"), what, left_s / 60, left_s % 60);
    rb_progress_set(clock->whole, fraction, said);
}

static bool export(Export *run, const char *path, GError **error)
{
    return check_missing(run, error) &&
           (run->options->each
                ? export_each(run, path, error)
                : is_free(run, path, error) && export_one(run, path, error));
}

bool rb_cutup_export(const RbCutupPlan *plan, const char *path,
                     const RbCutupExport *options, RbCancel *cancel, RbProgress *progress,
                     GPtrArray **log, RbCutupMade *made, GError **error)
{
    Clock clock = { .whole = progress,
                    .from = options->each ? 0.0 : RB_CUTTER_OPEN_SHARE };
    g_autoptr(RbProgress) own = rb_progress_new(on_progress, &clock);
    Export run = { .plan = plan,
                   .options = options,
                   .cancel = cancel,
                   .progress = own,
                   .log = g_ptr_array_new_with_free_func(g_free),
                   .cards = g_ptr_array_new_with_free_func(g_free),
                   .drawn = g_ptr_array_new_with_free_func(free_pictures) };
    const bool done = export(&run, path, error);
    g_ptr_array_unref(run.cards);
    g_ptr_array_unref(run.drawn);
    if (made != NULL) {
        *made = run.made;
    }
    if (log != NULL) {
        *log = run.log;
    } else {
        g_ptr_array_unref(run.log);
    }
    return done;
}
