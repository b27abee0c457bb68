/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <cairo.h>
#include <errno.h>
#include <fcntl.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/frames.h"
#include "rb/work/error.h"
#include "rb/work/films.h"

RbPicture *rb_film_still(const char *path, int64_t frame, RbPixels pixels,
                         RbCancel *cancel, GError **error)
{
    g_autoptr(RbReel) reel = rb_reel_open_wait(path, cancel, 0, NULL, error);
    if (reel == NULL) {
        return NULL;
    }
    /* Planes are for comparing with other decoders, which leave the picture as coded. */
    const RbFrameOptions options = { .pixels = pixels,
                                     .as_coded = pixels == RB_PIXELS_I420 };
    return rb_reel_wait_frame(reel, frame, &options, cancel, 0, error);
}

static cairo_status_t write_some(void *data, const unsigned char *bytes,
                                 unsigned int length)
{
    const int *fd = data;
    while (length > 0) {
        const ssize_t n = write(*fd, bytes, length);
        if (n < 0 && errno == EINTR) {
            continue;
        }
        if (n <= 0) {
            return CAIRO_STATUS_WRITE_ERROR;
        }
        bytes += n;
        length -= (unsigned int)n;
    }
    return CAIRO_STATUS_SUCCESS;
}

bool rb_picture_write_png(const RbPicture *picture, const char *path, GError **error)
{
    g_assert(rb_picture_get_pixels(picture) == RB_PIXELS_BGRA);
    int fd = g_open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0 && errno == EEXIST) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS,
                            _("%s exists already: give another name or remove it."),
                            path);
    }
    if (fd < 0) {
        return rb_error_errno(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, errno,
                              "The picture cannot be written to %s", path);
    }
    /* Cairo only reads from a surface that is written out. */
    cairo_surface_t *surface = cairo_image_surface_create_for_data(
        (unsigned char *)rb_picture_get_bytes(picture), CAIRO_FORMAT_RGB24,
        rb_picture_get_width(picture), rb_picture_get_height(picture),
        (int)rb_picture_get_stride(picture));
    const cairo_status_t status =
        cairo_surface_write_to_png_stream(surface, write_some, &fd);
    cairo_surface_destroy(surface);
    const bool closed = close(fd) == 0;
    if (status != CAIRO_STATUS_SUCCESS || !closed) {
        g_unlink(path);
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
            _("The picture cannot be written to %s: the disk may be full."), path);
    }
    return true;
}

char *rb_picture_md5(const RbPicture *picture)
{
    g_assert(rb_picture_get_pixels(picture) == RB_PIXELS_I420);
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_MD5);
    for (int plane = 0; plane < 3; plane++) {
        size_t stride = 0;
        const uint8_t *row = rb_picture_get_plane(picture, plane, &stride);
        const int halve = plane > 0 ? 1 : 0;
        const int width = (rb_picture_get_width(picture) + halve) >> halve;
        const int height = (rb_picture_get_height(picture) + halve) >> halve;
        for (int y = 0; y < height; y++, row += stride) {
            g_checksum_update(sum, row, width);
        }
    }
    return g_strdup(g_checksum_get_string(sum));
}
