/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/opt.h>
#include <stdio.h>
#include <stdlib.h>

#include "rb/film/error.h"

#include "file-io.h"
#include "roles.h"

typedef struct {
    RbAskWrite options;
    const uint8_t *memory; /* the parent's pictures */
    RbLayout layout;
    int fd;
    FileIo io;
    AVIOContext *output;
    AVFormatContext *format;
    AVCodecContext *codec;
    AVStream *stream; /* borrowed from format */
    AVPacket *packet;
    FileIo again_io; /* for reading back when the index goes to the front */
    int64_t frames;
} Writer;

/* The parent turns this into a sentence; there is nothing to clean up that the end of the
 * process does not clean. */
static _Noreturn void give_up(const Writer *writer, int result)
{
    const int errnum = writer->io.errnum != 0 ? writer->io.errnum : 0;
    parent_send_fault(0, errnum != 0 ? RB_FILM_ERROR_WRITE : RB_FILM_ERROR_FAILED,
                      errnum != 0 ? errnum : result);
    exit(EXIT_FAILURE);
}

static void must(const Writer *writer, int result)
{
    if (result < 0) {
        give_up(writer, result);
    }
}

/* The only file a muxer may open is the output itself, to move the index to its front. */
static int on_open(AVFormatContext *format, AVIOContext **context, const char *url,
                   int flags, AVDictionary **options)
{
    Writer *writer = format->opaque;
    (void)url;
    (void)options;
    if ((flags & AVIO_FLAG_WRITE) != 0) {
        return AVERROR(EPERM);
    }
    *context = file_io_open(&writer->again_io, writer->fd, false);
    return *context != NULL ? 0 : AVERROR(ENOMEM);
}

static int on_close(AVFormatContext *format, AVIOContext *context)
{
    (void)format;
    file_io_close(&context);
    return 0;
}

static void set_colours(AVCodecContext *codec)
{
    codec->color_primaries = AVCOL_PRI_BT709;
    codec->color_trc = AVCOL_TRC_BT709;
    codec->colorspace = AVCOL_SPC_BT709;
    codec->color_range = AVCOL_RANGE_MPEG;
    codec->chroma_sample_location = AVCHROMA_LOC_LEFT;
}

static void open_encoder(Writer *writer)
{
    const RbAskWrite *o = &writer->options;
    const AVCodec *encoder = avcodec_find_encoder_by_name("libx264");
    AVCodecContext *codec = encoder != NULL ? avcodec_alloc_context3(encoder) : NULL;
    if (codec == NULL) {
        give_up(writer, AVERROR_ENCODER_NOT_FOUND);
    }
    writer->codec = codec;
    codec->width = o->width;
    codec->height = o->height;
    codec->pix_fmt = AV_PIX_FMT_YUV420P;
    codec->framerate = (AVRational){ o->rate_num, o->rate_den };
    codec->time_base = av_inv_q(codec->framerate);
    codec->sample_aspect_ratio = (AVRational){ o->shape_num, o->shape_den };
    codec->gop_size = o->gop;
    codec->thread_count = (int)o->threads;
    if (o->b_frames >= 0) {
        codec->max_b_frames = o->b_frames;
    }
    set_colours(codec);
    if ((writer->format->oformat->flags & AVFMT_GLOBALHEADER) != 0) {
        codec->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
    }
    codec->flags |= AV_CODEC_FLAG_BITEXACT;
    if (!o->open_gop) {
        codec->flags |= AV_CODEC_FLAG_CLOSED_GOP;
    }
    must(writer, av_opt_set(codec->priv_data, "preset", "veryfast", 0));
    must(writer, av_opt_set_double(codec->priv_data, "crf", o->crf, 0));
    if (o->open_gop) {
        must(writer, av_opt_set(codec->priv_data, "x264-params", "open-gop=1", 0));
    }
    must(writer, avcodec_open2(codec, encoder, NULL));
}

static void open_output(Writer *writer)
{
    must(writer, avformat_alloc_output_context2(&writer->format, NULL, "mp4", NULL));
    writer->output = file_io_open(&writer->io, writer->fd, true);
    writer->packet = av_packet_alloc();
    writer->stream = avformat_new_stream(writer->format, NULL);
    if (writer->output == NULL || writer->packet == NULL || writer->stream == NULL) {
        give_up(writer, AVERROR(ENOMEM));
    }
    writer->format->pb = writer->output;
    writer->format->opaque = writer;
    writer->format->io_open = on_open;
    writer->format->io_close2 = on_close;
    writer->format->flags |= AVFMT_FLAG_CUSTOM_IO | AVFMT_FLAG_BITEXACT;
}

