/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "cut.h"
#include "parent.h"

#define RATE RB_SOUND_RATE
#define BIT_RATE 128000

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
    film->ears.fd = film->fd;
    if (!ears_open(&film->ears)) {
        return;
    }
    const RbIndex *index = film->index;
    const int64_t frame_pts = index->frames[item->clip.first].pts;
    const double base_s = (double)index->base.num / index->base.den;
    const int64_t once = n / item->clip.loops;
    float *samples = (float *)(void *)cut->samples->data + 2 * (gsize)old;
    if (!ears_fill(&film->ears, (double)frame_pts * base_s, samples, once)) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    for (int loop = 1; loop < item->clip.loops; loop++) {
        memcpy(samples + 2 * once * loop, samples, (size_t)once * 2 * sizeof(float));
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
