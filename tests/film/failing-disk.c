/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* RTLD_NEXT, and the names that GLib's programs call */
#include <dlfcn.h>
#include <errno.h>
#include <stdbool.h>
#include <stdlib.h>
#include <sys/types.h>
#include <unistd.h>

/* Loaded before the C library into a program that is tested: a disk that fills up, one that the
 * system stops writing on after a fault, and a drive that is pulled out. RB_TEST_DISK_BYTES: nothing
 * is written past this byte of a file. RB_TEST_DISK_STOPS: nothing is written while this file is
 * there. RB_TEST_DRIVE_BYTES: nothing is read past it; with RB_TEST_DRIVE_GONE too, nothing at all
 * once that was tried. */

ssize_t pwrite64(int fd, const void *bytes, size_t n, off64_t at);
ssize_t pread64(int fd, void *bytes, size_t n, off64_t at);

static bool has_stopped(void)
{
    const char *sign = getenv("RB_TEST_DISK_STOPS");
    return sign != NULL && access(sign, F_OK) == 0;
}

/* -1: no limit. */
static off64_t limit_of(const char *name)
{
    const char *limit = getenv(name);
    return limit != NULL ? (off64_t)atoll(limit) : -1;
}

ssize_t pwrite64(int fd, const void *bytes, size_t n, off64_t at)
{
    static ssize_t (*real)(int, const void *, size_t, off64_t);
    const off64_t limit = limit_of("RB_TEST_DISK_BYTES");
    if (limit >= 0 && at + (off64_t)n > limit) {
        errno = ENOSPC;
        return -1;
    }
    if (has_stopped()) {
        errno = EROFS;
        return -1;
    }
    if (real == NULL) {
        *(void **)&real = dlsym(RTLD_NEXT, "pwrite64");
    }
    return real(fd, bytes, n, at);
}

ssize_t pread64(int fd, void *bytes, size_t n, off64_t at)
{
    static ssize_t (*real)(int, void *, size_t, off64_t);
    static bool gone;
    const off64_t limit = limit_of("RB_TEST_DRIVE_BYTES");
    if (gone || (limit >= 0 && at >= limit)) {
        gone = getenv("RB_TEST_DRIVE_GONE") != NULL;
        errno = EIO;
        return -1;
    }
    if (limit >= 0 && at + (off64_t)n > limit) {
        n = (size_t)(limit - at);
    }
    if (real == NULL) {
        *(void **)&real = dlsym(RTLD_NEXT, "pread64");
    }
    return real(fd, bytes, n, at);
}
