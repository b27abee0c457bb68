/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "source.h"

#include <glib.h>
#include <libavutil/time.h>
#include <string.h>

#include "rb/film/error.h"

#include "damage.h"
#include "frame-pool.h"
#include "parent.h"

/* Containers that hold films. Playlists, network formats, still pictures, scripts and formats
 * that open other files are not among them. */
static const char containers[] =
    "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,mpegts,mpeg,avi,asf,flv,h264,hevc,m4v,mpegvideo,"
    "mxf,dv,ivf,obu,ogg,mjpeg,gxf,vc1";

/* Sound alone: known, so that the sentence can say so. */
static const char sound_containers[] =
    "mp3,wav,aac,flac,ac3,eac3,aiff,amr,caf,w64,wv,ape";

/* The longest that opening may take, and how often a broken container may fail in a row. */
#define OPEN_LIMIT_US 15000000
#define READ_ERRORS_MAX 100

/* A picture up to this size is decoded in a millisecond or two by one thread. More threads hold
 * as many pictures back, so that a seek waits for those behind it. */
#define SMALL_PIXELS (INT64_C(960) * 544)

static int result_of(RbFilmError code)
{
    return (int)code + 1;
}

int source_fault(const Source *source, int result, int64_t *detail)
{
    if (source->io.errnum != 0) {
        *detail = source->io.errnum;
        return RB_FILM_ERROR_READ;
    }
    *detail = 0;
    return result - 1;
}

static int on_interrupt(void *data)
{
    const Source *source = data;
    return source->deadline_us != 0 && av_gettime_relative() > source->deadline_us;
}

/* A film is one file. Containers that point to others get nothing. */
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

/* names: libav's, which may be several: "mov,mp4,m4a". */
static bool name_in(const char *names, const char *list)
{
    g_auto(GStrv) some = g_strsplit(names, ",", -1);
    g_auto(GStrv) all = g_strsplit(list, ",", -1);
    for (char **name = some; *name != NULL; name++) {
        if (g_strv_contains((const char *const *)all, *name)) {
            return true;
        }
    }
    return false;
}

/* A recording that lost its power begins like an MP4 and has data, but no index. */
static bool looks_unfinished(Source *source)
{
    uint8_t start[12] = { 0 };
    FileIo io = { .fd = source->fd };
    AVIOContext *avio = file_io_open(&io, source->fd, false);
    bool is_mp4 = false;
    if (avio != NULL && avio_read(avio, start, sizeof start) == (int)sizeof start) {
        is_mp4 = memcmp(start + 4, "ftyp", 4) == 0 || memcmp(start + 4, "mdat", 4) == 0 ||
                 memcmp(start + 4, "wide", 4) == 0;
    }
    file_io_close(&avio);
    return is_mp4;
}

static int open_container(Source *source)
{
    const AVInputFormat *kind = NULL;
    source->avio = file_io_open(&source->io, source->fd, false);
    if (source->avio == NULL) {
        return result_of(RB_FILM_ERROR_FAILED);
    }
    if (av_probe_input_buffer2(source->avio, &kind, "", NULL, 0, 0) < 0 || kind == NULL) {
        return result_of(RB_FILM_ERROR_NOT_A_FILM);
    }
    if (!name_in(kind->name, containers)) {
        return result_of(name_in(kind->name, sound_containers)
                             ? RB_FILM_ERROR_NO_VIDEO
                             : RB_FILM_ERROR_NOT_A_FILM);
    }
    source->format = avformat_alloc_context();
    if (source->format == NULL) {
        return result_of(RB_FILM_ERROR_FAILED);
    }
    source->format->pb = source->avio;
    source->format->flags |= AVFMT_FLAG_CUSTOM_IO;
    source->format->io_open = refuse_open;
    source->format->format_whitelist = av_strdup(containers);
    source->format->protocol_whitelist = av_strdup("");
    source->format->interrupt_callback = (AVIOInterruptCB){ on_interrupt, source };
    source->format->max_streams = 64;
    /* libav's field is not const in this version. */
    if (avformat_open_input(&source->format, "", kind, NULL) < 0) {
        return result_of(looks_unfinished(source) ? RB_FILM_ERROR_UNFINISHED
                                                  : RB_FILM_ERROR_NOT_A_FILM);
    }
    if (avformat_find_stream_info(source->format, NULL) < 0) {
        return result_of(RB_FILM_ERROR_NOT_A_FILM);
    }
    return 0;
}

/* The first video in the file that is not a cover picture, whatever the container recommends:
 * the same on every opening. */
static int choose_stream(Source *source)
{
    source->stream = NULL;
    source->videos = 0;
    for (unsigned i = 0; i < source->format->nb_streams; i++) {
        AVStream *stream = source->format->streams[i];
        if (stream->codecpar->codec_type == AVMEDIA_TYPE_VIDEO &&
            (stream->disposition & AV_DISPOSITION_ATTACHED_PIC) == 0) {
            source->videos++;
            if (source->stream == NULL) {
                source->stream = stream;
                continue;
            }
        }
        stream->discard = AVDISCARD_ALL;
    }
    return source->stream != NULL ? 0 : result_of(RB_FILM_ERROR_NO_VIDEO);
}

