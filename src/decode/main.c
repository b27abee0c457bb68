/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <libavcodec/avcodec.h>
#include <libavfilter/avfilter.h>
#include <libavformat/avformat.h>
#include <libavutil/avutil.h>
#include <libavutil/log.h>
#include <libswresample/swresample.h>
#include <libswscale/swscale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

#include "confine.h"
#include "film/helper-process.h"
#include "roles.h"

static void tell_versions(void)
{
    static const struct {
        const char *name;
        unsigned (*version)(void);
    } libraries[] = {
        { "libavformat", avformat_version }, { "libavcodec", avcodec_version },
        { "libavfilter", avfilter_version }, { "libavutil", avutil_version },
        { "libswscale", swscale_version },   { "libswresample", swresample_version },
    };
    for (size_t i = 0; i < sizeof libraries / sizeof libraries[0]; i++) {
        const unsigned version = libraries[i].version();
        printf("%s %u.%u.%u\n", libraries[i].name, version >> 16, version >> 8 & 255,
               version & 255);
    }
}

/* Started by the library `film` only; see src/film/protocol.h for what it is told and tells. */
int main(int argc, char **argv)
{
    if (argc == 2 && strcmp(argv[1], RB_HELPER_VERSIONS) == 0) {
        tell_versions();
        return EXIT_SUCCESS;
    }
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
