/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "parent.h"

#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <time.h>
#include <unistd.h>

#include "film/channel.h"
#include "film/helper-process.h"

static bool receive(Asked *asked, bool wait)
{
    char buffer[sizeof(RbAsk) + 1];
    size_t n = 0;
    asked->n_fds = 0;
    switch (rb_channel_receive(RB_HELPER_SOCKET, buffer, sizeof buffer, &n, asked->fds, 2,
                               &asked->n_fds, wait)) {
    case RB_CHANNEL_OK:
        break;
    case RB_CHANNEL_AGAIN:
        return false;
    case RB_CHANNEL_ENDED:
    case RB_CHANNEL_BROKEN:
        exit(EXIT_SUCCESS);
    }
    if (!rb_ask_check(buffer, n, &asked->ask)) {
        exit(EXIT_FAILURE);
    }
    return true;
}

void parent_receive(Asked *asked)
{
    while (!receive(asked, true)) {
    }
}

bool parent_receive_now(Asked *asked)
{
    return receive(asked, false);
}

void parent_send(void *message, size_t bytes)
{
    ((RbMessageHead *)message)->bytes = (uint32_t)bytes;
    if (rb_channel_send(RB_HELPER_SOCKET, message, bytes, NULL, 0, true) !=
        RB_CHANNEL_OK) {
        exit(EXIT_SUCCESS);
    }
}

void parent_send_fault(uint64_t serial, int code, int64_t detail)
{
    RbTellFault tell = { .head = { .kind = RB_TELL_FAULT, .serial = serial },
                         .code = (uint32_t)code,
                         .detail = detail };
    parent_send(&tell, sizeof tell);
}

void parent_send_doubt(RbDoubtKind doubt, int64_t a, int64_t b)
{
    RbTellDoubt tell = {
        .head = { .kind = RB_TELL_DOUBT }, .doubt = (uint32_t)doubt, .a = a, .b = b
    };
    parent_send(&tell, sizeof tell);
}

static RbTellProgress progress = { .head = { .kind = RB_TELL_PROGRESS }, .permille = -1 };

static _Thread_local bool silent;

void parent_be_silent(void)
{
    silent = true;
}

void parent_send_alive(void)
{
    static int64_t last_ms;
    if (silent) {
        return;
    }
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    const int64_t now_ms = (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
    if (now_ms - last_ms >= 200) {
        last_ms = now_ms;
        parent_send(&progress, sizeof progress);
    }
}

void parent_send_progress(uint64_t serial, int permille)
{
    progress.head.serial = serial;
    progress.permille = permille;
    parent_send_alive();
}

uint8_t *parent_map(int fd, uint64_t bytes, bool writable)
{
    const off_t size = lseek(fd, 0, SEEK_END); /* the filter has no fstat() */
    if (bytes == 0 || size < 0 || (uint64_t)size < bytes) {
        exit(EXIT_FAILURE);
    }
    void *memory = mmap(NULL, bytes, writable ? PROT_READ | PROT_WRITE : PROT_READ,
                        MAP_SHARED, fd, 0);
    close(fd);
    if (memory == MAP_FAILED) {
        exit(EXIT_FAILURE);
    }
    return memory;
}
