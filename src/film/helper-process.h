/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <sys/types.h>

/* One running helper process and our end of its socket. The helper ends by itself when the
 * socket closes, so nothing is left behind even if this program is killed. */
typedef struct {
    int socket; /* owned; -1: none runs */
    pid_t pid;
} RbHelper;

#define RB_HELPER_NONE                                                                   \
    {                                                                                    \
        .socket = -1, .pid = 0                                                           \
    }

/* The helper's end of the socket is this descriptor. */
#define RB_HELPER_SOCKET 3

/* Its only word: it tells what it is made of and ends. */
#define RB_HELPER_VERSIONS "--versions"

bool rb_helper_start(RbHelper *helper, GError **error);

/* Ends and reaps it; at once, whatever it is doing. Returns its wait status, 0 if none ran. */
int rb_helper_end(RbHelper *helper);

/* CPU time it has used so far, in microseconds; 0 if that cannot be known. */
int64_t rb_helper_get_cpu_us(const RbHelper *helper);
/* True if one of its threads could run now: it is not waiting for anything but its turn. */
bool rb_helper_is_runnable(const RbHelper *helper);
