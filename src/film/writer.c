/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/writer.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"
#include "rb/film/error.h"

#include "channel.h"
#include "film-file.h"
#include "helper-process.h"
#include "protocol.h"
#include "ring.h"

/* Longest silence of the helper before it counts as hung: it says something with every frame
 * it takes in. */
#define SILENCE_MS 60000
#define WRITER_SLOTS 6

/* A file that gets its name when it is whole. */
typedef struct {
    char *path;      /* owned: the final name */
    char *temporary; /* owned: the name while writing; NULL once renamed */
    int fd;          /* owned; -1: not open */
} Output;

struct RbFilmWriter {
    Output film;
    GPtrArray *parts; /* owned, of Output */
    char *shown;      /* owned: the film's name, for sentences */
    RbHelper helper;
    RbRing *ring; /* owned */
    RbLayout layout;
    RbCancel *cancel;        /* owned reference, nullable */
    int slot;                /* handed out by rb_film_writer_next(), -1: none */
    bool lent[WRITER_SLOTS]; /* slots that are the helper's now */
    int64_t frames;
    bool finished;
};

static bool options_are_sane(const RbWriterOptions *options, GError **error)
{
    const bool size = options->width >= 16 && options->height >= 16 &&
                      options->width <= 8192 && options->height <= 8192 &&
                      options->width % 2 == 0 && options->height % 2 == 0;
    if (!size) {
        return rb_error_set(
            error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
            "A film of %d by %d cannot be written: width and height must be "
            "even and from 16 to 8192.",
            options->width, options->height);
    }
    if (options->rate.num <= 0 || options->rate.den <= 0) {
        return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                            "A film of %d/%d frames a second cannot be written.",
                            options->rate.num, options->rate.den);
    }
    return true;
}

static bool write_error(const RbFilmWriter *writer, int errnum, GError **error)
{
    const int code = errnum == EACCES || errnum == EPERM || errnum == EROFS
                         ? RB_FILM_ERROR_PERMISSION
                         : RB_FILM_ERROR_WRITE;
    return rb_error_errno(
        error, RB_FILM_ERROR, code, errnum,
        "The film \"%s\" could not be written; choose another folder or "
        "make room there",
        writer->shown);
}

static void output_clear(Output *output)
{
    if (output->temporary != NULL) {
        g_unlink(output->temporary);
        g_clear_pointer(&output->temporary, g_free);
    }
    if (output->fd >= 0) {
        close(output->fd);
        output->fd = -1;
    }
    g_clear_pointer(&output->path, g_free);
}

static void free_part(void *part)
{
    output_clear(part);
    g_free(part);
}

/* The whole film is written under a name that no other writer uses. */
static bool open_temporary(const RbFilmWriter *writer, const char *path, Output *output,
                           GError **error)
{
    output->path = g_strdup(path);
    g_autofree char *folder = g_path_get_dirname(path);
    g_autofree char *name =
        g_strdup_printf(".readbreak-%016" G_GINT64_MODIFIER "x.part", rb_id_random());
    output->temporary = g_build_filename(folder, name, NULL);
    output->fd =
        open(output->temporary, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (output->fd < 0) {
        const int errnum = errno;
        g_clear_pointer(&output->temporary, g_free);
        return write_error(writer, errnum, error);
    }
    return true;
}

static bool helper_gone(RbFilmWriter *writer, GError **error)
{
    rb_helper_end(&writer->helper);
    return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
                        "The film \"%s\" was not written: the program that encodes it "
                        "stopped; try again.",
                        writer->shown);
}

static bool send_message(RbFilmWriter *writer, const void *message, size_t bytes,
                         const int *fds, int n_fds, GError **error)
{
    if (writer->helper.socket < 0 ||
        rb_channel_send(writer->helper.socket, message, bytes, fds, n_fds, true) !=
            RB_CHANNEL_OK) {
        return helper_gone(writer, error);
    }
    return true;
}

