/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "rb/film/picture.h"

/* What the reel (parent) and the decoding helper (child) say to each other: one message a
 * SEQPACKET datagram, in the machine's own byte order, since both ends are one build.
 *
 * The helper reads strangers' files, so the parent believes nothing it says: a message is
 * copied, measured and checked by rb_tell_check() before any field is used, it holds no text
 * for people, no pointers and no sizes that are not compared with what was asked, and no
 * descriptor is ever taken from it. */

#define RB_PROTOCOL_VERSION 3
#define RB_MESSAGE_MAX 32768
#define RB_SIZE_MAX 16384           /* widest and highest picture */
#define RB_SHAPE_MAX 64             /* width of a pixel by its height, or the inverse */
#define RB_SLOT_BYTES_MAX (1 << 30) /* one picture */
#define RB_RING_SLOTS_MAX 64
#define RB_INDEX_BYTES_MAX (INT64_C(1) << 30)
#define RB_NO_TIME INT64_MIN /* a pts or dts that the film does not give */

typedef enum {
    RB_ASK_READ = 1,  /* with the film: become a reader */
    RB_ASK_INDEX,     /* make the index and send it */
    RB_ASK_USE_INDEX, /* with a memory file: use this index */
    RB_ASK_RING,      /* with a memory file: pictures go here */
    RB_ASK_FRAME,
    RB_ASK_DROP,   /* forget the frame request of this serial */
    RB_ASK_WRITE,  /* with the output and a memory file: become a writer */
    RB_ASK_ENCODE, /* the next frame is in this slot */
    RB_ASK_FINISH,
    RB_ASK_KEEP, /* what to hold decoded, and to decode when there is nothing else to do */
    RB_ASK_PART, /* with an output, or none: the next frames also go there */
    RB_ASK_CUT,  /* with the output: become a writer of cut-ups; FINISH begins the work */
    RB_ASK_CUT_FILM, /* with a film and a memory file, its index */
    RB_ASK_CUT_CLIP,
    RB_ASK_CUT_CARD, /* with a memory file: a picture that stands for a while */
    RB_ASK_HEAR,     /* with the film and a memory file: become a listener */
    RB_ASK_SOUND,
    RB_ASK_CUT_DRAWING, /* with a memory file: a picture over a clip */
    RB_ASK_GROWN,       /* the file has grown: send the index anew */
} RbAskKind;

typedef enum {
    RB_TELL_FACTS = 100,
    RB_TELL_DOUBT,
    RB_TELL_PROGRESS, /* also the sign of life during long work */
    RB_TELL_INDEX_PART,
    RB_TELL_INDEX_END,
    RB_TELL_INDEX_USED, /* answers RB_ASK_USE_INDEX */
    RB_TELL_FRAME,
    RB_TELL_ROOM, /* the slot is too small: make a ring of at least these bytes a slot */
    RB_TELL_FAULT,
    RB_TELL_SLOT_FREE,    /* writer */
    RB_TELL_FINISHED,     /* writer */
    RB_TELL_CUT_DONE,     /* one clip of a cut-up: how it was made */
    RB_TELL_SOUND,        /* the sound asked for is in the memory */
    RB_TELL_INDEX_SO_FAR, /* as INDEX_END, but of the first part of the film only */
} RbTellKind;

typedef struct {
    uint32_t kind;
    uint32_t bytes;  /* of the whole message */
    uint64_t serial; /* of the request this belongs to, or 0 */
} RbMessageHead;

/* ---- parent to helper */

typedef struct {
    RbMessageHead head;
    uint32_t version;
    uint32_t threads; /* of the decoder; 0: its own choice */
    int64_t bytes;    /* size of the film */
} RbAskRead;

typedef struct {
    RbMessageHead head;
} RbAskPlain; /* INDEX, GROWN (serial 1: the file is being written), DROP, FINISH, PART */

typedef struct {
    RbMessageHead head;
    int64_t bytes;
} RbAskUseIndex;

typedef struct {
    RbMessageHead head;
    uint64_t slot_bytes;
    uint32_t slots;
    uint32_t unused;
} RbAskRing;

typedef struct {
    RbMessageHead head;
    int64_t ordinal;
    uint32_t slot;
    uint32_t pixels; /* RbPixels */
    int32_t max_width;
    int32_t max_height;
    uint32_t as_coded;
    uint32_t stretch; /* exactly max_width by max_height */
    uint32_t field;   /* 0: the frame as it is; 1, 2: this field of it */
    uint32_t alone;   /* the frames around it will not be asked for */
} RbAskFrame;

typedef struct {
    RbMessageHead head;
    int64_t near; /* the frame shown */
    int64_t first;
    int64_t last;
    int64_t budget; /* bytes of decoded frames, 0: as before */
    int32_t direction;
    uint32_t rough; /* frames that nothing leans on need no smoothing */
} RbAskKeep;

