/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <libavutil/cpu.h>
#include <libavutil/display.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "convert.h"
#include "cut.h"
#include "parent.h"
#include "roles.h"

/* Ticks a second of the output's clock: at least so many. */
#define TICKS_LEAST 10000

void cut_give_up(Cut *cut, int code, int64_t detail)
{
    const int errnum = cut->io.errnum;
    const bool item = cut->now >= 0 && cut->now < (int)cut->items->len;
    const uint64_t serial =
        item ? g_array_index(cut->items, CutItem, cut->now).clip.head.serial : 0;
    parent_send_fault(serial, errnum != 0 ? RB_FILM_ERROR_WRITE : code,
                      errnum != 0 ? errnum : detail);
    exit(EXIT_FAILURE);
}

void cut_must(Cut *cut, int result)
{
    if (result < 0) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, result);
    }
}

/* ---- films */

static int rotation_of(const AVStream *stream)
{
    size_t size = 0;
    const uint8_t *matrix =
        av_stream_get_side_data(stream, AV_PKT_DATA_DISPLAYMATRIX, &size);
    return matrix != NULL && size >= 9 * sizeof(int32_t)
               ? rotation_of_matrix((const int32_t *)(const void *)matrix)
               : 0;
}

static AVRational sane_shape(AVRational shape)
{
    const bool sane = shape.num > 0 && shape.den > 0 &&
                      shape.num / RB_SHAPE_MAX < shape.den &&
                      shape.den / RB_SHAPE_MAX < shape.num;
    return sane ? shape : (AVRational){ 1, 1 };
}

static void must_open(Cut *cut, const Source *source, int result)
{
    if (result != 0) {
        int64_t detail = 0;
        const int code = source_fault(source, result, &detail);
        cut_give_up(cut, code, detail);
    }
}

CutFilm *cut_film(Cut *cut, int slot)
{
    CutFilm *film = &cut->films[slot];
    if (!film->facts) {
        must_open(cut, &film->packets, source_open(&film->packets, film->fd, 1, false));
        film->facts = true;
        const AVStream *stream = film->packets.stream;
        film->rotation = rotation_of(stream);
        film->shape = sane_shape(stream->sample_aspect_ratio.num > 0
                                     ? stream->sample_aspect_ratio
                                     : stream->codecpar->sample_aspect_ratio);
        cut_sets_find(film);
    }
    return film;
}

Reader *cut_reader(Cut *cut, int slot)
{
    CutFilm *film = cut_film(cut, slot);
    if (!film->reading) {
        const int threads =
            cut->options.threads > 0 ? (int)cut->options.threads : MIN(av_cpu_count(), 8);
        must_open(cut, &film->reader.source,
                  reader_open(&film->reader, film->fd, threads, film->index));
        /* Frames are asked for once, in order. */
        film->reader.cache.budget = INT64_C(48) << 20;
        film->reading = true;
    }
    return &film->reader;
}

static bool still_there(void *data)
{
    (void)data;
    parent_send_alive();
    return false;
}

const AVFrame *cut_frame(Cut *cut, int slot, int64_t ordinal)
{
    Reader *reader = cut_reader(cut, slot);
    const AVFrame *frame = NULL;
    bool doubtful = false;
    const ReaderResult result =
        reader_get(reader, ordinal, still_there, NULL, &frame, &doubtful);
    /* The reader would show the frame before; an export must not. */
    const int errnum = reader->source.io.errnum;
    if (errnum != 0) {
        cut_give_up(cut, RB_FILM_ERROR_READ, errnum);
    }
    if (result != READER_FRAME) {
        cut_give_up(cut, RB_FILM_ERROR_DAMAGED, ordinal);
    }
    return frame;
}

static void take_film(Cut *cut, const Asked *asked)
{
    const RbAskCutFilm *ask = &asked->ask.cut_film;
    if (asked->n_fds != 2 || ask->slot >= RB_CUT_FILMS_MAX || ask->index_bytes <= 0 ||
        ask->index_bytes > RB_INDEX_BYTES_MAX || cut->films[ask->slot].used) {
        exit(EXIT_FAILURE);
    }
    CutFilm *film = &cut->films[ask->slot];
    film->used = true;
    film->fd = asked->fds[0];
    uint8_t *bytes = parent_map(asked->fds[1], (uint64_t)ask->index_bytes, false);
    film->index = rb_index_from_bytes(bytes, (size_t)ask->index_bytes);
    munmap(bytes, (size_t)ask->index_bytes);
    if (film->index == NULL) {
        exit(EXIT_FAILURE);
    }
    film->frame_of = malloc((size_t)film->index->n_packets * sizeof *film->frame_of);
    if (film->frame_of == NULL) {
        exit(EXIT_FAILURE);
    }
    for (int64_t i = 0; i < film->index->n_packets; i++) {
        film->frame_of[i] = -1;
    }
    for (int64_t i = 0; i < film->index->n_frames; i++) {
        film->frame_of[film->index->frames[i].packet] = (int32_t)i;
    }
}

