/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

#define RB_CHANNEL_FDS_MAX 2

/* Datagrams over one end of a SEQPACKET pair. No call here raises SIGPIPE. */

typedef enum {
    RB_CHANNEL_OK,
    RB_CHANNEL_AGAIN, /* nothing there, or no room, and `wait` was false */
    RB_CHANNEL_ENDED, /* the other side is gone */
    RB_CHANNEL_BROKEN,
} RbChannelResult;

/* fds: sent along and still the caller's. */
RbChannelResult rb_channel_send(int socket, const void *message, size_t bytes,
                                const int *fds, int n_fds, bool wait);

/* *n: bytes of the datagram. With max_fds 0 descriptors that come along are not received, and
 * the datagram counts as broken. Received descriptors are close-on-exec and the caller's. */
RbChannelResult rb_channel_receive(int socket, void *buffer, size_t room, size_t *n,
                                   int *fds, int max_fds, int *n_fds, bool wait);

/* A connected pair, close-on-exec; false with errno. */
bool rb_channel_pair(int ends[2]);
