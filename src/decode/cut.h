/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libswscale/swscale.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/film/error.h"

#include "ears.h"
#include "file-io.h"
#include "film/protocol.h"
#include "reader.h"
#include "source.h"

/* Writing a cut-up: spans of films, joined to one MP4. A span of H.264 is copied as it is from
 * the first key frame that needs nothing before it to the last picture after which nothing is
 * missing; what is left of it, and every span that cannot be joined so, is encoded again. Both
 * kinds of group carry parameter sets of their own numbers, so one track holds them all.
 *
 * cut-role.c    what the parent says, the plan, the order of work
 * cut-copy.c    which packets of a span can be copied; NAL units
 * cut-picture.c from a decoded frame to the picture of the output
 * cut-draw.c    what is drawn over the film
 * cut-write.c   the encoder's settings, the muxer, the clock of the output
 * cut-sound.c   the sound of the spans as one AAC track */

/* H.264 parameter sets, each a whole NAL unit without start code. */
typedef struct {
    GPtrArray *units; /* owned, of GBytes, in the order found */
} CutSets;

/* One film of the cut-up. */
typedef struct {
    bool used;
    int fd;            /* owned */
    RbIndex *index;    /* owned */
    int32_t *frame_of; /* owned: frame of each packet, -1: none */
    /* opened when first needed: */
    bool facts;   /* `packets` is open and the fields below are known */
    bool reading; /* `reader` is open */
    Source packets;
    Reader reader;
    Ears ears;
    int rotation;     /* degrees clockwise; 0 where the container does not say */
    AVRational shape; /* of a coded pixel */
    int length_bytes; /* of NAL unit lengths; 0: start codes */
    CutSets sets;
    bool copies;  /* H.264 in a form that can be joined */
    bool scan;    /* parameter sets may change inside the film */
    uint32_t why; /* if not: RbCutWhy */
} CutFilm;

/* A picture over some frames of a clip. */
typedef struct {
    RbAskCutDrawing ask;
    uint8_t *pixels; /* mapped: RGB and opacity */
    AVFrame *ready;  /* owned, nullable: at its size on the canvas, turned like it */
} CutDrawing;

/* A part of the canvas. */
typedef struct {
    int x;
    int y;
    int width;
    int height;
} CutBox;

/* What the parent asked for, in order. */
typedef struct {
    bool is_card;
    RbAskCutClip clip;
    RbAskCutCard card;
    uint8_t *pixels;  /* mapped: the card, one byte a pixel */
    GArray *drawings; /* owned, nullable: of CutDrawing */
    /* results: */
    int64_t copied;
    int64_t encoded;
    uint32_t why; /* bits 1 << RbCutWhy */
} CutItem;

/* A run of frames that is made in one way. */
typedef struct {
    int item;
    bool copy;
    int64_t first; /* of the film's frames; a card: 0 */
    int64_t n;
    int64_t out;    /* place of its first frame in the output */
    int64_t packet; /* copy: first and last packet */
    int64_t last_packet;
} CutRun;

/* The picture of the output. */
typedef struct {
    int width; /* as coded */
    int height;
    int rotation; /* that players are told; pictures are coded as the film was */
    AVRational shape;
    enum AVPixelFormat format;
    bool full; /* range */
    enum AVColorSpace space;
    enum AVColorPrimaries primaries;
    enum AVColorTransferCharacteristic curve;
    enum AVChromaLocation chroma;
    bool interlaced;
    AVRational rate; /* for the encoder's sense of time only */
} CutCanvas;

typedef struct {
    AVFrame *frame;                /* owned: the last picture made */
    struct SwsContext *scalers[2]; /* owned */
    AVFrame *turned[2];            /* owned: before it is turned */
} CutPainter;