static bool send_options(RbFilmWriter *writer, const RbWriterOptions *options,
                         GError **error)
{
    const bool square = options->pixel_shape.num <= 0 || options->pixel_shape.den <= 0;
    const RbAskWrite ask = {
        .head = { RB_ASK_WRITE, sizeof ask, 0 },
        .version = RB_PROTOCOL_VERSION,
        .slots = WRITER_SLOTS,
        .slot_bytes = rb_ring_get_slot_bytes(writer->ring),
        .width = options->width,
        .height = options->height,
        .rate_num = options->rate.num,
        .rate_den = options->rate.den,
        .shape_num = square ? 1 : options->pixel_shape.num,
        .shape_den = square ? 1 : options->pixel_shape.den,
        .crf = options->lossless  ? 0
               : options->crf > 0 ? MIN(options->crf, 51)
                                  : 23,
        .gop = options->gop > 0 ? options->gop : 60,
        .b_frames = options->b_frames,
        .open_gop = options->open_gop,
        .faststart = options->faststart,
        .quick = options->quick,
        .threads = (uint32_t)MAX(options->threads, 0),
    };
    const int fds[2] = { writer->film.fd, rb_ring_get_fd(writer->ring) };
    return send_message(writer, &ask, sizeof ask, fds, 2, error);
}

RbFilmWriter *rb_film_writer_open(const char *path, const RbWriterOptions *options,
                                  RbCancel *cancel, GError **error)
{
    if (!options_are_sane(options, error)) {
        return NULL;
    }
    g_autoptr(RbFilmWriter) writer = g_new0(RbFilmWriter, 1);
    writer->parts = g_ptr_array_new_with_free_func(free_part);
    writer->shown = rb_film_name(path);
    writer->film.fd = -1;
    writer->slot = -1;
    writer->helper = (RbHelper)RB_HELPER_NONE;
    writer->cancel = cancel != NULL ? rb_cancel_ref(cancel) : NULL;
    if (!rb_layout_make(RB_PIXELS_I420, options->width, options->height,
                        &writer->layout)) {
        g_assert_not_reached(); /* the size was checked above */
    }
    writer->ring = rb_ring_new(writer->layout.bytes, WRITER_SLOTS, true, -1, error);
    if (writer->ring == NULL || !open_temporary(writer, path, &writer->film, error) ||
        !rb_helper_start(&writer->helper, error) ||
        !send_options(writer, options, error)) {
        return NULL;
    }
    return g_steal_pointer(&writer);
}

static bool fault(RbFilmWriter *writer, const RbTellFault *tell, GError **error)
{
    rb_helper_end(&writer->helper);
    if (tell->code == RB_FILM_ERROR_WRITE && tell->detail > 0 && tell->detail < 4096) {
        return write_error(writer, (int)tell->detail, error);
    }
    return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                        "The film \"%s\" could not be encoded with these settings.",
                        writer->shown);
}

/* Waits for one message and digests it; finished: (nullable) (out). */
static bool hear(RbFilmWriter *writer, RbTellFinished *finished, GError **error)
{
    char buffer[RB_MESSAGE_MAX];
    size_t n = 0;
    struct pollfd wait = { .fd = writer->helper.socket, .events = POLLIN };
    for (int waited = 0;;) {
        const int step = writer->cancel != NULL ? 50 : 1000;
        const int ready = poll(&wait, 1, step);
        if (!rb_cancel_check(writer->cancel, error)) {
            return false;
        }
        if (ready > 0) {
            break;
        }
        waited += step;
        if (waited >= SILENCE_MS) {
            return helper_gone(writer, error);
        }
    }
    RbTell tell;
    const uint8_t *part = NULL;
    size_t part_bytes = 0;
    if (rb_channel_receive(writer->helper.socket, buffer, sizeof buffer, &n, NULL, 0,
                           NULL, true) != RB_CHANNEL_OK ||
        !rb_tell_check(buffer, n, &tell, &part, &part_bytes)) {
        return helper_gone(writer, error);
    }
    switch (tell.head.kind) {
    case RB_TELL_SLOT_FREE:
        if (tell.slot_free.slot >= WRITER_SLOTS || !writer->lent[tell.slot_free.slot]) {
            return helper_gone(writer, error);
        }
        writer->lent[tell.slot_free.slot] = false;
        rb_ring_give_back(writer->ring, (int)tell.slot_free.slot);
        return true;
    case RB_TELL_FAULT:
        return fault(writer, &tell.fault, error);
    case RB_TELL_FINISHED:
        if (finished == NULL) {
            return helper_gone(writer, error);
        }
        *finished = tell.finished;
        return true;
    case RB_TELL_PROGRESS:
        return true;
    default:
        return helper_gone(writer, error);
    }
}