static void start(Writer *writer)
{
    open_output(writer);
    open_encoder(writer);
    AVStream *stream = writer->stream;
    must(writer, avcodec_parameters_from_context(stream->codecpar, writer->codec));
    stream->time_base = writer->codec->time_base;
    stream->avg_frame_rate = writer->codec->framerate;
    stream->sample_aspect_ratio = writer->codec->sample_aspect_ratio;
    AVDictionary *options = NULL;
    if (writer->options.faststart) {
        must(writer, av_dict_set(&options, "movflags", "+faststart", 0));
    }
    const int result = avformat_write_header(writer->format, &options);
    av_dict_free(&options);
    must(writer, result);
}

static void write_packets(Writer *writer)
{
    for (;;) {
        const int result = avcodec_receive_packet(writer->codec, writer->packet);
        if (result == AVERROR(EAGAIN) || result == AVERROR_EOF) {
            return;
        }
        must(writer, result);
        if (writer->packet->duration == 0) {
            writer->packet->duration =
                1; /* every frame of a constant rate lasts one tick */
        }
        av_packet_rescale_ts(writer->packet, writer->codec->time_base,
                             writer->stream->time_base);
        writer->packet->stream_index = writer->stream->index;
        must(writer, av_interleaved_write_frame(writer->format, writer->packet));
    }
}

/* Called by libav when it has no more use for a picture's memory. */
static void on_slot_free(void *data, uint8_t *bytes)
{
    (void)bytes;
    RbTellSlotFree tell = { .head = { .kind = RB_TELL_SLOT_FREE },
                            .slot = (uint32_t)(uintptr_t)data };
    parent_send(&tell, sizeof tell);
}

static void encode(Writer *writer, const RbAskEncode *ask)
{
    if (ask->slot >= writer->options.slots || ask->ordinal != writer->frames) {
        give_up(writer, AVERROR(EINVAL));
    }
    AVFrame *frame = av_frame_alloc();
    /* libav wants to own what it reads; it only reads. */
    uint8_t *slot =
        (uint8_t *)(uintptr_t)(writer->memory + writer->options.slot_bytes * ask->slot);
    AVBufferRef *owner =
        av_buffer_create(slot, writer->layout.bytes, on_slot_free,
                         (void *)(uintptr_t)ask->slot, AV_BUFFER_FLAG_READONLY);
    if (frame == NULL || owner == NULL) {
        give_up(writer, AVERROR(ENOMEM));
    }
    frame->buf[0] = owner;
    frame->format = AV_PIX_FMT_YUV420P;
    frame->width = writer->options.width;
    frame->height = writer->options.height;
    frame->color_range = AVCOL_RANGE_MPEG;
    frame->pts = writer->frames++;
    for (int i = 0; i < 3; i++) {
        frame->data[i] = slot + writer->layout.offset[i];
        frame->linesize[i] = (int)writer->layout.stride[i];
    }
    const int result = avcodec_send_frame(writer->codec, frame);
    av_frame_free(&frame);
    must(writer, result);
    write_packets(writer);
    parent_send_progress(0, -1);
}

static _Noreturn void finish(Writer *writer)
{
    must(writer, avcodec_send_frame(writer->codec, NULL));
    write_packets(writer);
    must(writer, av_write_trailer(writer->format));
    avio_flush(writer->output);
    if (writer->output->error < 0 || writer->io.errnum != 0) {
        give_up(writer, writer->output->error);
    }
    RbTellFinished tell = { .head = { .kind = RB_TELL_FINISHED },
                            .frames = writer->frames,
                            .bytes = avio_size(writer->output) };
    parent_send(&tell, sizeof tell);
    av_packet_free(&writer->packet);
    avcodec_free_context(&writer->codec);
    file_io_close(&writer->output);
    avformat_free_context(writer->format);
    exit(EXIT_SUCCESS);
}

_Noreturn void role_write(const Asked *asked)
{
    static Writer writer;
    writer.options = asked->ask.write;
    writer.fd = asked->fds[0];
    const RbAskWrite *o = &writer.options;
    if (!rb_layout_make(RB_PIXELS_I420, o->width, o->height, &writer.layout) ||
        writer.layout.bytes > o->slot_bytes || o->slots == 0 ||
        o->slots > RB_RING_SLOTS_MAX || o->slot_bytes > RB_SLOT_BYTES_MAX) {
        exit(EXIT_FAILURE);
    }
    writer.memory = parent_map(asked->fds[1], o->slot_bytes * o->slots, false);
    start(&writer);
    for (;;) {
        Asked next;
        parent_receive(&next);
        switch (next.ask.head.kind) {
        case RB_ASK_ENCODE:
            encode(&writer, &next.ask.encode);
            break;
        case RB_ASK_FINISH:
            finish(&writer);
        default:
            exit(EXIT_FAILURE);
        }
    }
}