typedef struct {
    RbAskCut options;
    int fd; /* owned: of the output */
    CutFilm films[RB_CUT_FILMS_MAX];
    GArray *items; /* of CutItem */
    GArray *runs;  /* of CutRun */
    GArray
        *times; /* of int64_t: pts of every output frame, then the end; strictly rising */
    AVRational base; /* seconds a tick of `times` */
    int main;        /* film that the canvas is made after; -1: none */
    CutCanvas canvas;
    CutPainter painter;
    /* the output */
    FileIo io;
    AVIOContext *avio;
    AVFormatContext *format;
    AVStream *video;         /* borrowed */
    AVStream *audio;         /* borrowed, nullable */
    AVCodecContext *encoder; /* owned, nullable: nothing is encoded */
    AVPacket *packet;        /* owned */
    int delay;               /* frames by which decoding runs ahead of showing */
    int64_t written;         /* packets */
    guint next_run;          /* the first that is not wholly written */
    int now;                 /* item being made, for faults */
    /* sound */
    AVCodecContext *voice; /* owned */
    GArray *samples;       /* of float: stereo pairs not encoded yet */
    int64_t sample_at;     /* output sample number of the first of them */
    int sounding;          /* the next item whose sound is to be added */
} Cut;

/* Ends the helper with a fault for the item being made. result: libav's. */
_Noreturn void cut_give_up(Cut *cut, int code, int64_t detail);
void cut_must(Cut *cut, int result); /* of writing and encoding */

/* cut-role.c: opened as needed; each ends the helper if that fails. */
CutFilm *cut_film(Cut *cut, int slot);
Reader *cut_reader(Cut *cut, int slot);
/* A frame of a film; borrowed until the next call for that film. */
const AVFrame *cut_frame(Cut *cut, int slot, int64_t ordinal);

/* cut-copy.c */
void cut_sets_find(CutFilm *film); /* fills sets, length_bytes, copies, scan, why */
bool cut_sets_equal(const CutSets *a, const CutSets *b);
/* With start codes, `added` (start codes too; nullable) behind them. */
GByteArray *cut_sets_join(const CutSets *sets, const uint8_t *added, int n);
/* A number that no parameter set of these has. */
int cut_sets_free_id(const CutSets *sets);
/* What part of frames first..last can be copied; false: none. run: (out): first, n, packets. */
bool cut_copy_find(Cut *cut, int slot, int64_t first, int64_t last, CutRun *run,
                   uint32_t *why);
/* Frames of decoding delay that a copied run needs. */
int cut_copy_delay(const CutFilm *film, const CutRun *run);
void cut_copy_write(Cut *cut, const CutRun *run);

/* cut-picture.c: the picture of one output frame. Returns: borrowed until the next call. */
AVFrame *cut_paint(Cut *cut, const CutItem *item, int64_t ordinal);
void cut_canvas_choose(Cut *cut);
/* True if the film's pictures are the canvas's as they are. */
bool cut_canvas_fits(const Cut *cut, const CutFilm *film, const AVFrame *frame);

/* A plane turned clockwise; width, height: as it is read. */
void cut_turn_plane(const uint8_t *from, int from_stride, uint8_t *to, int to_stride,
                    int width, int height, int rotation);

/* cut-draw.c: what is drawn over a frame of the film whose picture fills `box`. */
void cut_draw(Cut *cut, const CutItem *item, bool beside, int64_t ordinal, CutBox box);

/* cut-write.c */
void cut_open_output(Cut *cut);
/* Takes the data; times are set here. frame: place in the output. */
void cut_write_packet(Cut *cut, AVPacket *packet, int64_t frame);
void cut_encode(Cut *cut, AVFrame *frame, int64_t out,
                bool starts_run); /* NULL: the end */
void cut_close_output(Cut *cut, int64_t *bytes);

/* cut-sound.c */
void cut_sound_open(Cut *cut);
/* Adds the sound of all items up to `item`, then encodes. */
void cut_sound_add(Cut *cut, int item);
void cut_sound_finish(Cut *cut);
