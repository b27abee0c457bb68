/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/cutter.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"
#include "rb/film/error.h"
#include "rb/film/frames.h"

#include "channel.h"
#include "film-file.h"
#include "helper-process.h"
#include "protocol.h"
#include "reel-private.h"
#include "ring.h"
#include "words.h"

/* Longest silence of the helper before it counts as hung. */
#define SILENCE_MS 60000

/* Share of the whole that finding the indexes takes. */
#define OPEN_SHARE 0.1

/* A film of the cut-up. */
typedef struct {
    char *path; /* owned */
    RbFilmFile file;
    GBytes *index; /* owned */
    GError *error; /* owned, nullable: it cannot be used */
    int64_t frames;
} Film;

typedef struct {
    const char *path; /* borrowed: of the output */
    char *shown;      /* owned: its name, for sentences */
    const RbCutSpan *spans;
    int n;
    RbCutterOptions options;
    RbCancel *cancel;     /* borrowed, nullable */
    RbProgress *progress; /* borrowed, nullable */
    RbCutResult *results; /* borrowed or owned by the call */
    GPtrArray *films;     /* owned, of Film */
    RbHelper helper;
    int fd;          /* owned; -1: none */
    char *temporary; /* owned; NULL once renamed */
    int64_t started_us;
    int64_t frames;
} Cutter;

static void film_free(void *data)
{
    Film *film = data;
    rb_film_file_close(&film->file);
    g_clear_pointer(&film->index, g_bytes_unref);
    g_clear_error(&film->error);
    g_free(film->path);
    g_free(film);
}

void rb_cut_result_clear(RbCutResult *result)
{
    g_clear_pointer(&result->why, g_free);
    g_clear_error(&result->error);
}

/* ---- films */

static int find_film(const Cutter *cutter, const char *path)
{
    for (guint i = 0; i < cutter->films->len; i++) {
        if (strcmp(((Film *)cutter->films->pdata[i])->path, path) == 0) {
            return (int)i;
        }
    }
    return -1;
}

