/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "protocol.h"

#include <string.h>

#include "rb/film/error.h"

static bool size_is_sane(int32_t width, int32_t height)
{
    return width > 0 && height > 0 && width <= RB_SIZE_MAX && height <= RB_SIZE_MAX;
}

/* No camera has pixels 64 times as wide as high. */
static bool shape_is_sane(int32_t num, int32_t den)
{
    return num > 0 && den > 0 && num / RB_SHAPE_MAX <= den && den / RB_SHAPE_MAX <= num;
}

static size_t round_up(size_t value, size_t unit)
{
    return (value + unit - 1) / unit * unit;
}

bool rb_layout_make(RbPixels pixels, int width, int height, RbLayout *layout)
{
    if (!size_is_sane(width, height)) {
        return false;
    }
    memset(layout, 0, sizeof *layout);
    const size_t columns = (size_t)width;
    switch (pixels) {
    case RB_PIXELS_BGRA:
        layout->planes = 1;
        layout->stride[0] = round_up(columns * 4, 64);
        break;
    case RB_PIXELS_GRAY:
        layout->planes = 1;
        layout->stride[0] = round_up(columns, 64);
        break;
    case RB_PIXELS_I420:
        layout->planes = 3;
        layout->stride[0] = round_up(columns, 64);
        layout->stride[1] = layout->stride[2] = round_up((columns + 1) / 2, 64);
        break;
    default: /* a number from a message */
        return false;
    }
    size_t at = 0;
    for (int i = 0; i < layout->planes; i++) {
        layout->rows[i] = i == 0 ? height : (height + 1) / 2;
        layout->offset[i] = at;
        at += layout->stride[i] * (size_t)(layout->rows[i] + 1);
    }
    layout->bytes = at;
    return true;
}

/* Text in a message is a name of libav's: letters, digits and a few signs, NUL-terminated. */
static bool name_is_sane(const char name[RB_NAME_ROOM])
{
    for (size_t i = 0; i < RB_NAME_ROOM; i++) {
        const char c = name[i];
        if (c == '\0') {
            return true;
        }
        if (c <= ' ' || c > '~') {
            return false;
        }
    }
    return false;
}

static bool facts_are_sane(const RbTellFacts *facts)
{
    const int r = facts->rotation;
    return name_is_sane(facts->container) && name_is_sane(facts->codec) &&
           name_is_sane(facts->pixel_format) && name_is_sane(facts->audio_codec) &&
           size_is_sane(facts->width, facts->height) &&
           shape_is_sane(facts->shape_num, facts->shape_den) &&
           (r == 0 || r == 90 || r == 180 || r == 270) && facts->rate_num >= 0 &&
           facts->rate_den > 0 && facts->base_num > 0 && facts->base_den > 0 &&
           facts->interlaced <= 1 && facts->has_audio <= 1;
}

static bool frame_is_sane(const RbTellFrame *frame)
{
    RbLayout layout;
    return frame->ordinal >= 0 && frame->slot < RB_RING_SLOTS_MAX &&
           rb_layout_make((RbPixels)frame->pixels, frame->width, frame->height,
                          &layout) &&
           frame->stride == layout.stride[0] && frame->bytes == layout.bytes &&
           frame->bytes <= RB_SLOT_BYTES_MAX &&
           size_is_sane(frame->coded_width, frame->coded_height) &&
           shape_is_sane(frame->shape_num, frame->shape_den) && frame->doubtful <= 1 &&
           frame->field <= 2 && frame->whole <= 1;
}

/* Size of the fixed part of each kind, 0 if there is no such kind. */
static size_t tell_size(uint32_t kind)
{
    switch (kind) {
    case RB_TELL_FACTS:
        return sizeof(RbTellFacts);
    case RB_TELL_DOUBT:
        return sizeof(RbTellDoubt);
    case RB_TELL_PROGRESS:
        return sizeof(RbTellProgress);
    case RB_TELL_INDEX_PART:
    case RB_TELL_INDEX_USED:
        return sizeof(RbMessageHead);
    case RB_TELL_INDEX_END:
    case RB_TELL_INDEX_SO_FAR:
        return sizeof(RbTellIndexEnd);
    case RB_TELL_FRAME:
        return sizeof(RbTellFrame);
    case RB_TELL_ROOM:
        return sizeof(RbTellRoom);
    case RB_TELL_FAULT:
        return sizeof(RbTellFault);
    case RB_TELL_SLOT_FREE:
        return sizeof(RbTellSlotFree);
    case RB_TELL_FINISHED:
        return sizeof(RbTellFinished);
    case RB_TELL_CUT_DONE:
        return sizeof(RbTellCutDone);
    case RB_TELL_SOUND:
        return sizeof(RbTellSound);
    default:
        return 0;
    }
}

