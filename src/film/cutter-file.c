/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"
#include "rb/film/error.h"

#include "cutter-private.h"

bool rb_cutter_write_error(const Cutter *cutter, int errnum, GError **error)
{
    const bool denied = errnum == EACCES || errnum == EPERM || errnum == EROFS;
    const int code = denied ? RB_FILM_ERROR_PERMISSION : RB_FILM_ERROR_WRITE;
    if (errnum == ENOSPC || errnum == EDQUOT) {
        return rb_error_set(error, RB_FILM_ERROR, code,
                            "The cut-up \"%s\" was not written because the disk is full; "
                            "make room there or choose another folder.",
                            cutter->shown);
    }
    return rb_error_set(error, RB_FILM_ERROR, code,
                        "The cut-up \"%s\" could not be written (%s); choose another "
                        "folder.",
                        cutter->shown, g_strerror(errnum));
}

void rb_cutter_drop_file(Cutter *cutter)
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

bool rb_cutter_open_file(Cutter *cutter, GError **error)
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
        return rb_cutter_write_error(cutter, errnum, error);
    }
    return true;
}

/* The data, then the name: whoever sees the name finds the whole film. */
bool rb_cutter_keep_file(Cutter *cutter, const RbTellFinished *finished, GError **error)
{
    struct stat now;
    if (fstat(cutter->fd, &now) != 0 || now.st_size != finished->bytes ||
        finished->frames <= 0) {
        return rb_cutter_helper_gone(cutter, error);
    }
    if (fsync(cutter->fd) != 0 || rename(cutter->temporary, cutter->path) != 0) {
        return rb_cutter_write_error(cutter, errno, error);
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
