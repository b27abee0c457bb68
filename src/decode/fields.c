/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fields.h"

#include <libavfilter/buffersink.h>
#include <libavfilter/buffersrc.h>
#include <stdio.h>

static void drop_fields(Fields *fields)
{
    av_frame_free(&fields->fields[0]);
    av_frame_free(&fields->fields[1]);
    fields->ordinal = -1;
}

static void drop_graph(Fields *fields)
{
    avfilter_graph_free(&fields->graph);
    fields->in = NULL;
    fields->out = NULL;
    fields->fed = -1;
}

void fields_close(Fields *fields)
{
    drop_fields(fields);
    drop_graph(fields);
}

static bool make_graph(Fields *fields, const AVFrame *frame)
{
    char shape[160];
    AVFilterContext *filter = NULL;
    drop_graph(fields);
    fields->graph = avfilter_graph_alloc();
    if (fields->graph == NULL) {
        return false;
    }
    fields->graph->nb_threads = 1;
    (void)snprintf(shape, sizeof shape, "video_size=%dx%d:pix_fmt=%d:time_base=1/1",
                   frame->width, frame->height, frame->format);
    const bool good =
        avfilter_graph_create_filter(&fields->in, avfilter_get_by_name("buffer"), "in",
                                     shape, NULL, fields->graph) >= 0 &&
        avfilter_graph_create_filter(&filter, avfilter_get_by_name("bwdif"), "fields",
                                     "mode=send_field:parity=auto:deint=all", NULL,
                                     fields->graph) >= 0 &&
        avfilter_graph_create_filter(&fields->out, avfilter_get_by_name("buffersink"),
                                     "out", NULL, NULL, fields->graph) >= 0 &&
        avfilter_link(fields->in, 0, filter, 0) >= 0 &&
        avfilter_link(filter, 0, fields->out, 0) >= 0 &&
        avfilter_graph_config(fields->graph, NULL) >= 0;
    fields->width = frame->width;
    fields->height = frame->height;
    fields->format = frame->format;
    if (!good) {
        drop_graph(fields);
    }
    return good;
}

static bool fits(const Fields *fields, const AVFrame *frame)
{
    return frame->width == fields->width && frame->height == fields->height &&
           frame->format == fields->format;
}

/* Feeds one frame and takes the fields that come: those of the frame fed before. */
static bool feed(Fields *fields, const AVFrame *frame, int64_t ordinal)
{
    AVFrame *fed = av_frame_clone(frame);
    if (fed == NULL) {
        return false;
    }
    drop_fields(fields);
    fed->pts = ordinal;
    const bool good = av_buffersrc_add_frame(fields->in, fed) >= 0;
    av_frame_free(&fed);
    for (int i = 0; good && i < 2; i++) {
        fields->fields[i] = av_frame_alloc();
        if (fields->fields[i] == NULL ||
            av_buffersink_get_frame(fields->out, fields->fields[i]) < 0) {
            av_frame_free(&fields->fields[i]);
        }
    }
    fields->fed = ordinal;
    return good;
}

/* around: the frame before, the frame, the frame after. */
static bool filter(Fields *fields, AVFrame *const around[3], int64_t ordinal)
{
    const bool goes_on =
        fields->graph != NULL && fields->fed == ordinal && fits(fields, around[1]);
    if (!goes_on &&
        (!make_graph(fields, around[1]) ||
         !feed(fields, fits(fields, around[0]) ? around[0] : around[1], ordinal - 1) ||
         !feed(fields, around[1], ordinal))) {
        return false;
    }
    if (!feed(fields, fits(fields, around[2]) ? around[2] : around[1], ordinal + 1) ||
        fields->fields[0] == NULL || fields->fields[1] == NULL) {
        drop_graph(fields);
        return false;
    }
    if (!fits(fields, around[2])) {
        drop_graph(fields); /* what it holds of the frame after is not that frame */
    }
    fields->ordinal = ordinal;
    return true;
}

/* A frame beside the one wanted; the wanted one itself where there is none. */
static ReaderResult get_beside(Reader *reader, int64_t ordinal, const AVFrame *wanted,
                               ReaderStop stop, void *data, AVFrame **beside)
{
    const AVFrame *frame = NULL;
    bool doubtful = false;
    ReaderResult result = READER_NOTHING;
    if (ordinal >= 0 && ordinal < reader->index->n_frames) {
        reader->asked = ordinal; /* with its neighbours, not in haste */
        result = reader_get(reader, ordinal, stop, data, &frame, &doubtful);
        if (result == READER_STOPPED) {
            return result;
        }
    }
    *beside = av_frame_clone(result == READER_FRAME ? frame : wanted);
    return *beside != NULL ? READER_FRAME : READER_NOTHING;
}

ReaderResult fields_get(Fields *fields, Reader *reader, int64_t ordinal, int field,
                        ReaderStop stop, void *data, const AVFrame **frame,
                        bool *doubtful, bool *whole)
{
    reader->asked = ordinal;
    ReaderResult result = reader_get(reader, ordinal, stop, data, frame, doubtful);
    *whole = true;
    if (result != READER_FRAME || !(*frame)->interlaced_frame) {
        return result;
    }
    if (fields->ordinal != ordinal) {
        AVFrame *around[3] = { NULL, av_frame_clone(*frame), NULL };
        result = around[1] != NULL ? READER_FRAME : READER_NOTHING;
        for (int i = 0; i < 3 && result == READER_FRAME; i += 2) {
            result =
                get_beside(reader, ordinal + i - 1, around[1], stop, data, &around[i]);
        }
        const bool filtered = result == READER_FRAME && filter(fields, around, ordinal);
        for (int i = 0; i < 3; i++) {
            av_frame_free(&around[i]);
        }
        if (result != READER_FRAME) {
            return result;
        }
        if (!filtered) { /* a format that the filter does not take: both moments at once */
            return reader_get(reader, ordinal, stop, data, frame, doubtful);
        }
    }
    *frame = fields->fields[field - 1];
    *whole = false;
    return READER_FRAME;
}
