/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <stdbool.h>
#include <stdint.h>

#include "file-io.h"

#define SOURCE_AHEAD_MAX 4

/* One film opened for reading: container and, if wanted, decoder. The descriptor is shared by
 * all sources on a film. Results are 0 or a code of RbFilmError plus 1 (so that 0 is success);
 * see source_fault(). A source may not be moved while it is open: libav holds its address. */
typedef struct {
    int fd; /* borrowed */
    int threads;
    bool decoding;
    bool rough; /* see source_set_rough() */
    FileIo io;
    AVIOContext *avio;
    AVFormatContext *format;
    AVStream *stream; /* borrowed: the chosen video */
    AVCodecContext *codec;
    AVPacket *packet;
    AVPacket *ahead[SOURCE_AHEAD_MAX]; /* owned: read already, to come after `packet` */
    int n_ahead;
    AVFrame *frame;
    int videos; /* how many video streams there are */
    bool ended; /* the container has no more packets */
    int read_errors;
    int64_t deadline_us; /* of av_gettime_relative() for opening; 0: none */
} Source;

/* threads: of the decoder. decoding: open one at all. */
int source_open(Source *source, int fd, int threads, bool decoding);
void source_close(Source *source);
/* Closes and opens again: the only way to the first packet that always works. On failure it is
 * closed, and can be opened so once more. */
int source_reopen(Source *source);

/* True: frames that nothing else is decoded from come without smoothing. For packets to come. */
void source_set_rough(Source *source, bool rough);

/* The next packet of the video into source->packet; false at the end. */
bool source_next_packet(Source *source);

/* The packet that comes `i` packets after source->packet, i below SOURCE_AHEAD_MAX; NULL if the
 * film ends before. Borrowed until the next call of the others. */
const AVPacket *source_peek(Source *source, int i);
/* Forgets what was read ahead and that the end was reached: after a seek. */
void source_moved(Source *source);

/* Turns a result of source_open() into the code and detail of a fault message. */
int source_fault(const Source *source, int result, int64_t *detail);
