/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/opt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "rb/film/error.h"

#include "file-io.h"
#include "roles.h"

/* One file being written: the film, or a part of it. */
typedef struct {
    int fd; /* owned; -1: none */
    FileIo io;
    FileIo again_io; /* for reading back when the index goes to the front */
    AVIOContext *output;
    AVFormatContext *format;
    AVStream *stream; /* borrowed from format */
    int64_t first;    /* ordinal of its first frame */
} Output;

/* Parts asked for whose first frame has not left the encoder yet. */
#define WAITING_MAX 64

typedef struct {
    RbAskWrite options;
    const uint8_t *memory; /* the parent's pictures */
    RbLayout layout;
    Output film;
    Output part;
    struct {
        int fd; /* -1: from there on no part */
        int64_t first;
    } waiting[WAITING_MAX];
    int n_waiting;
    AVCodecContext *codec;
    AVPacket *packet;
    int64_t frames;
} Writer;

/* The parent turns this into a sentence; there is nothing to clean up that the end of the
 * process does not clean. */
static _Noreturn void give_up(const Writer *writer, int result)
{
    const int errnum =
        writer->film.io.errnum != 0 ? writer->film.io.errnum : writer->part.io.errnum;
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

/* The only file a muxer may open is its output itself, to move the index to its front. */
static int on_open(AVFormatContext *format, AVIOContext **context, const char *url,
                   int flags, AVDictionary **options)
{
    Output *output = format->opaque;
    (void)url;
    (void)options;
    if ((flags & AVIO_FLAG_WRITE) != 0) {
        return AVERROR(EPERM);
    }
    *context = file_io_open(&output->again_io, output->fd, false);
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
    if ((writer->film.format->oformat->flags & AVFMT_GLOBALHEADER) != 0) {
        codec->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
    }
    codec->flags |= AV_CODEC_FLAG_BITEXACT;
    if (!o->open_gop) {
        codec->flags |= AV_CODEC_FLAG_CLOSED_GOP;
    }
    must(writer,
         av_opt_set(codec->priv_data, "preset", o->quick ? "ultrafast" : "veryfast", 0));
    if (o->quick) {
        must(writer, av_opt_set(codec->priv_data, "tune", "fastdecode", 0));
    }
    must(writer, av_opt_set_double(codec->priv_data, "crf", o->crf, 0));
    if (o->open_gop) {
        must(writer, av_opt_set(codec->priv_data, "x264-params", "open-gop=1", 0));
    }
    must(writer, av_opt_set_int(codec->priv_data, "forced-idr", 1, 0));
    must(writer, avcodec_open2(codec, encoder, NULL));
}

static void open_output(const Writer *writer, Output *output, int fd, int64_t first)
{
    *output = (Output){ .fd = fd, .first = first };
    must(writer, avformat_alloc_output_context2(&output->format, NULL, "mp4", NULL));
    output->output = file_io_open(&output->io, fd, true);
    output->stream = avformat_new_stream(output->format, NULL);
    if (output->output == NULL || output->stream == NULL) {
        give_up(writer, AVERROR(ENOMEM));
    }
    output->format->pb = output->output;
    output->format->opaque = output;
    output->format->io_open = on_open;
    output->format->io_close2 = on_close;
    output->format->flags |= AVFMT_FLAG_CUSTOM_IO | AVFMT_FLAG_BITEXACT;
}

static void write_header(const Writer *writer, Output *output)
{
    AVStream *stream = output->stream;
    must(writer, avcodec_parameters_from_context(stream->codecpar, writer->codec));
    stream->time_base = writer->codec->time_base;
    stream->avg_frame_rate = writer->codec->framerate;
    stream->sample_aspect_ratio = writer->codec->sample_aspect_ratio;
    AVDictionary *options = NULL;
    if (writer->options.faststart) {
        must(writer, av_dict_set(&options, "movflags", "+faststart", 0));
    }
    const int result = avformat_write_header(output->format, &options);
    av_dict_free(&options);
    must(writer, result);
}

static void start(Writer *writer, int fd)
{
    writer->part.fd = -1;
    writer->packet = av_packet_alloc();
    if (writer->packet == NULL) {
        give_up(writer, AVERROR(ENOMEM));
    }
    open_output(writer, &writer->film, fd, 0);
    open_encoder(writer);
    write_header(writer, &writer->film);
}

/* Takes over the packet's data; its times are frames of the whole film. */
static void write_packet(const Writer *writer, Output *output, AVPacket *packet)
{
    packet->pts -= output->first;
    packet->dts -= output->first;
    av_packet_rescale_ts(packet, writer->codec->time_base, output->stream->time_base);
    packet->stream_index = output->stream->index;
    must(writer, av_interleaved_write_frame(output->format, packet));
}

/* Returns the size of the file. */
static int64_t close_output(const Writer *writer, Output *output)
{
    must(writer, av_write_trailer(output->format));
    avio_flush(output->output);
    if (output->output->error < 0 || output->io.errnum != 0) {
        give_up(writer, output->output->error);
    }
    const int64_t bytes = avio_size(output->output);
    file_io_close(&output->output);
    avformat_free_context(output->format);
    output->format = NULL;
    return bytes;
}

static void close_part(Writer *writer)
{
    if (writer->part.fd >= 0) {
        close_output(writer, &writer->part);
        close(writer->part.fd);
        writer->part.fd = -1;
    }
}

/* Turns to the part that begins with this packet, if one does. A part begins with a key frame
 * that nothing before it needs, so every packet from there on belongs to it. */
static void turn_to_part(Writer *writer)
{
    while (writer->n_waiting > 0 && writer->packet->pts >= writer->waiting[0].first) {
        const int fd = writer->waiting[0].fd;
        close_part(writer);
        if (fd >= 0) {
            open_output(writer, &writer->part, fd, writer->waiting[0].first);
            write_header(writer, &writer->part);
        }
        writer->n_waiting--;
        memmove(writer->waiting, writer->waiting + 1,
                (size_t)writer->n_waiting * sizeof writer->waiting[0]);
    }
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
        if ((writer->packet->flags & AV_PKT_FLAG_KEY) != 0) {
            turn_to_part(writer);
        }
        if (writer->part.fd >= 0) {
            AVPacket *copy = av_packet_clone(writer->packet);
            if (copy == NULL) {
                give_up(writer, AVERROR(ENOMEM));
            }
            write_packet(writer, &writer->part, copy);
            av_packet_free(&copy);
        }
        write_packet(writer, &writer->film, writer->packet);
    }
}