/* The film's index comes from the cache or is made now. */
static bool open_film(Cutter *cutter, Film *film, GError **error)
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
static bool is_no_film(const Cutter *cutter, GError **error)
{
    const int there = open(cutter->path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (there < 0) {
        return true;
    }
    bool is_film = false;
    for (guint i = 0; i < cutter->films->len; i++) {
        const Film *film = cutter->films->pdata[i];
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
    if (path == NULL || find_film(cutter, path) >= 0) {
        return true;
    }
    Film *film = g_new0(Film, 1);
    film->path = g_strdup(path);
    film->file.fd = -1;
    g_ptr_array_add(cutter->films, film);
    if (!open_film(cutter, film, &film->error) && rb_error_is_cancelled(film->error)) {
        g_propagate_error(error, g_error_copy(film->error));
        return false;
    }
    return true;
}

static bool add_films(Cutter *cutter, GError **error)
{
    for (int i = 0; i < cutter->n; i++) {
        rb_progress_set(cutter->progress, OPEN_SHARE * i / cutter->n,
                        "Opening the films");
        if (!add_film(cutter, cutter->spans[i].path, error) ||
            !add_film(cutter, cutter->spans[i].beside, error)) {
            return false;
        }
    }
    return true;
}

/* ---- spans that cannot be made */

static bool check_frames(const Film *film, int64_t first, int64_t last, GError **error)
{
    if (film->error != NULL) {
        g_propagate_error(error, g_error_copy(film->error));
        return false;
    }
    g_autofree char *name = rb_film_name(film->path);
    return (first >= 0 && first <= last && last < film->frames) ||
           rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_RANGE,
                        "\"%s\" has no frames %" G_GINT64_FORMAT " to %" G_GINT64_FORMAT
                        ": it has %" G_GINT64_FORMAT "; set the clip again.",
                        name, first, last, film->frames);
}

static bool check_span(const Cutter *cutter, const RbCutSpan *span, GError **error)
{
    const Film *film = cutter->films->pdata[find_film(cutter, span->path)];
    if (!check_frames(film, span->first, span->last, error)) {
        return false;
    }
    if (span->beside == NULL) {
        return true;
    }
    const Film *beside = cutter->films->pdata[find_film(cutter, span->beside)];
    return check_frames(film, span->anchor, span->anchor, error) &&
           check_frames(beside, span->beside_anchor, span->beside_anchor, error);
}

static bool leave_out(Cutter *cutter, int span, GError *failure, GError **error)
{
    if (!cutter->options.skip || rb_error_is_cancelled(failure)) {
        g_propagate_error(error, failure);
        return false;
    }
    cutter->results[span].error = failure;
    return true;
}

static bool check_spans(Cutter *cutter, GError **error)
{
    for (int i = 0; i < cutter->n; i++) {
        GError *failure = NULL;
        if (!check_span(cutter, &cutter->spans[i], &failure) &&
            !leave_out(cutter, i, failure, error)) {
            return false;
        }
    }
    return true;
}

static int count_left(const Cutter *cutter)
{
    int left = 0;
    for (int i = 0; i < cutter->n; i++) {
        left += cutter->results[i].error == NULL;
    }
    return left;
}

/* ---- the conversation */

static bool write_error(const Cutter *cutter, int errnum, GError **error)
{
    const bool denied = errnum == EACCES || errnum == EPERM || errnum == EROFS;
    const int code = denied ? RB_FILM_ERROR_PERMISSION : RB_FILM_ERROR_WRITE;
    if (errnum == ENOSPC || errnum == EDQUOT) {
        return rb_error_errno(
            error, RB_FILM_ERROR, code, errnum,
            "The cut-up \"%s\" was not written because the disk is full; "
            "make room there or choose another folder",
            cutter->shown);
    }
    return rb_error_errno(error, RB_FILM_ERROR, code, errnum,
                          "The cut-up \"%s\" could not be written; choose another folder",
                          cutter->shown);
}

static bool helper_gone(const Cutter *cutter, GError **error)
{
    return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
                        "The cut-up \"%s\" was not written: the program that makes it "
                        "stopped; try again.",
                        cutter->shown);
}

static bool say(Cutter *cutter, const void *message, size_t bytes, const int *fds,
                int n_fds, GError **error)
{
    return rb_channel_send(cutter->helper.socket, message, bytes, fds, n_fds, true) ==
               RB_CHANNEL_OK ||
           helper_gone(cutter, error);
}

static bool say_start(Cutter *cutter, GError **error)
{
    const RbCutterOptions *options = &cutter->options;
    const RbAskCut ask = {
        .head = { RB_ASK_CUT, sizeof ask, 0 },
        .version = RB_PROTOCOL_VERSION,
        .sound = options->sound,
        .encode = options->encode,
        .crf = options->crf > 0 ? MIN(options->crf, 51) : 18,
        .threads = (uint32_t)MAX(options->threads, 0),
    };
    return say(cutter, &ask, sizeof ask, &cutter->fd, 1, error);
}

static bool say_film(Cutter *cutter, const Film *film, int slot, GError **error)
{
    gsize n = 0;
    const void *bytes = g_bytes_get_data(film->index, &n);
    const int index = rb_sealed_copy(bytes, n, error);
    if (index < 0) {
        return false;
    }
    const RbAskCutFilm ask = { .head = { RB_ASK_CUT_FILM, sizeof ask, 0 },
                               .slot = (uint32_t)slot,
                               .index_bytes = (int64_t)n };
    const int fds[2] = { film->file.fd, index };
    const bool said = say(cutter, &ask, sizeof ask, fds, 2, error);
    close(index);
    return said;
}

static bool say_card(Cutter *cutter, const RbCutCardPicture *card, uint64_t serial,
                     GError **error)
{
    if (card->gray == NULL) {
        return true;
    }
    const int fd =
        rb_sealed_copy(card->gray, (size_t)card->width * (size_t)card->height, error);
    if (fd < 0) {
        return false;
    }
    const RbAskCutCard ask = { .head = { RB_ASK_CUT_CARD, sizeof ask, serial },
                               .width = card->width,
                               .height = card->height,
                               .ms = card->ms };
    const bool said = say(cutter, &ask, sizeof ask, &fd, 1, error);
    close(fd);
    return said;
}

