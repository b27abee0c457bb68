/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

#include "film/protocol.h"

/* The helper's end of the conversation. Every call ends the process when the parent is gone:
 * there is nobody left to work for. */

typedef struct {
    RbAsk ask;
    int fds[2]; /* owned by whoever takes the message */
    int n_fds;
} Asked;

/* Waits for the next message. */
void parent_receive(Asked *asked);
/* The same without waiting; false if there is none. */
bool parent_receive_now(Asked *asked);

/* The head's kind and serial are filled in by the caller; bytes by this. */
void parent_send(void *message, size_t bytes);
void parent_send_fault(uint64_t serial, int code, int64_t detail);
void parent_send_doubt(RbDoubtKind doubt, int64_t a, int64_t b);

/* From now on this thread gives no signs of life. */
void parent_be_silent(void);

/* Sign of life with progress, sent at most every 200 ms. permille: -1 if not known. */
void parent_send_progress(uint64_t serial, int permille);

/* The same with the progress last told: from places that know nothing of it. */
void parent_send_alive(void);

/* Maps memory sent by the parent; ends the process if it is not as large as said. */
uint8_t *parent_map(int fd, uint64_t bytes, bool writable);