/* ---- items */

static bool frame_is_there(const Cut *cut, int slot, int64_t frame)
{
    return slot >= 0 && slot < RB_CUT_FILMS_MAX && cut->films[slot].used && frame >= 0 &&
           frame < cut->films[slot].index->n_frames;
}

static void take_clip(Cut *cut, const Asked *asked)
{
    const RbAskCutClip *clip = &asked->ask.cut_clip;
    const bool good =
        frame_is_there(cut, clip->film, clip->first) &&
        frame_is_there(cut, clip->film, clip->last) && clip->first <= clip->last &&
        clip->speed > 0 && clip->speed <= 10000 && clip->loops > 0 &&
        clip->loops <= 1000 && clip->freeze_ms >= 0 && clip->freeze_ms <= 3600000 &&
        (clip->beside < 0 || (frame_is_there(cut, clip->film, clip->anchor) &&
                              frame_is_there(cut, clip->beside, clip->beside_anchor)));
    if (!good || cut->items->len >= RB_CUT_ITEMS_MAX) {
        exit(EXIT_FAILURE);
    }
    const CutItem item = { .clip = *clip };
    g_array_append_val(cut->items, item);
}

static void take_card(Cut *cut, const Asked *asked)
{
    const RbAskCutCard *card = &asked->ask.cut_card;
    if (asked->n_fds != 1 || card->width <= 0 || card->height <= 0 ||
        card->width > RB_SIZE_MAX || card->height > RB_SIZE_MAX || card->ms <= 0 ||
        card->ms > 60000 || cut->items->len >= RB_CUT_ITEMS_MAX) {
        exit(EXIT_FAILURE);
    }
    CutItem item = { .is_card = true, .card = *card };
    item.clip.head.serial = card->head.serial;
    item.clip.beside = -1;
    item.pixels =
        parent_map(asked->fds[0], (uint64_t)card->width * (uint64_t)card->height, false);
    g_array_append_val(cut->items, item);
}

static void take_drawing(Cut *cut, const Asked *asked)
{
    const RbAskCutDrawing *ask = &asked->ask.cut_drawing;
    CutItem *item = cut->items->len > 0
                        ? &g_array_index(cut->items, CutItem, cut->items->len - 1)
                        : NULL;
    if (asked->n_fds != 1 || item == NULL || item->is_card ||
        item->clip.head.serial != ask->head.serial || ask->width <= 0 ||
        ask->height <= 0 || ask->width > RB_SIZE_MAX || ask->height > RB_SIZE_MAX ||
        ask->first < 0 || ask->last < ask->first || ask->beside > 1) {
        exit(EXIT_FAILURE);
    }
    if (item->drawings == NULL) {
        item->drawings = g_array_new(FALSE, FALSE, sizeof(CutDrawing));
    }
    if (item->drawings->len >= RB_CUT_DRAWINGS_MAX) {
        exit(EXIT_FAILURE);
    }
    const CutDrawing drawing = {
        .ask = *ask,
        .pixels = parent_map(asked->fds[0],
                             (uint64_t)ask->width * (uint64_t)ask->height * 4, false),
    };
    g_array_append_val(item->drawings, drawing);
}

/* ---- the plan */

static void choose_base(Cut *cut)
{
    int64_t den = 90000;
    for (guint i = 0; i < cut->items->len; i++) {
        const CutItem *item = &g_array_index(cut->items, CutItem, i);
        if (!item->is_card) {
            const int slot = cut->main >= 0 ? cut->main : item->clip.film;
            const int64_t film = cut->films[slot].index->base.den;
            if (film > 0 && film <= 1000000) {
                den = film;
            }
            break;
        }
    }
    while (den < TICKS_LEAST) {
        den *= 2;
    }
    cut->base = (AVRational){ 1, (int)den };
}

