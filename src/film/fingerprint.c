/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/fingerprint.h"

#include <errno.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "film-file.h"
#include "fingerprint-private.h"

#define PREFIX "f1:"
#define EDGE (INT64_C(1) << 20)
#define BLOCK (INT64_C(64) << 10)
#define BLOCKS 16
#define WHOLE (INT64_C(4) << 20)

static bool read_error(const char *name, GError **error)
{
    const int errnum = errno;
    if (errnum == 0) {
        return rb_error_set(
            error, RB_FILM_ERROR, RB_FILM_ERROR_READ,
            "The film \"%s\" became shorter while it was read; wait until "
            "whatever writes it has finished.",
            name);
    }
    return rb_error_errno(
        error, RB_FILM_ERROR, RB_FILM_ERROR_READ, errnum,
        "The film \"%s\" could not be read; check the drive and try again", name);
}

static bool add_range(GChecksum *sum, int fd, int64_t at, int64_t n, const char *name,
                      RbCancel *cancel, GError **error)
{
    uint8_t buffer[BLOCK];
    while (n > 0) {
        const int64_t step = MIN(n, BLOCK);
        if (!rb_cancel_check(cancel, error)) {
            return false;
        }
        if (!rb_film_file_read(fd, buffer, (size_t)step, at)) {
            return read_error(name, error);
        }
        g_checksum_update(sum, buffer, (gssize)step);
        at += step;
        n -= step;
    }
    return true;
}

static bool add_parts(GChecksum *sum, int fd, int64_t bytes, const char *name,
                      RbCancel *cancel, GError **error)
{
    if (bytes <= WHOLE) {
        return add_range(sum, fd, 0, bytes, name, cancel, error);
    }
    if (!add_range(sum, fd, 0, EDGE, name, cancel, error)) {
        return false;
    }
    for (int64_t i = 1; i <= BLOCKS; i++) {
        const int64_t at = bytes / (BLOCKS + 1) * i;
        if (!add_range(sum, fd, at, MIN(BLOCK, bytes - at), name, cancel, error)) {
            return false;
        }
    }
    return add_range(sum, fd, bytes - EDGE, EDGE, name, cancel, error);
}

char *rb_film_fingerprint_of(int fd, int64_t bytes, const char *name, RbCancel *cancel,
                             GError **error)
{
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    uint8_t size[8];
    for (int i = 0; i < 8; i++) {
        size[i] = (uint8_t)((uint64_t)bytes >> (56 - 8 * i));
    }
    g_checksum_update(sum, size, sizeof size);
    if (!add_parts(sum, fd, bytes, name, cancel, error)) {
        return NULL;
    }
    return g_strconcat(PREFIX, g_checksum_get_string(sum), NULL);
}

char *rb_film_fingerprint(const char *path, int64_t *bytes, RbCancel *cancel,
                          GError **error)
{
    RbFilmFile file;
    if (!rb_film_file_open(path, &file, error)) {
        return NULL;
    }
    g_autofree char *name = rb_film_name(path);
    char *result = rb_film_fingerprint_of(file.fd, file.bytes, name, cancel, error);
    if (bytes != NULL) {
        *bytes = file.bytes;
    }
    rb_film_file_close(&file);
    return result;
}

bool rb_film_fingerprint_is_valid(const char *text)
{
    if (text == NULL || !g_str_has_prefix(text, PREFIX) ||
        strlen(text) != strlen(PREFIX) + 64) {
        return false;
    }
    for (const char *c = text + strlen(PREFIX); *c != '\0'; c++) {
        if (!g_ascii_isdigit(*c) && (*c < 'a' || *c > 'f')) {
            return false;
        }
    }
    return true;
}