static bool say_drawing(Cutter *cutter, const RbCutDrawingPicture *drawing,
                        uint64_t serial, GError **error)
{
    const size_t bytes = (size_t)drawing->width * (size_t)drawing->height * 4;
    const int fd = rb_sealed_copy(drawing->rgba, bytes, error);
    if (fd < 0) {
        return false;
    }
    const RbAskCutDrawing ask = { .head = { RB_ASK_CUT_DRAWING, sizeof ask, serial },
                                  .first = drawing->first,
                                  .last = drawing->last,
                                  .width = drawing->width,
                                  .height = drawing->height,
                                  .beside = drawing->beside };
    const bool said = say(cutter, &ask, sizeof ask, &fd, 1, error);
    close(fd);
    return said;
}

static bool say_drawings(Cutter *cutter, const RbCutSpan *span, uint64_t serial,
                         GError **error)
{
    for (int i = 0; i < MIN(span->n_drawings, RB_CUT_DRAWINGS_MAX); i++) {
        if (!say_drawing(cutter, &span->drawings[i], serial, error)) {
            return false;
        }
    }
    return true;
}

static bool say_span(Cutter *cutter, int number, const int *slots, GError **error)
{
    const RbCutSpan *span = &cutter->spans[number];
    const uint64_t serial = (uint64_t)number + 1;
    const RbAskCutClip ask = {
        .head = { RB_ASK_CUT_CLIP, sizeof ask, serial },
        .film = slots[find_film(cutter, span->path)],
        .beside = span->beside != NULL ? slots[find_film(cutter, span->beside)] : -1,
        .first = span->first,
        .last = span->last,
        .anchor = span->anchor,
        .beside_anchor = span->beside_anchor,
        .freeze =
            span->freeze >= span->first && span->freeze <= span->last ? span->freeze : -1,
        .freeze_ms = MAX(span->freeze_ms, 0),
        .speed = span->speed > 0 ? span->speed : 100,
        .loops = MAX(span->loops, 1),
    };
    return say_card(cutter, &span->card, serial, error) &&
           say(cutter, &ask, sizeof ask, NULL, 0, error) &&
           say_drawings(cutter, span, serial, error);
}

/* Films that the spans left use get slots, in the order of first use. */
static bool say_films(Cutter *cutter, int *slots, GError **error)
{
    int used = 0;
    for (guint i = 0; i < cutter->films->len; i++) {
        slots[i] = -1;
    }
    for (int i = 0; i < cutter->n; i++) {
        const char *const paths[] = { cutter->spans[i].path, cutter->spans[i].beside };
        for (int j = 0; j < 2 && cutter->results[i].error == NULL; j++) {
            const int film = paths[j] != NULL ? find_film(cutter, paths[j]) : -1;
            if (film < 0 || slots[film] >= 0) {
                continue;
            }
            if (used == RB_CUT_FILMS_MAX) {
                return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                                    "A cut-up of more than %d films cannot be one film; "
                                    "export a file for each clip.",
                                    RB_CUT_FILMS_MAX);
            }
            slots[film] = used++;
            if (!say_film(cutter, cutter->films->pdata[film], slots[film], error)) {
                return false;
            }
        }
    }
    return true;
}

static bool say_all(Cutter *cutter, GError **error)
{
    g_autofree int *slots = g_new(int, cutter->films->len);
    if (!say_start(cutter, error) || !say_films(cutter, slots, error)) {
        return false;
    }
    for (int i = 0; i < cutter->n; i++) {
        if (cutter->results[i].error == NULL && !say_span(cutter, i, slots, error)) {
            return false;
        }
    }
    const RbAskPlain finish = { .head = { RB_ASK_FINISH, sizeof finish, 0 } };
    return say(cutter, &finish, sizeof finish, NULL, 0, error);
}