/* From a frame to another of the same film, in ticks of the output. The film's own ticks are
 * exact; where its clock jumps, the index knows how long the jump really took. */
static int64_t ticks_between(const Cut *cut, const RbIndex *index, int64_t from,
                             int64_t to)
{
    const int64_t us =
        (to < index->n_frames ? index->us[to] : index->end_us) - index->us[from];
    if (to < index->n_frames) {
        const AVRational base = { index->base.num, index->base.den };
        const int64_t ticks = index->frames[to].pts - index->frames[from].pts;
        const int64_t as_us = av_rescale_q(ticks, base, (AVRational){ 1, 1000000 });
        if (as_us >= us - 2000 && as_us <= us + 2000) {
            return av_rescale_q(ticks, base, cut->base);
        }
    }
    return av_rescale_q(us, (AVRational){ 1, 1000000 }, cut->base);
}

static int64_t ms_ticks(const Cut *cut, int64_t ms)
{
    return av_rescale_q(ms, (AVRational){ 1, 1000 }, cut->base);
}

/* Adds a frame; its time is at least a tick after the one before. Returns its place. */
static int64_t add_time(Cut *cut, int64_t ticks)
{
    const guint n = cut->times->len;
    if (n >= RB_CUT_FRAMES_MAX) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, 0);
    }
    if (n > 0) {
        ticks = MAX(ticks, g_array_index(cut->times, int64_t, n - 1) + 1);
    }
    g_array_append_val(cut->times, ticks);
    return (int64_t)n;
}

/* The times of one showing of a clip; `at` moves to its end. */
static void add_clip_times(Cut *cut, const RbAskCutClip *clip, int64_t *at)
{
    const RbIndex *index = cut->films[clip->film].index;
    const int64_t start = *at;
    int64_t held = 0;
    for (int64_t i = clip->first; i <= clip->last + 1; i++) {
        const int64_t ticks = ticks_between(cut, index, clip->first, i);
        *at = start + held + av_rescale(ticks, 100, clip->speed);
        if (i <= clip->last) {
            add_time(cut, *at);
        }
        if (i == clip->freeze) {
            held += ms_ticks(cut, clip->freeze_ms);
        }
    }
}

static void add_run(Cut *cut, CutRun run, int item, int64_t out)
{
    if (run.n > 0) {
        run.item = item;
        run.out = out;
        g_array_append_val(cut->runs, run);
    }
}

/* Whether a clip may be copied at all. */
static bool may_copy(Cut *cut, CutItem *item)
{
    const CutFilm *film = cut_film(cut, item->clip.film);
    if (cut->options.encode != 0) {
        item->why |= 1U << RB_CUT_WHY_ASKED;
    } else if (item->clip.beside >= 0 || item->drawings != NULL) {
        item->why |= 1U << RB_CUT_WHY_COMPOSED;
    } else if (!film->copies) {
        item->why |= 1U << film->why;
    } else if (item->clip.film != cut->main) {
        const CutFilm *other = cut_film(cut, cut->main);
        const bool same = other->copies && cut_sets_equal(&film->sets, &other->sets) &&
                          film->rotation == other->rotation &&
                          av_cmp_q(film->shape, other->shape) == 0;
        if (!same) {
            item->why |= 1U << RB_CUT_WHY_DIFFERS;
        }
    }
    return item->why == 0;
}

/* Splits one showing of a clip into what is encoded, copied, encoded. */
static void plan_clip(Cut *cut, int number, const CutRun *copy, bool copies, int64_t out)
{
    CutItem *item = &g_array_index(cut->items, CutItem, number);
    const int64_t first = item->clip.first;
    const int64_t n = item->clip.last - first + 1;
    if (!copies) {
        add_run(cut, (CutRun){ .first = first, .n = n }, number, out);
        item->encoded += n;
        return;
    }
    const int64_t head = copy->first - first;
    const int64_t tail = n - head - copy->n;
    add_run(cut, (CutRun){ .first = first, .n = head }, number, out);
    add_run(cut, *copy, number, out + head);
    add_run(cut, (CutRun){ .first = copy->first + copy->n, .n = tail }, number,
            out + head + copy->n);
    item->copied += copy->n;
    item->encoded += head + tail;
    item->why |= head > 0 ? 1U << RB_CUT_WHY_START : 0;
    item->why |= tail > 0 ? 1U << RB_CUT_WHY_END : 0;
}