typedef struct {
    RbMessageHead head;
    uint32_t version;
    uint32_t slots;
    uint64_t slot_bytes;
    int32_t width;
    int32_t height;
    int32_t rate_num;
    int32_t rate_den;
    int32_t shape_num;
    int32_t shape_den;
    int32_t crf;
    int32_t gop;
    int32_t b_frames; /* -1: the encoder's choice */
    uint32_t open_gop;
    uint32_t faststart;
    uint32_t quick;
    uint32_t threads;
    uint32_t unused;
} RbAskWrite;

typedef struct {
    RbMessageHead head;
    uint32_t slot;
    uint32_t unused;
    int64_t ordinal;
} RbAskEncode;

#define RB_CUT_FILMS_MAX 24
#define RB_CUT_ITEMS_MAX 4096 /* clips and cards */
#define RB_CUT_FRAMES_MAX INT64_C(4000000)

typedef struct {
    RbMessageHead head;
    uint32_t version;
    uint32_t sound;  /* 1: with a sound track */
    uint32_t encode; /* 1: copy nothing */
    int32_t crf;
    uint32_t threads; /* of decoders and encoder; 0: as many as there are processors */
    uint32_t unused;
} RbAskCut;

typedef struct {
    RbMessageHead head;
    uint32_t slot;
    uint32_t unused;
    int64_t index_bytes;
} RbAskCutFilm;

typedef struct {
    RbMessageHead head; /* serial: the caller's number of the clip */
    int32_t film;       /* slot */
    int32_t beside;     /* slot of the angle on the right; -1: none */
    int64_t first;      /* frames, both ends included */
    int64_t last;
    int64_t anchor; /* frames of the two films that show one moment */
    int64_t beside_anchor;
    int64_t freeze; /* this frame stands; -1: none */
    int32_t freeze_ms;
    int32_t speed; /* percent */
    int32_t loops;
    uint32_t unused;
} RbAskCutClip;

typedef struct {
    RbMessageHead head;
    int32_t width; /* the memory holds width * height bytes: RB_PIXELS_GRAY, no padding */
    int32_t height;
    int32_t ms;
    uint32_t unused;
} RbAskCutCard;

/* Sound is pairs of floats, left and right, at this rate. */
#define RB_SOUND_RATE 48000
#define RB_SOUND_PAIRS_MAX 48000 /* at a time: what the memory of a listener holds */

typedef struct {
    RbMessageHead head;
    uint32_t version;
    uint32_t unused;
} RbAskHear;

typedef struct {
    RbMessageHead head;
    int64_t at_us; /* of the container's clock */
    uint32_t pairs;
    uint32_t unused;
} RbAskSound;

#define RB_CUT_DRAWINGS_MAX 256 /* over one clip */

/* Drawn over the frames of the clip said last, which has the same serial. */
typedef struct {
    RbMessageHead head;
    int64_t first; /* frames of the film, both ends included */
    int64_t last;
    int32_t width; /* the memory holds width * height pixels of 4 bytes: RGB, opacity */
    int32_t height;
    uint32_t beside; /* 1: over the angle on the right, whose frames these are */
    uint32_t unused;
} RbAskCutDrawing;

typedef union {
    RbMessageHead head;
    RbAskHear hear;
    RbAskSound sound;
    RbAskRead read;
    RbAskUseIndex use_index;
    RbAskRing ring;
    RbAskFrame frame;
    RbAskKeep keep;
    RbAskWrite write;
    RbAskEncode encode;
    RbAskCut cut;
    RbAskCutFilm cut_film;
    RbAskCutClip cut_clip;
    RbAskCutCard cut_card;
    RbAskCutDrawing cut_drawing;
} RbAsk;

/* ---- helper to parent */

#define RB_NAME_ROOM 64

typedef struct {
    RbMessageHead head;
    char container[RB_NAME_ROOM];
    char codec[RB_NAME_ROOM];
    char pixel_format[RB_NAME_ROOM];
    char audio_codec[RB_NAME_ROOM]; /* empty: no sound */
    int32_t width;
    int32_t height;
    int32_t shape_num;
    int32_t shape_den;
    int32_t rotation;
    uint32_t interlaced;
    int32_t rate_num;
    int32_t rate_den;
    int32_t base_num;
    int32_t base_den;
    int64_t duration_us;
    uint32_t library_version; /* of libavformat and libavcodec, folded */
    uint32_t has_audio;
} RbTellFacts;

typedef enum {
    RB_DOUBT_SHORT = 1,   /* a: frames there, b: frames promised */
    RB_DOUBT_DAMAGED,     /* a: damaged packets */
    RB_DOUBT_CLOCK_JUMPS, /* a: jumps */
    RB_DOUBT_NO_TIMES,    /* times are made up from the rate */
    RB_DOUBT_CUT_START, /* a: pictures before the first key frame that cannot be shown */
    RB_DOUBT_SEVERAL_VIDEOS, /* a: how many */
    RB_DOUBT_DURATION,       /* a: header's seconds, b: true seconds */
    RB_DOUBT_CHANGES,    /* codec changes in mid film: a: packets that cannot be shown */
    RB_DOUBT_STUCK,      /* reading stopped making progress */
    RB_DOUBT_HIGH_RANGE, /* HDR, shown in an ordinary range */
    RB_DOUBT_READ,       /* the medium failed while indexing */
    RB_DOUBT_LAST = RB_DOUBT_READ,
} RbDoubtKind;

