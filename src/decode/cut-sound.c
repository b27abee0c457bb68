/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <libswresample/swresample.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cut.h"
#include "parent.h"

#define RATE 48000
#define BIT_RATE 128000

/* Sound is read from this long before a span, so that a decoder that needs a start has one. */
#define PREROLL_S 0.5

/* A span's sound is held whole while it is put together; a longer one is silent. */
#define SPAN_SAMPLES_MAX (INT64_C(1800) * RATE)

void cut_sound_open(Cut *cut)
{
    const AVCodec *encoder = avcodec_find_encoder(AV_CODEC_ID_AAC);
    cut->voice = encoder != NULL ? avcodec_alloc_context3(encoder) : NULL;
    cut->audio = avformat_new_stream(cut->format, NULL);
    if (cut->voice == NULL || cut->audio == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    cut->voice->sample_rate = RATE;
    cut->voice->sample_fmt = AV_SAMPLE_FMT_FLTP;
    cut->voice->bit_rate = BIT_RATE;
    cut->voice->time_base = (AVRational){ 1, RATE };
    cut->voice->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
    av_channel_layout_default(&cut->voice->ch_layout, 2);
    cut_must(cut, avcodec_open2(cut->voice, encoder, NULL));
    cut_must(cut, avcodec_parameters_from_context(cut->audio->codecpar, cut->voice));
    cut->audio->time_base = cut->voice->time_base;
    cut->samples = g_array_new(FALSE, TRUE, 2 * sizeof(float));
}

/* ---- the films' side */

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

static bool open_ears(CutFilm *film, const AVStream *stream)
{
    const AVCodec *decoder = avcodec_find_decoder(stream->codecpar->codec_id);
    film->ears = decoder != NULL ? avcodec_alloc_context3(decoder) : NULL;
    if (film->ears == NULL ||
        avcodec_parameters_to_context(film->ears, stream->codecpar) < 0) {
        return false;
    }
    film->ears->pkt_timebase = stream->time_base;
    return avcodec_open2(film->ears, decoder, NULL) == 0;
}

/* False if the film has no sound that can be decoded. */
static bool hear(CutFilm *film)
{
    if (!film->hearing) {
        film->hearing = true;
        AVStream *stream = NULL;
        if (source_open(&film->sound, film->fd, 1, false) == 0) {
            stream = find_sound(&film->sound);
        }
        if (stream != NULL && open_ears(film, stream)) {
            film->sound.stream = stream;
        } else {
            avcodec_free_context(&film->ears);
        }
    }
    return film->ears != NULL;
}

/* Moves the sound to `s` seconds of the film's clock or before. */
static void seek_sound(CutFilm *film, double s)
{
    Source *source = &film->sound;
    const int64_t to = llround((s - PREROLL_S) / av_q2d(source->stream->time_base));
    const int index = source->stream->index;
    if (av_seek_frame(source->format, index, to, AVSEEK_FLAG_BACKWARD) < 0) {
        av_seek_frame(source->format, index, INT64_MIN / 2, AVSEEK_FLAG_BACKWARD);
    }
    source->ended = false;
    source->read_errors = 0;
    avcodec_flush_buffers(film->ears);
}

/* ---- one span */

typedef struct {
    float *samples; /* pairs */
    int64_t n;
    double start_s; /* of the film's clock */
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
    const bool good = swr_alloc_set_opts2(&span->swr, &stereo, AV_SAMPLE_FMT_FLT, RATE,
                                          &from, (enum AVSampleFormat)frame->format,
                                          frame->sample_rate, 0, NULL) >= 0 &&
                      swr_init(span->swr) >= 0;
    av_channel_layout_uninit(&from);
    return good;
}

/* Puts one decoded piece where its time says. Every piece is placed by its own time, so a gap
 * in the film is silence and nothing drifts. */
static void put_piece(Cut *cut, Span *span, const AVFrame *frame, double at_s)
{
    if (span->swr == NULL && !open_swr(span, frame)) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    const int64_t delay = swr_get_delay(span->swr, RATE);
    const int room = swr_get_out_samples(span->swr, frame->nb_samples);
    g_autofree float *piece = g_new(float, 2 * (gsize)MAX(room, 1));
    uint8_t *out[1] = { (uint8_t *)piece };
    const int n =
        swr_convert(span->swr, out, room,
                    (const uint8_t **)(uintptr_t)frame->extended_data, frame->nb_samples);
    const int64_t first = llround((at_s - span->start_s) * RATE) - delay;
    for (int i = 0; i < n; i++) {
        const int64_t to = first + i;
        if (to >= 0 && to < span->n) {
            memcpy(span->samples + 2 * to, piece + 2 * (ptrdiff_t)i, 2 * sizeof *piece);
        }
    }
}

static void decode_span(Cut *cut, CutFilm *film, Span *span)
{
    Source *source = &film->sound;
    const double end_s = span->start_s + (double)span->n / RATE;
    AVFrame *frame = source->frame;
    bool over = false;
    seek_sound(film, span->start_s);
    while (!over && source_next_packet(source)) {
        parent_send_alive();
        avcodec_send_packet(film->ears, source->packet);
        while (!over && avcodec_receive_frame(film->ears, frame) == 0) {
            if (frame->best_effort_timestamp != AV_NOPTS_VALUE) {
                const double at_s = (double)frame->best_effort_timestamp *
                                    av_q2d(source->stream->time_base);
                over = at_s >= end_s;
                if (!over && at_s + 1.0 > span->start_s) {
                    put_piece(cut, span, frame, at_s);
                }
            }
            av_frame_unref(frame);
        }
    }
    swr_free(&span->swr);
}

/* ---- the output's side */

static void receive_voice(Cut *cut)
{
    for (;;) {
        AVPacket *packet = av_packet_alloc();
        if (packet == NULL) {
            cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
        }
        const int result = avcodec_receive_packet(cut->voice, packet);
        if (result == AVERROR(EAGAIN) || result == AVERROR_EOF) {
            av_packet_free(&packet);
            return;
        }
        cut_must(cut, result);
        packet->stream_index = cut->audio->index;
        av_packet_rescale_ts(packet, cut->voice->time_base, cut->audio->time_base);
        cut_must(cut, av_interleaved_write_frame(cut->format, packet));
        av_packet_free(&packet);
    }
}

static void encode_voice(Cut *cut, int n)
{
    AVFrame *frame = av_frame_alloc();
    if (frame == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    frame->nb_samples = n;
    frame->format = AV_SAMPLE_FMT_FLTP;
    frame->sample_rate = RATE;
    av_channel_layout_default(&frame->ch_layout, 2);
    cut_must(cut, av_frame_get_buffer(frame, 0));
    const float *pairs = (const float *)(void *)cut->samples->data;
    for (int i = 0; i < n; i++) {
        for (int channel = 0; channel < 2; channel++) {
            ((float *)(void *)frame->data[channel])[i] = pairs[2 * i + channel];
        }
    }
    frame->pts = cut->sample_at;
    cut->sample_at += n;
    g_array_remove_range(cut->samples, 0, (guint)n);
    cut_must(cut, avcodec_send_frame(cut->voice, frame));
    av_frame_free(&frame);
    receive_voice(cut);
}

/* The samples of the output up to the start of frame `frame`. */
static int64_t samples_until(const Cut *cut, int64_t frame)
{
    return av_rescale_q(g_array_index(cut->times, int64_t, frame), cut->base,
                        (AVRational){ 1, RATE });
}

/* Only what runs at the film's own speed and without a stop has its sound. */
static bool has_own_sound(const CutItem *item)
{
    return !item->is_card && item->clip.speed == 100 && item->clip.freeze < 0;
}

static void add_item(Cut *cut, const CutItem *item, int64_t from, int64_t to)
{
    const int64_t n = to - from;
    const guint old = cut->samples->len;
    g_array_set_size(cut->samples, old + (guint)n); /* silence */
    if (!has_own_sound(item) || n > SPAN_SAMPLES_MAX) {
        return;
    }
    CutFilm *film = cut_film(cut, item->clip.film);
    if (!hear(film)) {
        return;
    }
    const RbIndex *index = film->index;
    const int64_t frame_pts = index->frames[item->clip.first].pts;
    const double base_s = (double)index->base.num / index->base.den;
    const int64_t once = n / item->clip.loops;
    Span span = { .samples = (float *)(void *)cut->samples->data + 2 * (gsize)old,
                  .n = once,
                  .start_s = (double)frame_pts * base_s };
    decode_span(cut, film, &span);
    for (int loop = 1; loop < item->clip.loops; loop++) {
        memcpy(span.samples + 2 * once * loop, span.samples,
               (size_t)once * 2 * sizeof(float));
    }
}

/* First frame of the output that an item has; the end for the one after the last. */
static int64_t first_frame_of(const Cut *cut, int item)
{
    for (guint i = 0; i < cut->runs->len; i++) {
        const CutRun *run = &g_array_index(cut->runs, CutRun, i);
        if (run->item >= item) {
            return run->out;
        }
    }
    return (int64_t)cut->times->len - 1;
}

void cut_sound_add(Cut *cut, int item)
{
    if (cut->audio == NULL) {
        return;
    }
    for (; cut->sounding <= item; cut->sounding++) {
        add_item(cut, &g_array_index(cut->items, CutItem, cut->sounding),
                 samples_until(cut, first_frame_of(cut, cut->sounding)),
                 samples_until(cut, first_frame_of(cut, cut->sounding + 1)));
        while ((int)cut->samples->len >= cut->voice->frame_size) {
            encode_voice(cut, cut->voice->frame_size);
        }
    }
}

void cut_sound_finish(Cut *cut)
{
    cut_sound_add(cut, (int)cut->items->len - 1);
    if (cut->samples->len > 0) {
        encode_voice(cut, (int)cut->samples->len);
    }
    cut_must(cut, avcodec_send_frame(cut->voice, NULL));
    receive_voice(cut);
}