static int open_decoder(Source *source)
{
    const AVCodecParameters *parameters = source->stream->codecpar;
    const AVCodec *decoder = avcodec_find_decoder(parameters->codec_id);
    if (decoder == NULL) {
        return result_of(RB_FILM_ERROR_NO_DECODER);
    }
    damage_listen();
    source->codec = avcodec_alloc_context3(decoder);
    if (source->codec == NULL ||
        avcodec_parameters_to_context(source->codec, parameters) < 0) {
        return result_of(RB_FILM_ERROR_FAILED);
    }
    source->codec->pkt_timebase = source->stream->time_base;
    source->codec->err_recognition |= AV_EF_CRCCHECK; /* where the film has sums */
    const bool small = parameters->width > 0 && parameters->height > 0 &&
                       (int64_t)parameters->width * parameters->height <= SMALL_PIXELS;
    source->codec->thread_count = small ? 1 : source->threads;
    frame_pool_attach(source->codec);
    source->codec->max_pixels = (int64_t)RB_SIZE_MAX * RB_SIZE_MAX;
    if (avcodec_open2(source->codec, decoder, NULL) < 0) {
        return result_of(RB_FILM_ERROR_NO_DECODER);
    }
    return 0;
}

int source_open(Source *source, int fd, int threads, bool decoding)
{
    *source = (Source){ .fd = fd, .threads = threads, .decoding = decoding };
    source->packet = av_packet_alloc();
    source->frame = av_frame_alloc();
    if (source->packet == NULL || source->frame == NULL) {
        return result_of(RB_FILM_ERROR_FAILED);
    }
    source->deadline_us = av_gettime_relative() + OPEN_LIMIT_US;
    int result = open_container(source);
    if (result == 0) {
        result = choose_stream(source);
    }
    if (result == 0 && decoding) {
        result = open_decoder(source);
    }
    source->deadline_us = 0;
    return result;
}

void source_close(Source *source)
{
    av_packet_free(&source->packet);
    for (int i = 0; i < SOURCE_AHEAD_MAX; i++) {
        av_packet_free(&source->ahead[i]);
    }
    source->n_ahead = 0;
    av_frame_free(&source->frame);
    avcodec_free_context(&source->codec);
    avformat_close_input(&source->format);
    file_io_close(&source->avio);
    source->stream = NULL;
}

int source_reopen(Source *source)
{
    const int fd = source->fd;
    const int threads = source->threads;
    const bool decoding = source->decoding;
    const bool rough = source->rough;
    source_close(source);
    const int result = source_open(source, fd, threads, decoding);
    if (result != 0) {
        source_close(source); /* whole or not at all */
    }
    source_set_rough(source, rough);
    return result;
}

void source_set_rough(Source *source, bool rough)
{
    source->rough = rough;
    if (source->codec != NULL) {
        source->codec->skip_loop_filter = rough ? AVDISCARD_NONREF : AVDISCARD_DEFAULT;
    }
}

static bool read_packet(Source *source, AVPacket *packet)
{
    while (!source->ended) {
        av_packet_unref(packet);
        const int result = av_read_frame(source->format, packet);
        if (result == AVERROR(EAGAIN)) {
            continue;
        }
        if (result < 0) {
            /* Some demuxers step over damage when called again; the end stays the end. */
            source->read_errors++;
            source->ended = result == AVERROR_EOF || avio_feof(source->avio) ||
                            source->io.errnum != 0 ||
                            source->read_errors >= READ_ERRORS_MAX;
            continue;
        }
        if (packet->stream_index == source->stream->index) {
            return true;
        }
    }
    return false;
}

bool source_next_packet(Source *source)
{
    if (source->n_ahead == 0) {
        return read_packet(source, source->packet);
    }
    AVPacket *next = source->ahead[0];
    source->n_ahead--;
    memmove(source->ahead, source->ahead + 1,
            (size_t)source->n_ahead * sizeof source->ahead[0]);
    source->ahead[source->n_ahead] = source->packet; /* its room is used again */
    source->packet = next;
    return true;
}

const AVPacket *source_peek(Source *source, int i)
{
    while (source->n_ahead <= i) {
        AVPacket **room = &source->ahead[source->n_ahead];
        if (*room == NULL) {
            *room = av_packet_alloc();
        }
        if (*room == NULL || !read_packet(source, *room)) {
            return NULL;
        }
        source->n_ahead++;
    }
    return source->ahead[i];
}

void source_moved(Source *source)
{
    source->n_ahead = 0;
    source->ended = false;
    source->read_errors = 0;
}