static void tell_progress(const Cutter *cutter, int permille)
{
    if (permille < 0) {
        return;
    }
    const double done = permille / 1000.0;
    const int64_t passed_us = g_get_monotonic_time() - cutter->started_us;
    g_autofree char *what = g_strdup("Writing the cut-up");
    if (done > 0.05 && passed_us > 2000000) {
        const int left_s = (int)((double)passed_us * (1.0 - done) / done / 1e6 + 0.5);
        g_free(what);
        what =
            g_strdup_printf("Writing the cut-up, %d:%02d left", left_s / 60, left_s % 60);
    }
    rb_progress_set(cutter->progress, OPEN_SHARE + (1.0 - OPEN_SHARE) * done, what);
}

static char *why_text(uint32_t why)
{
    static const char *const words[RB_CUT_WHYS] = {
        [RB_CUT_WHY_START] = "it starts between key frames",
        [RB_CUT_WHY_END] = "it ends between key frames",
        [RB_CUT_WHY_CODEC] = "the film is not H.264",
        [RB_CUT_WHY_FORMAT] = "its pictures are not 8-bit 4:2:0 of an even size",
        [RB_CUT_WHY_GROUPS] = "its key frames lean on what is before them",
        [RB_CUT_WHY_DIFFERS] = "its video has other parameters than the other clips",
        [RB_CUT_WHY_DAMAGED] = "the film is damaged there",
        [RB_CUT_WHY_COMPOSED] = "a card, a drawing or a second angle is part of it",
        [RB_CUT_WHY_ASKED] = "everything was to be encoded",
    };
    g_autoptr(GString) text = g_string_new(NULL);
    for (int i = 0; i < RB_CUT_WHYS; i++) {
        if ((why & 1U << i) != 0) {
            g_string_append_printf(text, "%s%s", text->len > 0 ? "; " : "", words[i]);
        }
    }
    return text->len > 0 ? g_strdup(text->str) : NULL;
}

static void take_done(Cutter *cutter, const RbTellCutDone *done)
{
    const uint64_t serial = done->head.serial;
    if (serial >= 1 && serial <= (uint64_t)cutter->n) {
        RbCutResult *result = &cutter->results[serial - 1];
        result->copied = done->copied;
        result->encoded = done->encoded;
        g_free(result->why);
        result->why = done->encoded > 0 ? why_text(done->why) : NULL;
    }
}

/* A fault of one span can be left out; of the output it ends everything. */
static bool take_fault(const Cutter *cutter, const RbTellFault *fault, int *span,
                       GError **error)
{
    if (fault->code == RB_FILM_ERROR_WRITE) {
        const bool known = fault->detail > 0 && fault->detail < 4096;
        return write_error(cutter, known ? (int)fault->detail : EIO, error);
    }
    const bool of_span =
        fault->head.serial >= 1 && fault->head.serial <= (uint64_t)cutter->n;
    if (!of_span) {
        return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_FAILED,
                            "The cut-up \"%s\" could not be encoded; try a file for each "
                            "clip.",
                            cutter->shown);
    }
    *span = (int)fault->head.serial - 1;
    g_autofree char *name = rb_film_name(cutter->spans[*span].path);
    if (fault->code == RB_FILM_ERROR_READ) {
        return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_READ,
                            "Clip %d could not be read from \"%s\": is its drive still "
                            "connected?",
                            *span + 1, name);
    }
    return rb_error_set(error, RB_FILM_ERROR, (int)fault->code,
                        "Clip %d could not be made from \"%s\": the film is damaged "
                        "there; leave the clip out or set other bounds.",
                        *span + 1, name);
}

static bool wait_for_word(const Cutter *cutter, GError **error)
{
    struct pollfd wait = { .fd = cutter->helper.socket, .events = POLLIN };
    for (int waited = 0; waited < SILENCE_MS; waited += 50) {
        const int ready = poll(&wait, 1, 50);
        if (!rb_cancel_check(cutter->cancel, error)) {
            return false;
        }
        if (ready > 0) {
            return true;
        }
    }
    return helper_gone(cutter, error);
}

