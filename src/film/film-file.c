/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "film-file.h"

#include <errno.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

/* Signs that end a line or turn the writing direction would change the sentence around them. */
static bool spoils_sentences(gunichar c)
{
    return g_unichar_iscntrl(c) || (c >= 0x2028 && c <= 0x202e) ||
           (c >= 0x2066 && c <= 0x2069);
}

char *rb_film_name(const char *path)
{
    g_autofree char *shown = g_filename_display_basename(path);
    GString *name = g_string_new(NULL);
    for (const char *at = shown; *at != '\0'; at = g_utf8_next_char(at)) {
        const gunichar c = g_utf8_get_char(at);
        g_string_append_unichar(name, spoils_sentences(c) ? '?' : c);
    }
    return g_string_free(name, FALSE);
}

static bool open_error(const char *name, int errnum, GError **error)
{
    switch (errnum) {
    case ENOENT:
    case ENOTDIR:
        return rb_error_set(
            error, RB_FILM_ERROR, RB_FILM_ERROR_MISSING,
            "The film \"%s\" is not there; if it was moved, say where it is "
            "now, and if it is on a drive, connect that.",
            name);
    case EACCES:
    case EPERM:
        return rb_error_set(
            error, RB_FILM_ERROR, RB_FILM_ERROR_PERMISSION,
            "The film \"%s\" may not be read; ask its owner for permission "
            "or make a copy of your own.",
            name);
    case ELOOP:
        return rb_error_set(
            error, RB_FILM_ERROR, RB_FILM_ERROR_MISSING,
            "The film \"%s\" is a link that leads nowhere; choose the film "
            "itself.",
            name);
    default:
        return rb_error_errno(
            error, RB_FILM_ERROR, RB_FILM_ERROR_READ, errnum,
            "The film \"%s\" could not be opened; check the drive and try "
            "again",
            name);
    }
}

static bool check(const char *name, RbFilmFile *file, GError **error)
{
    struct stat now;
    if (fstat(file->fd, &now) != 0) {
        return open_error(name, errno, error);
    }
    if (S_ISDIR(now.st_mode)) {
        return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_NOT_A_FILE,
                            "\"%s\" is a folder, not a film; choose a film in it.", name);
    }
    if (!S_ISREG(now.st_mode)) {
        return rb_error_set(
            error, RB_FILM_ERROR, RB_FILM_ERROR_NOT_A_FILE,
            "\"%s\" is not a file (a pipe or a device); choose a film file.", name);
    }
    if (now.st_size == 0) {
        return rb_error_set(
            error, RB_FILM_ERROR, RB_FILM_ERROR_EMPTY,
            "The film \"%s\" is empty (zero bytes); copy it again from the "
            "camera.",
            name);
    }
    file->bytes = now.st_size;
    file->changed_ns = (int64_t)now.st_mtim.tv_sec * 1000000000 + now.st_mtim.tv_nsec;
    return true;
}

bool rb_film_file_open(const char *path, RbFilmFile *file, GError **error)
{
    g_autofree char *name = rb_film_name(path);
    *file = (RbFilmFile){ .fd = -1 };
    file->fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
    if (file->fd < 0) {
        const int errnum = errno;
        if (errnum == ENXIO || errnum == ENODEV) { /* a socket */
            return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_NOT_A_FILE,
                                "\"%s\" is not a file; choose a film file.", name);
        }
        return open_error(name, errnum, error);
    }
    if (!check(name, file, error)) {
        rb_film_file_close(file);
        return false;
    }
    return true;
}

bool rb_film_file_is_whole(const RbFilmFile *file, const char *name, GError **error)
{
    struct stat now;
    if (fstat(file->fd, &now) != 0) {
        return open_error(name, errno, error);
    }
    return now.st_size >= file->bytes ||
           rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_READ,
                        "The film \"%s\" was cut short while it was open; open it again "
                        "when the file is whole.",
                        name);
}

void rb_film_file_close(RbFilmFile *file)
{
    if (file->fd >= 0) {
        close(file->fd);
        file->fd = -1;
    }
}

bool rb_film_file_read(int fd, void *buffer, size_t n, int64_t at)
{
    size_t done = 0;
    while (done < n) {
        const ssize_t got =
            pread(fd, (char *)buffer + done, n - done, (off_t)(at + (int64_t)done));
        if (got > 0) {
            done += (size_t)got;
        } else if (got == 0) {
            errno = 0;
            return false;
        } else if (errno != EINTR) {
            return false;
        }
    }
    return true;
}
