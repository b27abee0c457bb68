/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <libavutil/display.h>
#include <libavutil/opt.h>
#include <stdlib.h>
#include <string.h>

#include "cut.h"
#include "parent.h"

/* The encoder's pictures are shown at most so many after they are coded. */
#define ENCODER_DELAY 2

static int64_t time_of(const Cut *cut, int64_t frame)
{
    return g_array_index(cut->times, int64_t, frame);
}

static int64_t n_frames(const Cut *cut)
{
    return (int64_t)cut->times->len - 1;
}

static void set_parameters(const Cut *cut, AVCodecContext *codec)
{
    const CutCanvas *canvas = &cut->canvas;
    codec->width = canvas->width;
    codec->height = canvas->height;
    /* Full range is said beside the format, not by it. */
    codec->pix_fmt = canvas->format;
    codec->sample_aspect_ratio = canvas->shape;
    codec->time_base = cut->base;
    codec->framerate = canvas->rate;
    codec->color_range = canvas->full ? AVCOL_RANGE_JPEG : AVCOL_RANGE_MPEG;
    codec->colorspace = canvas->space;
    codec->color_primaries = canvas->primaries;
    codec->color_trc = canvas->curve;
    codec->chroma_sample_location = canvas->chroma;
    codec->thread_count = (int)cut->options.threads;
    codec->gop_size = MAX(1, (int)(2.0 * av_q2d(canvas->rate) + 0.5));
    codec->max_b_frames = 2;
    codec->flags |= AV_CODEC_FLAG_GLOBAL_HEADER | AV_CODEC_FLAG_CLOSED_GOP;
    if (canvas->interlaced) {
        codec->flags |= AV_CODEC_FLAG_INTERLACED_DCT;
    }
}

static void open_encoder(Cut *cut)
{
    const AVCodec *encoder = avcodec_find_encoder_by_name("libx264");
    cut->encoder = encoder != NULL ? avcodec_alloc_context3(encoder) : NULL;
    if (cut->encoder == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR_ENCODER_NOT_FOUND);
    }
    void *own = cut->encoder->priv_data;
    set_parameters(cut, cut->encoder);
    const bool joins = cut->main >= 0 && cut->films[cut->main].copies;
    g_autofree char *more = g_strdup_printf(
        "sps-id=%d", joins ? cut_sets_free_id(&cut->films[cut->main].sets) : 0);
    cut_must(cut, av_opt_set(own, "preset", "veryfast", 0));
    cut_must(cut, av_opt_set_double(own, "crf", cut->options.crf, 0));
    cut_must(cut, av_opt_set_int(own, "forced-idr", 1, 0));
    cut_must(cut, av_opt_set(own, "x264-params", more, 0));
    cut_must(cut, avcodec_open2(cut->encoder, encoder, NULL));
}

/* The only file a muxer may open is none. */
static int refuse_open(AVFormatContext *format, AVIOContext **context, const char *url,
                       int flags, AVDictionary **options)
{
    (void)format;
    (void)context;
    (void)url;
    (void)flags;
    (void)options;
    return AVERROR(EPERM);
}