static bool tell_is_sane(const RbTell *tell)
{
    switch (tell->head.kind) {
    case RB_TELL_FACTS:
        return facts_are_sane(&tell->facts);
    case RB_TELL_DOUBT:
        return tell->doubt.doubt >= 1 && tell->doubt.doubt <= RB_DOUBT_LAST;
    case RB_TELL_PROGRESS:
        return tell->progress.permille >= -1 && tell->progress.permille <= 1000;
    case RB_TELL_INDEX_END:
    case RB_TELL_INDEX_SO_FAR:
        return tell->index_end.total > 0 && tell->index_end.total <= RB_INDEX_BYTES_MAX;
    case RB_TELL_FRAME:
        return frame_is_sane(&tell->frame);
    case RB_TELL_ROOM:
        return tell->room.bytes > 0 && tell->room.bytes <= RB_SLOT_BYTES_MAX;
    case RB_TELL_FAULT:
        return tell->fault.code <= RB_FILM_ERROR_FAILED;
    case RB_TELL_SLOT_FREE:
        return tell->slot_free.slot < RB_RING_SLOTS_MAX;
    case RB_TELL_FINISHED:
        return tell->finished.frames >= 0 && tell->finished.bytes >= 0;
    case RB_TELL_SOUND:
        return tell->sound.pairs <= RB_SOUND_PAIRS_MAX;
    case RB_TELL_CUT_DONE:
        return tell->cut_done.copied >= 0 && tell->cut_done.encoded >= 0 &&
               tell->cut_done.copied <= RB_CUT_FRAMES_MAX &&
               tell->cut_done.encoded <= RB_CUT_FRAMES_MAX &&
               tell->cut_done.why < 1U << RB_CUT_WHYS;
    default:
        return true;
    }
}

bool rb_tell_check(const void *bytes, size_t n, RbTell *tell, const uint8_t **part,
                   size_t *part_bytes)
{
    *part = NULL;
    *part_bytes = 0;
    if (n < sizeof(RbMessageHead) || n > RB_MESSAGE_MAX) {
        return false;
    }
    memset(tell, 0, sizeof *tell);
    memcpy(&tell->head, bytes, sizeof tell->head);
    const size_t fixed = tell_size(tell->head.kind);
    if (fixed == 0 || tell->head.bytes != n || n < fixed) {
        return false;
    }
    if (tell->head.kind == RB_TELL_INDEX_PART) {
        *part = (const uint8_t *)bytes + fixed;
        *part_bytes = n - fixed;
        return n > fixed;
    }
    if (n != fixed) {
        return false;
    }
    memcpy(tell, bytes, fixed);
    return tell_is_sane(tell);
}

static size_t ask_size(uint32_t kind)
{
    switch (kind) {
    case RB_ASK_READ:
        return sizeof(RbAskRead);
    case RB_ASK_INDEX:
    case RB_ASK_GROWN:
    case RB_ASK_DROP:
    case RB_ASK_FINISH:
    case RB_ASK_PART:
        return sizeof(RbAskPlain);
    case RB_ASK_USE_INDEX:
        return sizeof(RbAskUseIndex);
    case RB_ASK_RING:
        return sizeof(RbAskRing);
    case RB_ASK_FRAME:
        return sizeof(RbAskFrame);
    case RB_ASK_KEEP:
        return sizeof(RbAskKeep);
    case RB_ASK_WRITE:
        return sizeof(RbAskWrite);
    case RB_ASK_ENCODE:
        return sizeof(RbAskEncode);
    case RB_ASK_CUT:
        return sizeof(RbAskCut);
    case RB_ASK_CUT_FILM:
        return sizeof(RbAskCutFilm);
    case RB_ASK_CUT_CLIP:
        return sizeof(RbAskCutClip);
    case RB_ASK_CUT_CARD:
        return sizeof(RbAskCutCard);
    case RB_ASK_HEAR:
        return sizeof(RbAskHear);
    case RB_ASK_SOUND:
        return sizeof(RbAskSound);
    case RB_ASK_CUT_DRAWING:
        return sizeof(RbAskCutDrawing);
    default:
        return 0;
    }
}

bool rb_ask_check(const void *bytes, size_t n, RbAsk *ask)
{
    if (n < sizeof(RbMessageHead) || n > sizeof(RbAsk)) {
        return false;
    }
    memset(ask, 0, sizeof *ask);
    memcpy(ask, bytes, n);
    return ask->head.bytes == n && ask_size(ask->head.kind) == n;
}

/* Never larger than asked, and exactly so where that was asked. */
static bool size_answers(const RbTellFrame *frame, const RbAskFrame *ask)
{
    if (ask->stretch) {
        return frame->width == ask->max_width && frame->height == ask->max_height;
    }
    return (ask->max_width <= 0 || frame->width <= ask->max_width) &&
           (ask->max_height <= 0 || frame->height <= ask->max_height);
}

bool rb_tell_frame_answers(const RbTellFrame *frame, const RbAskFrame *ask,
                           uint64_t slot_bytes)
{
    return frame->head.serial == ask->head.serial && frame->ordinal == ask->ordinal &&
           frame->slot == ask->slot && frame->pixels == ask->pixels &&
           frame->field == ask->field && frame->bytes <= slot_bytes &&
           size_answers(frame, ask);
}