/* fd: owned; -1: none. */
static void add_part(Writer *writer, int fd)
{
    const int n = writer->n_waiting;
    if (n > 0 && writer->waiting[n - 1].first == writer->frames) {
        if (writer->waiting[n - 1].fd >= 0) {
            close(writer->waiting[n - 1].fd); /* it would have had no frames */
        }
        writer->waiting[n - 1].fd = fd;
        return;
    }
    if (n == WAITING_MAX) {
        give_up(writer, AVERROR(EINVAL));
    }
    writer->waiting[n].fd = fd;
    writer->waiting[n].first = writer->frames;
    writer->n_waiting++;
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
    const int n = writer->n_waiting;
    if (n > 0 && writer->waiting[n - 1].first == writer->frames) {
        frame->pict_type = AV_PICTURE_TYPE_I;
    }
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
    close_part(writer);
    RbTellFinished tell = { .head = { .kind = RB_TELL_FINISHED },
                            .frames = writer->frames,
                            .bytes = close_output(writer, &writer->film) };
    parent_send(&tell, sizeof tell);
    av_packet_free(&writer->packet);
    avcodec_free_context(&writer->codec);
    exit(EXIT_SUCCESS);
}

_Noreturn void role_write(const Asked *asked)
{
    static Writer writer;
    writer.options = asked->ask.write;
    const RbAskWrite *o = &writer.options;
    if (!rb_layout_make(RB_PIXELS_I420, o->width, o->height, &writer.layout) ||
        writer.layout.bytes > o->slot_bytes || o->slots == 0 ||
        o->slots > RB_RING_SLOTS_MAX || o->slot_bytes > RB_SLOT_BYTES_MAX) {
        exit(EXIT_FAILURE);
    }
    writer.memory = parent_map(asked->fds[1], o->slot_bytes * o->slots, false);
    start(&writer, asked->fds[0]);
    for (;;) {
        Asked next;
        parent_receive(&next);
        switch (next.ask.head.kind) {
        case RB_ASK_ENCODE:
            encode(&writer, &next.ask.encode);
            break;
        case RB_ASK_PART:
            add_part(&writer, next.n_fds == 1 ? next.fds[0] : -1);
            break;
        case RB_ASK_FINISH:
            finish(&writer);
        default:
            exit(EXIT_FAILURE);
        }
    }
}
