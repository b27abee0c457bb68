/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "telling.h"

#include <libavutil/pixdesc.h>
#include <string.h>

#include "convert.h"
#include "parent.h"

static int rotation_of_side_data(const AVFrame *frame)
{
    const AVFrameSideData *side =
        av_frame_get_side_data(frame, AV_FRAME_DATA_DISPLAYMATRIX);
    if (side == NULL || side->size < 9 * sizeof(int32_t)) {
        return 0;
    }
    return rotation_of_matrix((const int32_t *)(void *)side->data);
}

/* The container's word counts; where it has none, the picture's own. Never both. */
static int rotation_of_stream(const AVStream *stream)
{
    size_t size = 0;
    const uint8_t *matrix =
        av_stream_get_side_data(stream, AV_PKT_DATA_DISPLAYMATRIX, &size);
    if (matrix == NULL || size < 9 * sizeof(int32_t)) {
        return -1;
    }
    return rotation_of_matrix((const int32_t *)(const void *)matrix);
}

Stance stance_of(const AVStream *stream)
{
    return (Stance){ .rotation = rotation_of_stream(stream),
                     .shape = stream->sample_aspect_ratio };
}

int stance_rotation(const Stance *stance, const AVFrame *frame)
{
    return stance->rotation >= 0 ? stance->rotation : rotation_of_side_data(frame);
}

/* The container's word again first; nonsense counts as square. */
AVRational stance_shape(const Stance *stance, const AVFrame *frame)
{
    const AVRational told = stance->shape;
    const AVRational shape =
        told.num > 0 && told.den > 0 ? told : frame->sample_aspect_ratio;
    const bool sane = shape.num > 0 && shape.den > 0 &&
                      shape.num / RB_SHAPE_MAX < shape.den &&
                      shape.den / RB_SHAPE_MAX < shape.num;
    return sane ? shape : (AVRational){ 1, 1 };
}

static void copy_name(char name[RB_NAME_ROOM], const char *text)
{
    if (text != NULL) {
        memcpy(name, text, strnlen(text, RB_NAME_ROOM - 1));
    }
}

static void tell_audio(const AVFormatContext *format, RbTellFacts *tell)
{
    for (unsigned i = 0; i < format->nb_streams; i++) {
        const AVCodecParameters *parameters = format->streams[i]->codecpar;
        if (parameters->codec_type == AVMEDIA_TYPE_AUDIO) {
            tell->has_audio = 1;
            copy_name(tell->audio_codec, avcodec_get_name(parameters->codec_id));
            return;
        }
    }
}

void tell_facts(const Source *source, const Stance *stance)
{
    const AVStream *stream = source->stream;
    const AVFrame *frame = source->frame;
    const AVRational shape = stance_shape(stance, frame);
    const AVRational rate = stream->avg_frame_rate;
    RbTellFacts tell = {
        .head = { .kind = RB_TELL_FACTS },
        .width = frame->width,
        .height = frame->height,
        .shape_num = shape.num,
        .shape_den = shape.den,
        .rotation = stance_rotation(stance, frame),
        .interlaced = frame->interlaced_frame != 0,
        .rate_num = rate.num > 0 && rate.den > 0 ? rate.num : 0,
        .rate_den = rate.num > 0 && rate.den > 0 ? rate.den : 1,
        .base_num = stream->time_base.num,
        .base_den = stream->time_base.den,
        .duration_us = source->format->duration > 0 ? source->format->duration : -1,
        .library_version = avformat_version() * 31 + avcodec_version(),
    };
    copy_name(tell.container, source->format->iformat->name);
    copy_name(tell.codec, avcodec_get_name(stream->codecpar->codec_id));
    copy_name(tell.pixel_format, av_get_pix_fmt_name((enum AVPixelFormat)frame->format));
    tell_audio(source->format, &tell);
    parent_send(&tell, sizeof tell);
    if (source->videos > 1) {
        parent_send_doubt(RB_DOUBT_SEVERAL_VIDEOS, source->videos, 0);
    }
    if (frame->color_trc == AVCOL_TRC_SMPTE2084 ||
        frame->color_trc == AVCOL_TRC_ARIB_STD_B67) {
        parent_send_doubt(RB_DOUBT_HIGH_RANGE, 0, 0);
    }
}

void tell_doubts(const ScanNotes *notes, const RbIndex *index)
{
    const struct {
        bool holds;
        RbDoubtKind doubt;
        int64_t a;
        int64_t b;
    } rows[] = {
        { notes->cut_off, RB_DOUBT_SHORT, index->n_frames, notes->promised },
        { notes->damaged > 0 && !notes->cut_off, RB_DOUBT_DAMAGED, notes->damaged, 0 },
        { notes->clock_jumps > 0, RB_DOUBT_CLOCK_JUMPS, notes->clock_jumps, 0 },
        { notes->no_times, RB_DOUBT_NO_TIMES, 0, 0 },
        { notes->cut_start > 0, RB_DOUBT_CUT_START, notes->cut_start, 0 },
        { notes->lost > 0, RB_DOUBT_CHANGES, notes->lost, 0 },
        { notes->stuck, RB_DOUBT_STUCK, 0, 0 },
        { notes->read_errnum != 0, RB_DOUBT_READ, notes->read_errnum, 0 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].holds) {
            parent_send_doubt(rows[i].doubt, rows[i].a, rows[i].b);
        }
    }
}

void tell_index(const RbIndex *index, RbTellKind kind)
{
    g_autoptr(GByteArray) bytes = rb_index_to_bytes(index);
    union {
        RbMessageHead head;
        uint8_t bytes[RB_MESSAGE_MAX];
    } part;
    const size_t room = RB_MESSAGE_MAX - sizeof part.head;
    for (size_t at = 0; at < bytes->len; at += room) {
        const size_t n = MIN(room, bytes->len - at);
        part.head = (RbMessageHead){ .kind = RB_TELL_INDEX_PART };
        memcpy(part.bytes + sizeof part.head, bytes->data + at, n);
        parent_send(&part, sizeof part.head + n);
    }
    RbTellIndexEnd end = { .head = { .kind = kind }, .total = bytes->len };
    parent_send(&end, sizeof end);
}
