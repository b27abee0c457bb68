/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ears.h"

#include <glib.h>
#include <libswresample/swresample.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "parent.h"

/* Sound is read from this long before a span, so that a decoder that needs a start has one. */
#define PREROLL_S 0.5

/* Containers round their times: a piece this near to the end of the one before, in pairs, goes
 * on from it. 2 ms. */
#define JITTER 96

static AVStream *find_sound(Source *source)
{
    const int found = av_find_best_stream(source->format, AVMEDIA_TYPE_AUDIO, -1,
                                          source->stream->index, NULL, 0);
    if (found < 0) {
        return NULL;
    }
    for (unsigned i = 0; i < source->format->nb_streams; i++) {
        source->format->streams[i]->discard =
            (int)i == found ? AVDISCARD_DEFAULT : AVDISCARD_ALL;
    }
    return source->format->streams[found];
}

static bool open_codec(Ears *ears, const AVStream *stream)
{
    const AVCodec *decoder = avcodec_find_decoder(stream->codecpar->codec_id);
    ears->codec = decoder != NULL ? avcodec_alloc_context3(decoder) : NULL;
    if (ears->codec == NULL ||
        avcodec_parameters_to_context(ears->codec, stream->codecpar) < 0) {
        return false;
    }
    ears->codec->pkt_timebase = stream->time_base;
    return avcodec_open2(ears->codec, decoder, NULL) == 0;
}

bool ears_open(Ears *ears)
{
    if (!ears->tried) {
        ears->tried = true;
        AVStream *stream = NULL;
        if (source_open(&ears->source, ears->fd, 1, false) == 0) {
            stream = find_sound(&ears->source);
        }
        if (stream != NULL && open_codec(ears, stream)) {
            ears->source.stream = stream;
        } else {
            avcodec_free_context(&ears->codec);
        }
    }
    return ears->codec != NULL;
}

/* Moves the sound to `s` seconds of the film's clock or before. */
static void seek_sound(Ears *ears, double s)
{
    Source *source = &ears->source;
    const int64_t to = llround((s - PREROLL_S) / av_q2d(source->stream->time_base));
    const int index = source->stream->index;
    if (av_seek_frame(source->format, index, to, AVSEEK_FLAG_BACKWARD) < 0) {
        av_seek_frame(source->format, index, INT64_MIN / 2, AVSEEK_FLAG_BACKWARD);
    }
    source->ended = false;
    source->read_errors = 0;
    avcodec_flush_buffers(ears->codec);
}

/* ---- one span */

typedef struct {
    float *samples; /* pairs */
    int64_t n;
    double start_s; /* of the film's clock */
    int64_t next;   /* pair after the last piece */
    bool begun;
    struct SwrContext *swr;
} Span;

static bool open_swr(Span *span, const AVFrame *frame)
{
    AVChannelLayout stereo = AV_CHANNEL_LAYOUT_STEREO; /* libav takes no const */
    AVChannelLayout from = { 0 };
    av_channel_layout_copy(&from, &frame->ch_layout);
    if (from.order == AV_CHANNEL_ORDER_UNSPEC) {
        const int channels = from.nb_channels;
        av_channel_layout_uninit(&from);
        av_channel_layout_default(&from, channels);
    }
    const bool good =
        swr_alloc_set_opts2(&span->swr, &stereo, AV_SAMPLE_FMT_FLT, RB_SOUND_RATE, &from,
                            (enum AVSampleFormat)frame->format, frame->sample_rate, 0,
                            NULL) >= 0 &&
        swr_init(span->swr) >= 0;
    av_channel_layout_uninit(&from);
    return good;
}

/* Puts one decoded piece where its time says. Every piece is placed by its own time, so a gap
 * in the film is silence and nothing drifts. */
static bool put_piece(Span *span, const AVFrame *frame, double at_s)
{
    if (span->swr == NULL && !open_swr(span, frame)) {
        return false;
    }
    const int64_t delay = swr_get_delay(span->swr, RB_SOUND_RATE);
    const int room = swr_get_out_samples(span->swr, frame->nb_samples);
    g_autofree float *piece = g_new(float, 2 * (gsize)MAX(room, 1));
    uint8_t *out[1] = { (uint8_t *)piece };
    const int n =
        swr_convert(span->swr, out, room,
                    (const uint8_t **)(uintptr_t)frame->extended_data, frame->nb_samples);
    int64_t first = llround((at_s - span->start_s) * RB_SOUND_RATE) - delay;
    if (span->begun && llabs(first - span->next) <= JITTER) {
        first = span->next;
    }
    span->begun = true;
    span->next = first + n;
    for (int i = 0; i < n; i++) {
        const int64_t to = first + i;
        if (to >= 0 && to < span->n) {
            memcpy(span->samples + 2 * to, piece + 2 * (ptrdiff_t)i, 2 * sizeof *piece);
        }
    }
    return true;
}

static bool decode_span(Ears *ears, Span *span)
{
    Source *source = &ears->source;
    const double end_s = span->start_s + (double)span->n / RB_SOUND_RATE;
    AVFrame *frame = source->frame;
    bool over = false;
    bool good = true;
    seek_sound(ears, span->start_s);
    while (!over && good && source_next_packet(source)) {
        parent_send_alive();
        avcodec_send_packet(ears->codec, source->packet);
        while (!over && avcodec_receive_frame(ears->codec, frame) == 0) {
            if (frame->best_effort_timestamp != AV_NOPTS_VALUE) {
                const double at_s = (double)frame->best_effort_timestamp *
                                    av_q2d(source->stream->time_base);
                over = at_s >= end_s;
                if (!over && at_s + 1.0 > span->start_s) {
                    good = put_piece(span, frame, at_s) && good;
                }
            }
            av_frame_unref(frame);
        }
    }
    swr_free(&span->swr);
    return good;
}

bool ears_fill(Ears *ears, double start_s, float *pairs, int64_t n)
{
    Span span = { .samples = pairs, .n = n, .start_s = start_s };
    memset(pairs, 0, 2 * (size_t)n * sizeof *pairs);
    return decode_span(ears, &span);
}

void ears_close(Ears *ears)
{
    avcodec_free_context(&ears->codec);
    if (ears->tried) {
        source_close(&ears->source);
    }
    ears->tried = false;
}
