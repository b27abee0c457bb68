/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/cutter.h"

#include <glib/gi18n.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "cutter-private.h"
#include "words.h"

void rb_cut_result_clear(RbCutResult *result)
{
    g_clear_pointer(&result->why, g_free);
    g_clear_error(&result->error);
}

static int count_left(const Cutter *cutter)
{
    int left = 0;
    for (int i = 0; i < cutter->n; i++) {
        left += cutter->results[i].error == NULL;
    }
    return left;
}

/* One attempt with the spans that are left. */
static bool attempt(Cutter *cutter, int *span, GError **error)
{
    RbTellFinished finished = { .frames = 0 };
    *span = -1;
    bool done =
        rb_cutter_open_file(cutter, error) && rb_helper_start(&cutter->helper, error);
    done = done && rb_cutter_say_all(cutter, error) &&
           rb_cutter_hear(cutter, span, &finished, error);
    rb_helper_end(&cutter->helper);
    done = done && rb_cutter_keep_file(cutter, &finished, error);
    rb_cutter_drop_file(cutter);
    return done;
}

static bool run(Cutter *cutter, GError **error)
{
    if (!rb_cutter_add_films(cutter, error) || !rb_cutter_spares_films(cutter, error) ||
        !rb_cutter_check_spans(cutter, error)) {
        return false;
    }
    while (count_left(cutter) > 0) {
        GError *failure = NULL;
        int span = -1;
        if (attempt(cutter, &span, &failure)) {
            rb_progress_set(cutter->progress, 1.0, N_("Written"));
            return true;
        }
        if (span < 0) {
            g_propagate_error(error, failure);
            return false;
        }
        if (!rb_cutter_leave_out(cutter, span, failure, error)) {
            return false;
        }
    }
    return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                        "The cut-up \"%s\" was not written: none of its clips could be "
                        "made.",
                        cutter->shown);
}

bool rb_cutter_write(const char *path, const RbCutSpan *spans, int n,
                     const RbCutterOptions *options, RbCancel *cancel,
                     RbProgress *progress, RbCutResult *results, GError **error)
{
    if (n <= 0 || n > RB_CUT_ITEMS_MAX / 2) {
        return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                            "A film is made of 1 to %d clips, not of %d; choose others.",
                            RB_CUT_ITEMS_MAX / 2, n);
    }
    g_autofree RbCutResult *own = results == NULL ? g_new0(RbCutResult, n) : NULL;
    Cutter cutter = { .path = path,
                      .shown = rb_film_name(path),
                      .spans = spans,
                      .n = n,
                      .options = options != NULL ? *options : (RbCutterOptions){ 0 },
                      .cancel = cancel,
                      .progress = progress,
                      .results = results != NULL ? results : own,
                      .films = g_ptr_array_new_with_free_func(rb_cutter_film_free),
                      .helper = RB_HELPER_NONE,
                      .fd = -1 };
    memset(cutter.results, 0, (size_t)n * sizeof *cutter.results);
    const bool done = run(&cutter, error);
    for (int i = 0; own != NULL && i < n; i++) {
        rb_cut_result_clear(&own[i]);
    }
    g_ptr_array_unref(cutter.films);
    g_free(cutter.shown);
    return done;
}
