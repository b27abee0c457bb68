/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <libavutil/log.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/socket.h>

#include "confine.h"
#include "film/helper-process.h"
#include "roles.h"

/* Started by the library `film` only; see src/film/protocol.h for what it is told and tells. */
int main(void)
{
    int type = 0;
    socklen_t size = sizeof type;
    if (getsockopt(RB_HELPER_SOCKET, SOL_SOCKET, SO_TYPE, &type, &size) != 0 ||
        type != SOCK_SEQPACKET) {
        fputs("readbreak-decode reads films for Readbreak and is started by it; it does "
              "nothing by itself.\n",
              stderr);
        return 2;
    }
    confine();
    av_log_set_level(getenv("READBREAK_DECODE_LOG") != NULL ? AV_LOG_VERBOSE
                                                            : AV_LOG_QUIET);
    Asked asked;
    parent_receive(&asked);
    if (asked.ask.head.kind == RB_ASK_READ && asked.n_fds == 1 &&
        asked.ask.read.version == RB_PROTOCOL_VERSION) {
        role_read(&asked);
    }
    if (asked.ask.head.kind == RB_ASK_WRITE && asked.n_fds == 2 &&
        asked.ask.write.version == RB_PROTOCOL_VERSION) {
        role_write(&asked);
    }
    if (asked.ask.head.kind == RB_ASK_CUT && asked.n_fds == 1 &&
        asked.ask.cut.version == RB_PROTOCOL_VERSION) {
        role_cut(&asked);
    }
    if (asked.ask.head.kind == RB_ASK_HEAR && asked.n_fds == 2 &&
        asked.ask.hear.version == RB_PROTOCOL_VERSION) {
        role_hear(&asked);
    }
    return EXIT_FAILURE;
}