static void tell_rotation(Cut *cut)
{
    if (cut->canvas.rotation == 0) {
        return;
    }
    const size_t size = 9 * sizeof(int32_t);
    int32_t *matrix = (int32_t *)(void *)av_stream_new_side_data(
        cut->video, AV_PKT_DATA_DISPLAYMATRIX, size);
    if (matrix == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    /* Clockwise, though av_display_rotation_get() tells it counter-clockwise. */
    av_display_rotation_set(matrix, cut->canvas.rotation);
}

/* One record for both kinds of group: the film's parameter sets and the encoder's. */
static void set_extradata(Cut *cut)
{
    AVCodecParameters *parameters = cut->video->codecpar;
    const bool joins =
        cut->main >= 0 && cut->films[cut->main].copies && !cut->options.encode;
    if (!joins) {
        return;
    }
    const AVCodecContext *encoder = cut->encoder;
    g_autoptr(GByteArray) sets = cut_sets_join(
        &cut->films[cut->main].sets, encoder != NULL ? encoder->extradata : NULL,
        encoder != NULL ? encoder->extradata_size : 0);
    av_freep(&parameters->extradata);
    parameters->extradata_size = 0;
    parameters->extradata = av_mallocz(sets->len + AV_INPUT_BUFFER_PADDING_SIZE);
    if (parameters->extradata == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    memcpy(parameters->extradata, sets->data, sets->len);
    parameters->extradata_size = (int)sets->len;
}

static void set_video(Cut *cut)
{
    AVStream *video = cut->video;
    if (cut->encoder != NULL) {
        cut_must(cut, avcodec_parameters_from_context(video->codecpar, cut->encoder));
    } else {
        cut_must(cut,
                 avcodec_parameters_copy(video->codecpar,
                                         cut->films[cut->main].packets.stream->codecpar));
    }
    video->codecpar->codec_tag = 0;
    set_extradata(cut);
    video->time_base = cut->base;
    video->sample_aspect_ratio = video->codecpar->sample_aspect_ratio = cut->canvas.shape;
    video->avg_frame_rate = cut->canvas.rate;
    tell_rotation(cut);
}

void cut_open_output(Cut *cut)
{
    bool encodes = false;
    cut->delay = 0;
    for (guint i = 0; i < cut->runs->len; i++) {
        const CutRun *run = &g_array_index(cut->runs, CutRun, i);
        encodes = encodes || !run->copy;
        const CutItem *item = &g_array_index(cut->items, CutItem, run->item);
        const int delay =
            run->copy ? cut_copy_delay(&cut->films[item->clip.film], run) : ENCODER_DELAY;
        cut->delay = MAX(cut->delay, delay);
    }
    if (encodes) {
        open_encoder(cut);
    }
    cut->packet = av_packet_alloc();
    cut_must(cut, avformat_alloc_output_context2(&cut->format, NULL, "mp4", NULL));
    cut->avio = file_io_open(&cut->io, cut->fd, true);
    cut->video = avformat_new_stream(cut->format, NULL);
    if (cut->packet == NULL || cut->avio == NULL || cut->video == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    cut->format->pb = cut->avio;
    cut->format->io_open = refuse_open;
    cut->format->flags |= AVFMT_FLAG_CUSTOM_IO | AVFMT_FLAG_BITEXACT;
    set_video(cut);
    if (cut->options.sound != 0) {
        cut_sound_open(cut);
    }
    cut_must(cut, avformat_write_header(cut->format, NULL));
}

/* Packets in the order of decoding get, as decoding times, the times of the frames in the order
 * of showing, `delay` frames early: strictly rising, and never after the packet is shown. */
static int64_t decoding_time(const Cut *cut, int64_t packet)
{
    if (packet >= cut->delay) {
        return time_of(cut, packet - cut->delay);
    }
    const int64_t step = n_frames(cut) > 1 ? time_of(cut, 1) - time_of(cut, 0) : 1;
    return time_of(cut, 0) - (cut->delay - packet) * step;
}

void cut_write_packet(Cut *cut, AVPacket *packet, int64_t frame)
{
    const int64_t n = n_frames(cut);
    packet->pts = time_of(cut, frame);
    packet->dts = decoding_time(cut, cut->written);
    packet->duration = time_of(cut, frame + 1) - packet->pts;
    if (cut->written == n - 1) {
        /* The track's length is counted in decoding times. */
        packet->duration = MAX(
            time_of(cut, n) - time_of(cut, 0) - (packet->dts - decoding_time(cut, 0)), 1);
    }
    cut->written++;
    packet->stream_index = cut->video->index;
    av_packet_rescale_ts(packet, cut->base, cut->video->time_base);
    cut_must(cut, av_interleaved_write_frame(cut->format, packet));
    parent_send_progress(0, (int)(cut->written * 999 / n));
}

static int64_t find_frame(const Cut *cut, int64_t time)
{
    int64_t low = 0;
    int64_t high = n_frames(cut) - 1;
    while (low < high) {
        const int64_t middle = low + (high - low) / 2;
        if (time_of(cut, middle) < time) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

/* Copied runs wait for the encoder, which keeps pictures back, to be done with those before. */
static void write_copies_before(Cut *cut, int64_t frame)
{
    while (cut->next_run < cut->runs->len) {
        const CutRun *run = &g_array_index(cut->runs, CutRun, cut->next_run);
        if (frame >= run->out && frame < run->out + run->n) {
            cut_sound_add(cut, run->item);
            return;
        }
        if (run->copy) {
            cut->now = run->item;
            cut_sound_add(cut, run->item);
            cut_copy_write(cut, run);
        }
        cut->next_run++;
    }
}

void cut_encode(Cut *cut, AVFrame *frame, int64_t out, bool starts_run)
{
    if (frame != NULL) {
        frame->pts = time_of(cut, out);
        frame->pict_type = starts_run ? AV_PICTURE_TYPE_I : AV_PICTURE_TYPE_NONE;
        frame->key_frame = starts_run;
    }
    if (cut->encoder == NULL) {
        write_copies_before(cut, n_frames(cut));
        return;
    }
    cut_must(cut, avcodec_send_frame(cut->encoder, frame));
    for (;;) {
        AVPacket *packet = cut->packet;
        const int result = avcodec_receive_packet(cut->encoder, packet);
        if (result == AVERROR(EAGAIN)) {
            return;
        }
        if (result == AVERROR_EOF) {
            break;
        }
        cut_must(cut, result);
        const int64_t place = find_frame(cut, packet->pts);
        AVPacket *own = av_packet_alloc();
        if (own == NULL) {
            cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
        }
        av_packet_move_ref(own, packet); /* copies use the other one */
        write_copies_before(cut, place);
        cut_write_packet(cut, own, place);
        av_packet_free(&own);
    }
    write_copies_before(cut, n_frames(cut));
}

void cut_close_output(Cut *cut, int64_t *bytes)
{
    if (cut->audio != NULL) {
        cut_sound_finish(cut);
    }
    cut_must(cut, av_write_trailer(cut->format));
    avio_flush(cut->avio);
    if (cut->avio->error < 0 || cut->io.errnum != 0) {
        cut_give_up(cut, RB_FILM_ERROR_WRITE, cut->avio->error);
    }
    *bytes = avio_size(cut->avio);
}