/* Until the helper is done. span: (out): the one at fault, -1: none. */
static bool hear(Cutter *cutter, int *span, RbTellFinished *finished, GError **error)
{
    char buffer[RB_MESSAGE_MAX];
    for (;;) {
        size_t n = 0;
        RbTell tell;
        const uint8_t *part = NULL;
        size_t part_bytes = 0;
        if (!wait_for_word(cutter, error)) {
            return false;
        }
        if (rb_channel_receive(cutter->helper.socket, buffer, sizeof buffer, &n, NULL, 0,
                               NULL, true) != RB_CHANNEL_OK ||
            !rb_tell_check(buffer, n, &tell, &part, &part_bytes)) {
            return helper_gone(cutter, error);
        }
        switch (tell.head.kind) {
        case RB_TELL_PROGRESS:
            tell_progress(cutter, tell.progress.permille);
            break;
        case RB_TELL_CUT_DONE:
            take_done(cutter, &tell.cut_done);
            break;
        case RB_TELL_FAULT:
            return take_fault(cutter, &tell.fault, span, error);
        case RB_TELL_FINISHED:
            *finished = tell.finished;
            return true;
        default:
            return helper_gone(cutter, error);
        }
    }
}

/* ---- the file */

static void drop_temporary(Cutter *cutter)
{
    if (cutter->temporary != NULL) {
        g_unlink(cutter->temporary);
        g_clear_pointer(&cutter->temporary, g_free);
    }
    if (cutter->fd >= 0) {
        close(cutter->fd);
        cutter->fd = -1;
    }
}

static bool open_temporary(Cutter *cutter, GError **error)
{
    g_autofree char *folder = g_path_get_dirname(cutter->path);
    g_autofree char *name =
        g_strdup_printf(".readbreak-%016" G_GINT64_MODIFIER "x.part", rb_id_random());
    cutter->temporary = g_build_filename(folder, name, NULL);
    cutter->fd =
        open(cutter->temporary, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (cutter->fd < 0) {
        const int errnum = errno;
        g_clear_pointer(&cutter->temporary, g_free);
        return write_error(cutter, errnum, error);
    }
    return true;
}

/* The data, then the name: whoever sees the name finds the whole film. */
static bool keep(Cutter *cutter, const RbTellFinished *finished, GError **error)
{
    struct stat now;
    if (fstat(cutter->fd, &now) != 0 || now.st_size != finished->bytes ||
        finished->frames <= 0) {
        return helper_gone(cutter, error);
    }
    if (fsync(cutter->fd) != 0 || rename(cutter->temporary, cutter->path) != 0) {
        return write_error(cutter, errno, error);
    }
    g_clear_pointer(&cutter->temporary, g_free);
    g_autofree char *folder = g_path_get_dirname(cutter->path);
    const int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd >= 0) {
        fsync(fd); /* not every file system allows it; the film is there either way */
        close(fd);
    }
    return true;
}

/* One attempt with the spans that are left. */
static bool attempt(Cutter *cutter, int *span, GError **error)
{
    RbTellFinished finished = { .frames = 0 };
    *span = -1;
    bool done = open_temporary(cutter, error) && rb_helper_start(&cutter->helper, error);
    done = done && say_all(cutter, error) && hear(cutter, span, &finished, error);
    rb_helper_end(&cutter->helper);
    done = done && keep(cutter, &finished, error);
    drop_temporary(cutter);
    return done;
}

static bool run(Cutter *cutter, GError **error)
{
    if (!add_films(cutter, error) || !is_no_film(cutter, error) ||
        !check_spans(cutter, error)) {
        return false;
    }
    while (count_left(cutter) > 0) {
        GError *failure = NULL;
        int span = -1;
        cutter->started_us = g_get_monotonic_time();
        if (attempt(cutter, &span, &failure)) {
            rb_progress_set(cutter->progress, 1.0, "Written");
            return true;
        }
        if (span < 0) {
            g_propagate_error(error, failure);
            return false;
        }
        if (!leave_out(cutter, span, failure, error)) {
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
                      .films = g_ptr_array_new_with_free_func(film_free),
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
