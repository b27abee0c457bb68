/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavformat/avformat.h>
#include <stdbool.h>
#include <stdint.h>

/* libav's reading and writing on a descriptor that the parent opened: pread and pwrite with an
 * offset of its own, so several can share the descriptor. */
typedef struct {
    int fd; /* borrowed */
    int64_t at;
    int errnum; /* of the last failed read or write; 0 none. The end is no failure */
    int64_t progress; /* farthest byte touched */
} FileIo;

/* Returns an AVIOContext, NULL when out of memory. io: borrowed, must outlive it. */
AVIOContext *file_io_open(FileIo *io, int fd, bool writing);
void file_io_close(AVIOContext **context);
