/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"
#include "rb/film/fingerprint.h"
#include "rb/work/error.h"

#include "intake-private.h"

#define BLOCK ((size_t)1 << 20)

static bool fail(GError **error, int errnum, const char *path, const char *folder)
{
    return rb_error_errno(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, errnum,
                          _("%s could not be copied to %s; nothing was changed"), path,
                          folder);
}

static bool write_all(int fd, const uint8_t *bytes, size_t n)
{
    while (n > 0) {
        const ssize_t done = write(fd, bytes, n);
        if (done < 0 && errno == EINTR) {
            continue;
        }
        if (done <= 0) {
            return false;
        }
        bytes += done;
        n -= (size_t)done;
    }
    return true;
}

/* Reads `from` to its end; to: written along, -1: not. Returns: (transfer full) (nullable): the
 * SHA-256 of what was read; NULL with errno, 0 when cancelled. */
static char *hash_through(int from, int to, int64_t bytes, RbCancel *cancel,
                          RbProgress *progress)
{
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    g_autofree uint8_t *block = g_malloc(BLOCK);
    int64_t at = 0;
    for (;;) {
        if (rb_cancel_is_cancelled(cancel)) {
            errno = 0;
            return NULL;
        }
        const ssize_t n = pread(from, block, BLOCK, at);
        if (n < 0 && errno == EINTR) {
            continue;
        }
        if (n < 0 || (n > 0 && to >= 0 && !write_all(to, block, (size_t)n))) {
            return NULL;
        }
        if (n == 0) {
            return g_strdup(g_checksum_get_string(sum));
        }
        g_checksum_update(sum, block, n);
        at += n;
        rb_progress_set(progress, bytes > 0 ? (double)at / (double)bytes : -1,
                        _("copying the films"));
    }
}

/* A name in the folder that is free, or has this very film: *there. (transfer full) */
static char *choose_name(const char *path, const char *folder, const char *fingerprint,
                         bool *there, RbCancel *cancel)
{
    g_autofree char *name = g_path_get_basename(path);
    const char *dot = strrchr(name, '.');
    const int stem = dot != NULL && dot != name ? (int)(dot - name) : (int)strlen(name);
    *there = false;
    for (int i = 1;; i++) {
        g_autofree char *other =
            g_strdup_printf("%.*s (%d)%s", stem, name, i, name + stem);
        char *target = g_build_filename(folder, i == 1 ? name : other, NULL);
        if (!g_file_test(target, G_FILE_TEST_EXISTS) &&
            !g_file_test(target, G_FILE_TEST_IS_SYMLINK)) {
            return target;
        }
        g_autofree char *found = rb_film_fingerprint(target, NULL, cancel, NULL);
        if (found != NULL && strcmp(found, fingerprint) == 0) {
            *there = true;
            return target;
        }
        g_free(target);
    }
}

/* The bytes go to the disk before they are read again. */
static bool copy_and_compare(int from, int to, int64_t bytes, RbCancel *cancel,
                             RbProgress *progress)
{
    g_autofree char *read = hash_through(from, to, bytes, cancel, progress);
    if (read == NULL || fsync(to) != 0) {
        return false;
    }
    /* What is in memory is no proof of what is on the disk. */
    posix_fadvise(to, 0, 0, POSIX_FADV_DONTNEED);
    g_autofree char *there = hash_through(to, -1, bytes, cancel, NULL);
    if (there != NULL && strcmp(read, there) != 0) {
        errno = EIO;
        return false;
    }
    return there != NULL;
}

/* Never over what came to lie there meanwhile. FAT, as on the cards of cameras, has no links. */
static bool rename_free(const char *part, const char *target)
{
    if (link(part, target) == 0) {
        return true;
    }
    if (errno == EEXIST || g_file_test(target, G_FILE_TEST_EXISTS)) {
        return false;
    }
    return rename(part, target) == 0;
}

static bool copy_to(const char *path, const char *target, const char *folder,
                    int64_t bytes, RbCancel *cancel, RbProgress *progress, GError **error)
{
    g_autofree char *odd =
        g_strdup_printf(".readbreak-%016" G_GINT64_MODIFIER "x.part", rb_id_random());
    g_autofree char *part = g_build_filename(folder, odd, NULL);
    const int from = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    const int to =
        from < 0 ? -1
                 : open(part, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666);
    bool ok = to >= 0 && copy_and_compare(from, to, bytes, cancel, progress) &&
              rename_free(part, target);
    const int errnum = errno;
    if (from >= 0) {
        close(from);
    }
    if (to >= 0) {
        close(to);
        g_unlink(part);
    }
    if (!ok && rb_cancel_check(cancel, error)) {
        fail(error, errnum, path, folder);
    }
    return ok;
}

char *rb_intake_copy(const char *path, const char *folder, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    int64_t bytes = 0;
    bool there = false;
    g_autofree char *fingerprint = rb_film_fingerprint(path, &bytes, cancel, error);
    if (fingerprint == NULL) {
        return NULL;
    }
    if (g_mkdir_with_parents(folder, 0777) != 0) {
        fail(error, errno, path, folder);
        return NULL;
    }
    g_autofree char *target = choose_name(path, folder, fingerprint, &there, cancel);
    if (!there && !copy_to(path, target, folder, bytes, cancel, progress, error)) {
        return NULL;
    }
    return g_canonicalize_filename(target, NULL);
}
