/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file-io.h"

#include <errno.h>
#include <unistd.h>

#include "parent.h"

#define BUFFER_BYTES 65536

static int64_t size_of(const FileIo *io)
{
    /* Not fstat(), which glibc makes of a call that could name files too. The offset moved here
     * is nobody's: all reading and writing names its place. */
    const off_t size = lseek(io->fd, 0, SEEK_END);
    return size >= 0 ? (int64_t)size : AVERROR(errno);
}

static void moved(FileIo *io, ssize_t n)
{
    io->at += n;
    if (io->at > io->progress) {
        io->progress = io->at;
    }
}

static int on_read(void *data, uint8_t *buffer, int room)
{
    FileIo *io = data;
    parent_send_alive(); /* a slow drive is not a hung helper */
    for (;;) {
        const ssize_t n = pread(io->fd, buffer, (size_t)room, (off_t)io->at);
        if (n > 0) {
            moved(io, n);
            return (int)n;
        }
        if (n == 0) {
            return AVERROR_EOF;
        }
        if (errno != EINTR) {
            io->errnum = errno;
            return AVERROR(errno);
        }
    }
}

static int on_write(void *data, uint8_t *buffer, int size)
{
    FileIo *io = data;
    for (int done = 0; done < size;) {
        const ssize_t n =
            pwrite(io->fd, buffer + done, (size_t)(size - done), (off_t)io->at);
        if (n < 0 && errno != EINTR) {
            io->errnum = errno;
            return AVERROR(errno);
        }
        if (n > 0) {
            moved(io, n);
            done += (int)n;
        }
    }
    return size;
}

static int64_t on_seek(void *data, int64_t offset, int whence)
{
    FileIo *io = data;
    int64_t base = 0;
    switch (whence & ~AVSEEK_FORCE) {
    case AVSEEK_SIZE:
        return size_of(io);
    case SEEK_SET:
        break;
    case SEEK_CUR:
        base = io->at;
        break;
    case SEEK_END:
        base = size_of(io);
        break;
    default:
        return AVERROR(EINVAL);
    }
    if (base < 0 || (offset > 0 && base > INT64_MAX - offset) || base + offset < 0) {
        return AVERROR(EINVAL);
    }
    io->at = base + offset;
    return io->at;
}

AVIOContext *file_io_open(FileIo *io, int fd, bool writing)
{
    *io = (FileIo){ .fd = fd };
    uint8_t *buffer = av_malloc(BUFFER_BYTES);
    if (buffer == NULL) {
        return NULL;
    }
    AVIOContext *context =
        avio_alloc_context(buffer, BUFFER_BYTES, writing, io, writing ? NULL : on_read,
                           writing ? on_write : NULL, on_seek);
    if (context == NULL) {
        av_free(buffer);
    }
    return context;
}

void file_io_close(AVIOContext **context)
{
    if (*context != NULL) {
        av_freep(&(*context)->buffer);
        avio_context_free(context);
    }
}
