/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain-decode.h"

#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/cpu.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct {
    int64_t pts;
    int64_t number; /* in file order */
    bool key;
    AVPacket *data; /* owned by `packets` */
} Packet;

/* One opening of the container with a decoder. */
typedef struct {
    AVFormatContext *format;
    AVCodecContext *codec;
    AVPacket *packet;
    AVFrame *frame;
    int stream;
} Opening;

struct PlainFilm {
    char *path;
    GArray *packets; /* owned, of Packet, in file order */
    GArray *shown;   /* owned, of Packet, by time */
    double skipped;
    Opening least; /* format NULL: not yet open */
};

static void must(bool good, const char *what)
{
    if (!good) {
        fprintf(stderr, "plain decoding: %s failed\n", what);
        exit(EXIT_FAILURE);
    }
}

static Opening open_plain(const char *path, enum AVDiscard skip)
{
    Opening o = { .packet = av_packet_alloc(), .frame = av_frame_alloc() };
    const AVCodec *codec = NULL;
    must(avformat_open_input(&o.format, path, NULL, NULL) >= 0, "opening");
    must(avformat_find_stream_info(o.format, NULL) >= 0, "probing");
    o.stream = av_find_best_stream(o.format, AVMEDIA_TYPE_VIDEO, -1, -1, &codec, 0);
    must(o.stream >= 0, "finding the video");
    o.codec = avcodec_alloc_context3(codec);
    avcodec_parameters_to_context(o.codec, o.format->streams[o.stream]->codecpar);
    o.codec->thread_count = MIN(av_cpu_count(), 4) + 1; /* as the helper's */
    o.codec->skip_frame = skip;
    must(avcodec_open2(o.codec, codec, NULL) >= 0, "the decoder");
    return o;
}

static void close_plain(Opening *o)
{
    av_packet_free(&o->packet);
    av_frame_free(&o->frame);
    avcodec_free_context(&o->codec);
    avformat_close_input(&o->format);
}

static bool next_packet(Opening *o)
{
    for (;;) {
        av_packet_unref(o->packet);
        if (av_read_frame(o->format, o->packet) < 0) {
            return false;
        }
        if (o->packet->stream_index == o->stream) {
            return true;
        }
    }
}

/* Returns how many of `most` frames came. */
static int decode(Opening *o, int most)
{
    int frames = 0;
    bool drained = false;
    while (frames < most) {
        const int result = avcodec_receive_frame(o->codec, o->frame);
        if (result == 0) {
            frames++;
            continue;
        }
        if (result == AVERROR_EOF || drained) {
            break;
        }
        drained = !next_packet(o);
        must(avcodec_send_packet(o->codec, drained ? NULL : o->packet) >= 0, "decoding");
    }
    return frames;
}

static int by_time(const void *a, const void *b)
{
    const Packet *x = a;
    const Packet *y = b;
    return (x->pts > y->pts) - (x->pts < y->pts);
}

PlainFilm *plain_film_open(const char *path)
{
    av_log_set_level(AV_LOG_QUIET); /* an open group's first pictures are complained of */
    PlainFilm *film = g_new0(PlainFilm, 1);
    film->path = g_strdup(path);
    film->packets = g_array_new(FALSE, FALSE, sizeof(Packet));
    Opening o = open_plain(path, AVDISCARD_DEFAULT);
    while (next_packet(&o)) {
        const Packet packet = { .pts = o.packet->pts,
                                .number = film->packets->len,
                                .key = (o.packet->flags & AV_PKT_FLAG_KEY) != 0,
                                .data = av_packet_clone(o.packet) };
        g_array_append_val(film->packets, packet);
    }
    close_plain(&o);
    film->shown = g_array_copy(film->packets);
    g_array_sort(film->shown, by_time);
    const int some = MIN(180, (int)film->packets->len);
    o = open_plain(path, AVDISCARD_DEFAULT);
    const int all = decode(&o, some);
    close_plain(&o);
    /* Of the same packets, those that the decoder keeps when told to. */
    o = open_plain(path, AVDISCARD_NONREF);
    int kept = 0;
    for (int i = 0; i < some && next_packet(&o); i++) {
        must(avcodec_send_packet(o.codec, o.packet) >= 0, "decoding");
        while (avcodec_receive_frame(o.codec, o.frame) == 0) {
            kept++;
        }
    }
    avcodec_send_packet(o.codec, NULL);
    while (avcodec_receive_frame(o.codec, o.frame) == 0) {
        kept++;
    }
    close_plain(&o);
    film->skipped = 1.0 - (double)kept / all;
    return film;
}

void plain_film_free(PlainFilm *film)
{
    if (film->least.format != NULL) {
        close_plain(&film->least);
    }
    for (guint i = 0; i < film->packets->len; i++) {
        av_packet_free(&g_array_index(film->packets, Packet, i).data);
    }
    g_array_unref(film->packets);
    g_array_unref(film->shown);
    g_free(film->path);
    g_free(film);
}

double plain_film_rate(PlainFilm *film, int frames)
{
    Opening o = open_plain(film->path, AVDISCARD_DEFAULT);
    must(decode(&o, 1) == 1, "the first frame");
    const int64_t start = g_get_monotonic_time();
    const int n = decode(&o, frames - 1);
    const double s = (double)(g_get_monotonic_time() - start) / 1e6;
    close_plain(&o);
    return n / s;
}

static int64_t key_for(const PlainFilm *film, const Packet *wanted)
{
    int64_t key = wanted->number;
    while (key > 0) {
        const Packet *packet = &g_array_index(film->packets, Packet, (guint)key);
        /* A picture shown before its key needs the key before. */
        if (packet->key && packet->pts <= wanted->pts) {
            break;
        }
        key--;
    }
    return key;
}

int64_t plain_film_packets_to(const PlainFilm *film, int64_t frame)
{
    const Packet *wanted = &g_array_index(film->shown, Packet, (guint)frame);
    return wanted->number - key_for(film, wanted) + 1;
}

/* Takes what is ready. True: the wanted frame was among it. */
static bool came(Opening *o, int64_t pts)
{
    bool found = false;
    while (!found && avcodec_receive_frame(o->codec, o->frame) == 0) {
        found = o->frame->pts == pts;
    }
    return found;
}

double plain_film_least_ms(PlainFilm *film, int64_t frame)
{
    const Packet *wanted = &g_array_index(film->shown, Packet, (guint)frame);
    Opening *o = &film->least;
    if (o->format == NULL) {
        *o = open_plain(film->path, AVDISCARD_DEFAULT);
        /* What follows an open group's key in the file and is shown after it is whole, but libav
         * keeps it back if it was decoded before the key was shown. */
        o->codec->flags |= AV_CODEC_FLAG_OUTPUT_CORRUPT;
    }
    const int64_t start = g_get_monotonic_time();
    bool found = false;
    avcodec_flush_buffers(o->codec);
    for (int64_t i = key_for(film, wanted); i <= wanted->number && !found; i++) {
        const bool last = i == wanted->number;
        o->codec->skip_frame = last ? AVDISCARD_DEFAULT : AVDISCARD_NONREF;
        must(avcodec_send_packet(
                 o->codec, g_array_index(film->packets, Packet, (guint)i).data) >= 0,
             "decoding");
        found = came(o, wanted->pts);
    }
    if (!found) {
        avcodec_send_packet(o->codec, NULL);
        found = came(o, wanted->pts);
    }
    must(found, "finding the frame");
    return (double)(g_get_monotonic_time() - start) / 1000.0;
}

double plain_film_share_skipped(const PlainFilm *film)
{
    return film->skipped;
}