static void plan_card(Cut *cut, int number, int64_t *at)
{
    CutItem *item = &g_array_index(cut->items, CutItem, number);
    /* A picture that stands is two frames: players do not like a long last one. */
    const int64_t out = add_time(cut, *at);
    const int64_t whole = ms_ticks(cut, item->card.ms);
    add_time(cut, *at + whole / 2);
    *at += whole;
    add_run(cut, (CutRun){ .n = 2 }, number, out);
    item->encoded += 2;
    item->why |= 1U << RB_CUT_WHY_COMPOSED;
}

static void plan(Cut *cut)
{
    int64_t at = 0;
    for (guint i = 0; i < cut->items->len; i++) {
        cut->now = (int)i;
        CutItem *item = &g_array_index(cut->items, CutItem, i);
        if (item->is_card) {
            plan_card(cut, (int)i, &at);
            continue;
        }
        CutRun copy = { .n = 0 };
        const bool copies =
            may_copy(cut, item) && cut_copy_find(cut, item->clip.film, item->clip.first,
                                                 item->clip.last, &copy, &item->why);
        for (int loop = 0; loop < item->clip.loops; loop++) {
            const int64_t out = (int64_t)cut->times->len;
            add_clip_times(cut, &item->clip, &at);
            plan_clip(cut, (int)i, &copy, copies, out);
        }
    }
    const int64_t last = g_array_index(cut->times, int64_t, cut->times->len - 1);
    at = MAX(at, last + 1);
    g_array_append_val(cut->times, at);
    cut->now = -1;
}

/* ---- the work */

static void encode_run(Cut *cut, const CutRun *run)
{
    const CutItem *item = &g_array_index(cut->items, CutItem, run->item);
    for (int64_t i = 0; i < run->n; i++) {
        cut->now = run->item;
        AVFrame *frame = cut_paint(cut, item, run->first + i);
        cut_encode(cut, frame, run->out + i, i == 0);
        parent_send_alive();
    }
}

static void tell_items(const Cut *cut)
{
    for (guint i = 0; i < cut->items->len; i++) {
        const CutItem *item = &g_array_index(cut->items, CutItem, i);
        if (!item->is_card) {
            RbTellCutDone tell = { .head = { .kind = RB_TELL_CUT_DONE,
                                             .serial = item->clip.head.serial },
                                   .copied = item->copied,
                                   .encoded = item->encoded,
                                   .why = item->why };
            parent_send(&tell, sizeof tell);
        }
    }
}

static _Noreturn void finish(Cut *cut)
{
    bool clips = false;
    for (guint i = 0; i < cut->items->len; i++) {
        clips = clips || !g_array_index(cut->items, CutItem, i).is_card;
    }
    if (!clips) {
        exit(EXIT_FAILURE);
    }
    cut_canvas_choose(cut);
    choose_base(cut);
    plan(cut);
    cut_open_output(cut);
    for (guint i = 0; i < cut->runs->len; i++) {
        const CutRun *run = &g_array_index(cut->runs, CutRun, i);
        if (!run->copy) {
            encode_run(cut, run);
        }
    }
    cut_encode(cut, NULL, 0, false);
    cut->now = -1;
    RbTellFinished tell = { .head = { .kind = RB_TELL_FINISHED },
                            .frames = cut->written };
    cut_close_output(cut, &tell.bytes);
    tell_items(cut);
    parent_send(&tell, sizeof tell);
    exit(EXIT_SUCCESS);
}

_Noreturn void role_cut(const Asked *asked)
{
    static Cut cut;
    cut.options = asked->ask.cut;
    cut.fd = asked->fds[0];
    cut.now = -1;
    cut.items = g_array_new(FALSE, FALSE, sizeof(CutItem));
    cut.runs = g_array_new(FALSE, FALSE, sizeof(CutRun));
    cut.times = g_array_new(FALSE, FALSE, sizeof(int64_t));
    for (;;) {
        Asked next;
        parent_receive(&next);
        switch (next.ask.head.kind) {
        case RB_ASK_CUT_FILM:
            take_film(&cut, &next);
            break;
        case RB_ASK_CUT_CLIP:
            take_clip(&cut, &next);
            break;
        case RB_ASK_CUT_CARD:
            take_card(&cut, &next);
            break;
        case RB_ASK_CUT_DRAWING:
            take_drawing(&cut, &next);
            break;
        case RB_ASK_FINISH:
            finish(&cut);
        default:
            exit(EXIT_FAILURE);
        }
    }
}