typedef struct {
    RbMessageHead head;
    uint32_t doubt; /* RbDoubtKind */
    uint32_t unused;
    int64_t a;
    int64_t b;
} RbTellDoubt;

typedef struct {
    RbMessageHead head;
    int32_t permille; /* -1: not known */
    uint32_t unused;
} RbTellProgress;

typedef struct {
    RbMessageHead head;
    int64_t total; /* INDEX_END, INDEX_SO_FAR */
} RbTellIndexEnd;

typedef struct {
    RbMessageHead head;
    int64_t ordinal;
    int64_t pts; /* as the decoder gave it; the index decides */
    uint32_t slot;
    uint32_t pixels;
    int32_t width;
    int32_t height;
    uint64_t stride; /* of the first plane */
    uint64_t bytes;  /* of all planes */
    int32_t coded_width;
    int32_t coded_height;
    int32_t shape_num;
    int32_t shape_den;
    uint32_t doubtful;
    uint32_t landings; /* seeks made so far, and those made again */
    uint32_t retries;
    uint32_t buffers; /* frame-sized buffers made so far */
    uint32_t field;   /* as asked */
    uint32_t whole;   /* 0: one of two moments of the frame */
    uint32_t decoded; /* packets given to the decoder so far */
    uint32_t unused;
} RbTellFrame;

typedef struct {
    RbMessageHead head;
    uint64_t bytes;
} RbTellRoom;

typedef struct {
    RbMessageHead head;
    uint32_t code; /* RbFilmError */
    uint32_t unused;
    int64_t detail; /* errno, or a number that belongs to the code */
} RbTellFault;

typedef struct {
    RbMessageHead head;
    uint32_t slot;
    uint32_t unused;
} RbTellSlotFree;

typedef struct {
    RbMessageHead head;
    int64_t frames;
    int64_t bytes;
} RbTellFinished;

/* Why frames of a clip were encoded again. */
typedef enum {
    RB_CUT_WHY_START,   /* the clip starts inside a group of pictures */
    RB_CUT_WHY_END,     /* it ends inside one */
    RB_CUT_WHY_CODEC,   /* the film is not H.264 */
    RB_CUT_WHY_FORMAT,  /* its pixels are not 8-bit 4:2:0, or its size is odd */
    RB_CUT_WHY_GROUPS,  /* no key frame of the clip is free of what is before it */
    RB_CUT_WHY_DIFFERS, /* its parameters are not those of the other clips */
    RB_CUT_WHY_DAMAGED,
    RB_CUT_WHY_COMPOSED, /* two angles, a card or a drawing */
    RB_CUT_WHY_ASKED,
    RB_CUT_WHYS,
} RbCutWhy;

typedef struct {
    RbMessageHead head; /* serial: of the clip */
    int64_t copied;     /* frames */
    int64_t encoded;
    uint32_t why; /* bits 1 << RbCutWhy */
    uint32_t unused;
} RbTellCutDone;

typedef struct {
    RbMessageHead head; /* serial: of the question */
    uint32_t pairs;     /* as asked */
    uint32_t unused;
} RbTellSound;

typedef union {
    RbMessageHead head;
    RbTellSound sound;
    RbTellFacts facts;
    RbTellDoubt doubt;
    RbTellProgress progress;
    RbTellIndexEnd index_end;
    RbTellFrame frame;
    RbTellRoom room;
    RbTellFault fault;
    RbTellSlotFree slot_free;
    RbTellFinished finished;
    RbTellCutDone cut_done;
} RbTell;

/* Checks one datagram from the helper. On success the fixed part is copied to `tell`, and for
 * an index part `part` points at its bytes inside `bytes`. False: the helper broke the rules
 * and must be ended. */
bool rb_tell_check(const void *bytes, size_t n, RbTell *tell, const uint8_t **part,
                   size_t *part_bytes);

/* The same for what the parent says, on the helper's side: this only guards against a parent
 * of another build. */
bool rb_ask_check(const void *bytes, size_t n, RbAsk *ask);

/* True if a frame answers `ask` and lies inside a slot of `slot_bytes`. */
bool rb_tell_frame_answers(const RbTellFrame *frame, const RbAskFrame *ask,
                           uint64_t slot_bytes);

/* Where planes lie in a slot: rows start at multiples of 64 bytes, and one spare row follows
 * so that vector code may run over the end. Both ends compute it alike. */
typedef struct {
    int planes;
    size_t offset[3];
    size_t stride[3];
    int rows[3];
    size_t bytes;
} RbLayout;

/* False if the size is not a picture's. */
bool rb_layout_make(RbPixels pixels, int width, int height, RbLayout *layout);