bool rb_film_writer_next(RbFilmWriter *writer, RbWriterFrame *frame, GError **error)
{
    g_assert(writer->slot < 0 && !writer->finished);
    if (!rb_cancel_check(writer->cancel, error)) {
        return false;
    }
    while ((writer->slot = rb_ring_take(writer->ring)) < 0) {
        if (writer->helper.socket < 0) {
            return helper_gone(writer, error);
        }
        if (!hear(writer, NULL, error)) {
            return false;
        }
    }
    uint8_t *memory = rb_ring_get_slot(writer->ring, writer->slot);
    for (int i = 0; i < 3; i++) {
        frame->planes[i] = memory + writer->layout.offset[i];
        frame->strides[i] = (int)writer->layout.stride[i];
    }
    frame->ordinal = writer->frames;
    return true;
}

bool rb_film_writer_push(RbFilmWriter *writer, GError **error)
{
    g_assert(writer->slot >= 0);
    const RbAskEncode ask = {
        .head = { RB_ASK_ENCODE, sizeof ask, (uint64_t)writer->frames },
        .slot = (uint32_t)writer->slot,
        .ordinal = writer->frames,
    };
    writer->lent[writer->slot] = true;
    writer->slot = -1;
    writer->frames++;
    return send_message(writer, &ask, sizeof ask, NULL, 0, error);
}

bool rb_film_writer_part(RbFilmWriter *writer, const char *path, GError **error)
{
    g_assert(writer->slot < 0 && !writer->finished);
    const RbAskPlain ask = { .head = { RB_ASK_PART, sizeof ask,
                                       (uint64_t)writer->frames } };
    if (path == NULL) {
        return send_message(writer, &ask, sizeof ask, NULL, 0, error);
    }
    Output *part = g_new0(Output, 1);
    part->fd = -1;
    g_ptr_array_add(writer->parts, part);
    return open_temporary(writer, path, part, error) &&
           send_message(writer, &ask, sizeof ask, &part->fd, 1, error);
}

/* The data, then the name: whoever sees the name finds the whole film, even after a power
 * loss. */
static bool keep(const RbFilmWriter *writer, Output *output, GError **error)
{
    if (fsync(output->fd) != 0 || rename(output->temporary, output->path) != 0) {
        return write_error(writer, errno, error);
    }
    g_clear_pointer(&output->temporary, g_free);
    g_autofree char *folder = g_path_get_dirname(output->path);
    const int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd >= 0) {
        fsync(fd); /* not every file system allows it; the film is there either way */
        close(fd);
    }
    return true;
}

/* A part that was asked for and got no frames keeps no file. */
static bool keep_parts(const RbFilmWriter *writer, GError **error)
{
    for (guint i = 0; i < writer->parts->len; i++) {
        Output *part = writer->parts->pdata[i];
        struct stat now;
        if (fstat(part->fd, &now) == 0 && now.st_size > 0 && !keep(writer, part, error)) {
            return false;
        }
    }
    return true;
}

/* Parts do not outlive the failure of their film. */
static void drop_parts(const RbFilmWriter *writer)
{
    for (guint i = 0; i < writer->parts->len; i++) {
        const Output *part = writer->parts->pdata[i];
        if (part->temporary == NULL && part->fd >= 0) {
            g_unlink(part->path);
        }
    }
}

bool rb_film_writer_finish(RbFilmWriter *writer, GError **error)
{
    g_assert(!writer->finished);
    writer->finished = true;
    const RbAskPlain ask = { .head = { RB_ASK_FINISH, sizeof ask, 0 } };
    if (writer->frames == 0) {
        return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                            "The film \"%s\" was not written: it has no frames.",
                            writer->shown);
    }
    if (!send_message(writer, &ask, sizeof ask, NULL, 0, error)) {
        return false;
    }
    RbTellFinished finished = { .frames = -1 };
    while (finished.frames < 0) {
        if (!hear(writer, &finished, error)) {
            return false;
        }
    }
    rb_helper_end(&writer->helper);
    struct stat now;
    if (fstat(writer->film.fd, &now) != 0 || finished.frames != writer->frames ||
        now.st_size != finished.bytes) {
        return helper_gone(writer, error);
    }
    if (!keep_parts(writer, error) || !keep(writer, &writer->film, error)) {
        drop_parts(writer);
        return false;
    }
    return true;
}

void rb_film_writer_free(RbFilmWriter *writer)
{
    if (writer == NULL) {
        return;
    }
    rb_helper_end(&writer->helper);
    output_clear(&writer->film);
    g_ptr_array_unref(writer->parts);
    rb_ring_unref(writer->ring);
    rb_cancel_unref(writer->cancel);
    g_free(writer->shown);
    g_free(writer);
}
