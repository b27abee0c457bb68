/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* MSG_CMSG_CLOEXEC */
#include "channel.h"

#include <errno.h>
#include <stdint.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

typedef union {
    struct cmsghdr align;
    char bytes[CMSG_SPACE(sizeof(int) * RB_CHANNEL_FDS_MAX)];
} Control;

static RbChannelResult result_of_errno(void)
{
    switch (errno) {
    case EAGAIN:
    case ENOBUFS:
        return RB_CHANNEL_AGAIN;
    case EPIPE:
    case ECONNRESET:
    case ENOTCONN:
        return RB_CHANNEL_ENDED;
    default:
        return RB_CHANNEL_BROKEN;
    }
}

RbChannelResult rb_channel_send(int socket, const void *message, size_t bytes,
                                const int *fds, int n_fds, bool wait)
{
    struct iovec part = { .iov_base = (void *)(uintptr_t)message, .iov_len = bytes };
    struct msghdr head = { .msg_iov = &part, .msg_iovlen = 1 };
    Control control;
    if (n_fds > 0) {
        memset(&control, 0, sizeof control);
        const size_t size = sizeof(int) * (size_t)n_fds;
        head.msg_control = control.bytes;
        head.msg_controllen = CMSG_SPACE(size);
        struct cmsghdr *rights = CMSG_FIRSTHDR(&head);
        rights->cmsg_level = SOL_SOCKET;
        rights->cmsg_type = SCM_RIGHTS;
        rights->cmsg_len = CMSG_LEN(size);
        memcpy(CMSG_DATA(rights), fds, size);
    }
    ssize_t sent = 0;
    do {
        sent = sendmsg(socket, &head, MSG_NOSIGNAL | (wait ? 0 : MSG_DONTWAIT));
    } while (sent < 0 && errno == EINTR);
    if (sent < 0) {
        return result_of_errno();
    }
    return (size_t)sent == bytes ? RB_CHANNEL_OK : RB_CHANNEL_BROKEN;
}

static void take_fds(struct msghdr *head, int *fds, int max_fds, int *n_fds)
{
    for (struct cmsghdr *c = CMSG_FIRSTHDR(head); c != NULL; c = CMSG_NXTHDR(head, c)) {
        if (c->cmsg_level != SOL_SOCKET || c->cmsg_type != SCM_RIGHTS) {
            continue;
        }
        const size_t count = (c->cmsg_len - CMSG_LEN(0)) / sizeof(int);
        for (size_t i = 0; i < count; i++) {
            int fd = -1;
            memcpy(&fd, CMSG_DATA(c) + i * sizeof(int), sizeof fd);
            if (*n_fds < max_fds) {
                fds[(*n_fds)++] = fd;
            } else {
                close(fd);
            }
        }
    }
}

RbChannelResult rb_channel_receive(int socket, void *buffer, size_t room, size_t *n,
                                   int *fds, int max_fds, int *n_fds, bool wait)
{
    struct iovec part = { .iov_base = buffer, .iov_len = room };
    struct msghdr head = { .msg_iov = &part, .msg_iovlen = 1 };
    Control control;
    if (max_fds > 0) {
        head.msg_control = control.bytes;
        head.msg_controllen = sizeof control.bytes;
        *n_fds = 0;
    }
    ssize_t got = 0;
    do {
        got = recvmsg(socket, &head, MSG_CMSG_CLOEXEC | (wait ? 0 : MSG_DONTWAIT));
    } while (got < 0 && errno == EINTR);
    if (got < 0) {
        return result_of_errno();
    }
    if (got == 0) {
        return RB_CHANNEL_ENDED;
    }
    if (max_fds > 0) {
        take_fds(&head, fds, max_fds, n_fds);
    }
    if ((head.msg_flags & (MSG_TRUNC | MSG_CTRUNC)) != 0) {
        for (int i = 0; max_fds > 0 && i < *n_fds; i++) {
            close(fds[i]);
        }
        return RB_CHANNEL_BROKEN;
    }
    *n = (size_t)got;
    return RB_CHANNEL_OK;
}

bool rb_channel_pair(int ends[2])
{
    return socketpair(AF_UNIX, SOCK_SEQPACKET | SOCK_CLOEXEC, 0, ends) == 0;
}
