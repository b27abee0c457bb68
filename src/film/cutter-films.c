/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <fcntl.h>
#include <glib/gi18n.h>
#include <inttypes.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/error.h"
#include "rb/film/frames.h"

#include "cutter-private.h"
#include "reel-private.h"
#include "words.h"

void rb_cutter_film_free(void *data)
{
    CutterFilm *film = data;
    rb_film_file_close(&film->file);
    g_clear_pointer(&film->index, g_bytes_unref);
    g_clear_error(&film->error);
    g_free(film->path);
    g_free(film);
}

int rb_cutter_find_film(const Cutter *cutter, const char *path)
{
    for (guint i = 0; i < cutter->films->len; i++) {
        if (strcmp(((CutterFilm *)cutter->films->pdata[i])->path, path) == 0) {
            return (int)i;
        }
    }
    return -1;
}

/* The film's index comes from the cache or is made now. */
static bool open_film(Cutter *cutter, CutterFilm *film, GError **error)
{
    if (!rb_film_file_open(film->path, &film->file, error)) {
        return false;
    }
    g_autoptr(RbReel) reel =
        rb_reel_open_wait(film->path, cutter->cancel, 0, NULL, error);
    if (reel == NULL) {
        return false;
    }
    rb_mutex_lock(&reel->lock);
    const RbIndex *index = reel->index;
    rb_mutex_unlock(&reel->lock);
    film->index = g_byte_array_free_to_bytes(rb_index_to_bytes(index));
    film->frames = index->n_frames;
    return true;
}

static bool same_file(int a, int b)
{
    struct stat one;
    struct stat two;
    return fstat(a, &one) == 0 && fstat(b, &two) == 0 && one.st_dev == two.st_dev &&
           one.st_ino == two.st_ino;
}

/* A cut-up under the name of a film would destroy it. */
bool rb_cutter_spares_films(const Cutter *cutter, GError **error)
{
    const int there = open(cutter->path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (there < 0) {
        return true;
    }
    bool is_film = false;
    for (guint i = 0; i < cutter->films->len; i++) {
        const CutterFilm *film = cutter->films->pdata[i];
        is_film = is_film || (film->error == NULL && same_file(there, film->file.fd));
    }
    close(there);
    return !is_film ||
           rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                        "\"%s\" is one of the films of this cut-up and is never written "
                        "over; choose another name.",
                        cutter->shown);
}

static bool add_film(Cutter *cutter, const char *path, GError **error)
{
    if (path == NULL || rb_cutter_find_film(cutter, path) >= 0) {
        return true;
    }
    CutterFilm *film = g_new0(CutterFilm, 1);
    film->path = g_strdup(path);
    film->file.fd = -1;
    g_ptr_array_add(cutter->films, film);
    if (!open_film(cutter, film, &film->error) && rb_error_is_cancelled(film->error)) {
        g_propagate_error(error, g_error_copy(film->error));
        return false;
    }
    return true;
}

bool rb_cutter_add_films(Cutter *cutter, GError **error)
{
    for (int i = 0; i < cutter->n; i++) {
        rb_progress_set(cutter->progress, RB_CUTTER_OPEN_SHARE * i / cutter->n,
                        N_("Opening the films"));
        if (!add_film(cutter, cutter->spans[i].path, error) ||
            !add_film(cutter, cutter->spans[i].beside, error)) {
            return false;
        }
    }
    return true;
}

static bool check_frames(const CutterFilm *film, int64_t first, int64_t last,
                         GError **error)
{
    if (film->error != NULL) {
        g_propagate_error(error, g_error_copy(film->error));
        return false;
    }
    g_autofree char *name = rb_film_name(film->path);
    return (first >= 0 && first <= last && last < film->frames) ||
           rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_RANGE,
                        "\"%s\" has no frames %" PRId64 " to %" PRId64 ": it has %" PRId64
                        "; set the clip again.",
                        name, first, last, film->frames);
}

static bool check_span(const Cutter *cutter, const RbCutSpan *span, GError **error)
{
    const CutterFilm *film =
        cutter->films->pdata[rb_cutter_find_film(cutter, span->path)];
    if (!check_frames(film, span->first, span->last, error)) {
        return false;
    }
    if (span->beside == NULL) {
        return true;
    }
    const CutterFilm *beside =
        cutter->films->pdata[rb_cutter_find_film(cutter, span->beside)];
    return check_frames(film, span->anchor, span->anchor, error) &&
           check_frames(beside, span->beside_anchor, span->beside_anchor, error);
}

bool rb_cutter_leave_out(Cutter *cutter, int span, GError *failure, GError **error)
{
    if (!cutter->options.skip || rb_error_is_cancelled(failure)) {
        g_propagate_error(error, failure);
        return false;
    }
    cutter->results[span].error = failure;
    return true;
}

bool rb_cutter_check_spans(Cutter *cutter, GError **error)
{
    for (int i = 0; i < cutter->n; i++) {
        GError *failure = NULL;
        if (!check_span(cutter, &cutter->spans[i], &failure) &&
            !rb_cutter_leave_out(cutter, i, failure, error)) {
            return false;
        }
    }
    return true;
}

int rb_cutter_span_number(const Cutter *cutter, int span)
{
    const int number = cutter->spans[span].number;
    return number > 0 ? number : span + 1;
}
