/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <libavutil/imgutils.h>
#include <string.h>

#include "convert.h"
#include "cut.h"

/* Two angles beside each other are together at most this wide. */
#define BOTH_WIDTH 1920

/* ---- what the output looks like */

static int64_t frames_of(const Cut *cut, int slot)
{
    int64_t n = 0;
    for (guint i = 0; i < cut->items->len; i++) {
        const CutItem *item = &g_array_index(cut->items, CutItem, i);
        if (!item->is_card && item->clip.film == slot && item->clip.beside < 0) {
            n += item->clip.last - item->clip.first + 1;
        }
    }
    return n;
}

/* The film that most frames come from; -1 when all clips show two angles. */
static int main_film(const Cut *cut)
{
    int best = -1;
    int64_t most = 0;
    for (int i = 0; i < RB_CUT_FILMS_MAX; i++) {
        const int64_t n = cut->films[i].used ? frames_of(cut, i) : 0;
        if (n > most) {
            most = n;
            best = i;
        }
    }
    return best;
}

static const CutItem *first_clip(const Cut *cut)
{
    for (guint i = 0; i < cut->items->len; i++) {
        const CutItem *item = &g_array_index(cut->items, CutItem, i);
        if (!item->is_card) {
            return item;
        }
    }
    return NULL;
}

static int even(double value)
{
    const int whole = (int)(value + 0.5);
    return MAX(whole - whole % 2, 16);
}

static bool lies(int rotation)
{
    return rotation == 90 || rotation == 270;
}

/* Width over height of the upright picture of a film. */
static double aspect(const CutFilm *film, const AVFrame *frame)
{
    const double coded = frame->width * av_q2d(film->shape) / frame->height;
    return lies(film->rotation) ? 1.0 / coded : coded;
}

/* Colours as the film says them; high dynamic range is written as what it is shown as. */
static void take_colours(CutCanvas *canvas, const AVFrame *frame)
{
    canvas->full =
        frame->color_range == AVCOL_RANGE_JPEG || frame->format == AV_PIX_FMT_YUVJ420P;
    canvas->chroma = frame->chroma_location;
    canvas->space = frame->colorspace;
    canvas->primaries = frame->color_primaries;
    canvas->curve = frame->color_trc;
    const bool wide_gamut = frame->colorspace == AVCOL_SPC_BT2020_NCL ||
                            frame->colorspace == AVCOL_SPC_BT2020_CL ||
                            frame->colorspace == AVCOL_SPC_RGB ||
                            frame->colorspace == AVCOL_SPC_YCGCO;
    if (wide_gamut || frame->color_trc == AVCOL_TRC_SMPTE2084 ||
        frame->color_trc == AVCOL_TRC_ARIB_STD_B67) {
        canvas->space = AVCOL_SPC_BT709;
        canvas->primaries = AVCOL_PRI_BT709;
        canvas->curve = AVCOL_TRC_BT709;
    }
}

static AVRational rate_of(const CutFilm *film)
{
    const AVRational rate = film->packets.stream->avg_frame_rate;
    return rate.num > 0 && rate.den > 0 && av_q2d(rate) < 1000 ? rate
                                                               : (AVRational){ 30, 1 };
}

static void choose_single(Cut *cut, bool as_coded)
{
    CutFilm *film = cut_film(cut, cut->main);
    const AVFrame *frame = cut_frame(cut, cut->main, 0);
    CutCanvas *canvas = &cut->canvas;
    take_colours(canvas, frame);
    canvas->format = canvas->full ? AV_PIX_FMT_YUVJ420P : AV_PIX_FMT_YUV420P;
    canvas->interlaced = frame->interlaced_frame != 0;
    canvas->rate = rate_of(film);
    canvas->width = frame->width;
    canvas->height = frame->height;
    canvas->shape = film->shape;
    canvas->rotation = film->rotation;
    if (!as_coded && film->rotation != 0) {
        canvas->rotation = 0;
        canvas->interlaced = false;
        if (lies(film->rotation)) {
            canvas->width = frame->height;
            canvas->height = frame->width;
            canvas->shape = av_inv_q(film->shape);
        }
    }
    canvas->width = MAX(canvas->width & ~1, 16);
    canvas->height = MAX(canvas->height & ~1, 16);
}

static void choose_both(Cut *cut, const CutItem *item)
{
    CutFilm *left = cut_film(cut, item->clip.film);
    CutFilm *right = cut_film(cut, item->clip.beside);
    CutCanvas *canvas = &cut->canvas;
    const AVFrame *frame = cut_frame(cut, item->clip.film, item->clip.first);
    take_colours(canvas, frame);
    canvas->full = false;
    canvas->format = AV_PIX_FMT_YUV420P;
    canvas->rate = rate_of(left);
    canvas->shape = (AVRational){ 1, 1 };
    const double upright =
        lies(left->rotation) ? frame->height : frame->width * av_q2d(left->shape);
    const double half = MIN(upright, BOTH_WIDTH / 2.0);
    const double left_height = half / aspect(left, frame);
    frame = cut_frame(cut, item->clip.beside, item->clip.beside_anchor);
    const double right_height = half / aspect(right, frame);
    canvas->width = 2 * even(half);
    canvas->height = even(MAX(left_height, right_height));
}

void cut_canvas_choose(Cut *cut)
{
    cut->main = main_film(cut);
    cut->canvas = (CutCanvas){ .rotation = 0 };
    if (cut->main < 0) {
        choose_both(cut, first_clip(cut));
        return;
    }
    const CutFilm *film = cut_film(cut, cut->main);
    choose_single(cut, film->copies && !cut->options.encode);
}

bool cut_canvas_fits(const Cut *cut, const CutFilm *film, const AVFrame *frame)
{
    const CutCanvas *canvas = &cut->canvas;
    const bool full =
        frame->color_range == AVCOL_RANGE_JPEG || frame->format == AV_PIX_FMT_YUVJ420P;
    return frame->width == canvas->width && frame->height == canvas->height &&
           (frame->format == AV_PIX_FMT_YUV420P ||
            frame->format == AV_PIX_FMT_YUVJ420P) &&
           full == canvas->full && film->rotation == canvas->rotation &&
           av_cmp_q(film->shape, canvas->shape) == 0;
}

/* ---- one picture */

static void must_have(Cut *cut, const void *memory)
{
    if (memory == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
}

static AVFrame *new_frame(Cut *cut, int width, int height)
{
    AVFrame *frame = av_frame_alloc();
    must_have(cut, frame);
    frame->format = cut->canvas.format;
    frame->width = width;
    frame->height = height;
    cut_must(cut, av_frame_get_buffer(frame, 0));
    return frame;
}

static void fill_black(Cut *cut, AVFrame *frame)
{
    const ptrdiff_t strides[4] = { frame->linesize[0], frame->linesize[1],
                                   frame->linesize[2] };
    av_image_fill_black(frame->data, strides, (enum AVPixelFormat)frame->format,
                        cut->canvas.full ? AVCOL_RANGE_JPEG : AVCOL_RANGE_MPEG,
                        frame->width, frame->height);
}

/* The largest even box of a shape inside another, in its middle. aspect: in coded pixels. */
static CutBox fit(CutBox in, double aspect_coded)
{
    double width = in.width;
    double height = width / aspect_coded;
    if (height > in.height) {
        height = in.height;
        width = height * aspect_coded;
    }
    CutBox box = { .width = MIN(even(width), in.width),
                   .height = MIN(even(height), in.height) };
    box.x = in.x + (in.width - box.width) / 4 * 2;
    box.y = in.y + (in.height - box.height) / 4 * 2;
    return box;
}

void cut_turn_plane(const uint8_t *from, int from_stride, uint8_t *to, int to_stride,
                    int width, int height, int rotation)
{
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++) {
            const int to_x = rotation == 90    ? height - 1 - y
                             : rotation == 180 ? width - 1 - x
                                               : y;
            const int to_y = rotation == 90    ? x
                             : rotation == 180 ? height - 1 - y
                                               : width - 1 - x;
            to[to_y * to_stride + to_x] = from[y * from_stride + x];
        }
    }
}

static void box_planes(const AVFrame *canvas, CutBox box, uint8_t *planes[4],
                       int strides[4])
{
    for (int i = 0; i < 3; i++) {
        const int half = i > 0;
        planes[i] = canvas->data[i] + (ptrdiff_t)(box.y >> half) * canvas->linesize[i] +
                    (box.x >> half);
        strides[i] = canvas->linesize[i];
    }
}

static void scale(Cut *cut, int place, const AVFrame *frame, int width, int height,
                  uint8_t *const planes[4], const int strides[4])
{
    bool full = frame->color_range == AVCOL_RANGE_JPEG;
    const enum AVPixelFormat from =
        convert_plain_format((enum AVPixelFormat)frame->format, &full);
    const bool same = width == frame->width && height == frame->height;
    struct SwsContext **scaler = &cut->painter.scalers[place];
    *scaler = sws_getCachedContext(*scaler, frame->width, frame->height, from, width,
                                   height, AV_PIX_FMT_YUV420P,
                                   same ? SWS_POINT : SWS_BICUBIC, NULL, NULL, NULL);
    must_have(cut, *scaler);
    AVFrame target = { .colorspace = cut->canvas.space,
                       .width = cut->canvas.width,
                       .height = cut->canvas.height };
    sws_setColorspaceDetails(*scaler, convert_matrix(frame), full,
                             convert_matrix(&target), cut->canvas.full, 0, 1 << 16,
                             1 << 16);
    cut_must(cut, sws_scale(*scaler, (const uint8_t *const *)frame->data, frame->linesize,
                            0, frame->height, planes, strides));
}

/* Puts a picture into its box of the canvas, turned if the canvas is not turned like it. Returns
 * the part that it fills. */
static CutBox place(Cut *cut, int number, const AVFrame *frame, AVRational shape,
                    int rotation, CutBox in)
{
    const int turn = (rotation - cut->canvas.rotation + 360) % 360;
    double wide = frame->width * av_q2d(shape) / frame->height;
    if (lies(turn)) {
        wide = 1.0 / wide;
    }
    const CutBox box = fit(in, wide / av_q2d(cut->canvas.shape));
    uint8_t *planes[4] = { 0 };
    int strides[4] = { 0 };
    box_planes(cut->painter.frame, box, planes, strides);
    if (turn == 0) {
        scale(cut, number, frame, box.width, box.height, planes, strides);
        return box;
    }
    const int width = lies(turn) ? box.height : box.width;
    const int height = lies(turn) ? box.width : box.height;
    AVFrame **turned = &cut->painter.turned[number];
    if (*turned == NULL || (*turned)->width != width || (*turned)->height != height) {
        av_frame_free(turned);
        *turned = new_frame(cut, width, height);
    }
    scale(cut, number, frame, width, height, (*turned)->data, (*turned)->linesize);
    for (int i = 0; i < 3; i++) {
        const int half = i > 0;
        cut_turn_plane((*turned)->data[i], (*turned)->linesize[i], planes[i], strides[i],
                       width >> half, height >> half, turn);
    }
    return box;
}

static void begin_canvas(Cut *cut)
{
    av_frame_free(&cut->painter.frame);
    cut->painter.frame = new_frame(cut, cut->canvas.width, cut->canvas.height);
    fill_black(cut, cut->painter.frame);
}

static CutBox whole(const Cut *cut)
{
    return (CutBox){ 0, 0, cut->canvas.width, cut->canvas.height };
}

static void paint_card(Cut *cut, const CutItem *item)
{
    const AVFrame card = { .data = { item->pixels },
                           .linesize = { item->card.width },
                           .width = item->card.width,
                           .height = item->card.height,
                           .format = AV_PIX_FMT_GRAY8,
                           .color_range = AVCOL_RANGE_JPEG };
    begin_canvas(cut);
    place(cut, 0, &card, (AVRational){ 1, 1 }, 0, whole(cut));
}

/* The frame of the other angle nearest to the moment of a frame of this one. */
static int64_t frame_beside(const Cut *cut, const RbAskCutClip *clip, int64_t ordinal)
{
    const RbIndex *left = cut->films[clip->film].index;
    const RbIndex *right = cut->films[clip->beside].index;
    return rb_index_find_at(right, right->us[clip->beside_anchor] + left->us[ordinal] -
                                       left->us[clip->anchor] + right->frame_us / 2);
}

static void paint_both(Cut *cut, const CutItem *item, int64_t ordinal)
{
    const int half = cut->canvas.width / 4 * 2;
    begin_canvas(cut);
    const AVFrame *frame = cut_frame(cut, item->clip.film, ordinal);
    const CutFilm *film = cut_film(cut, item->clip.film);
    cut_draw(cut, item, false, ordinal,
             place(cut, 0, frame, film->shape, film->rotation,
                   (CutBox){ 0, 0, half, cut->canvas.height }));
    const int64_t other = frame_beside(cut, &item->clip, ordinal);
    frame = cut_frame(cut, item->clip.beside, other);
    film = cut_film(cut, item->clip.beside);
    cut_draw(cut, item, true, other,
             place(cut, 1, frame, film->shape, film->rotation,
                   (CutBox){ half, 0, cut->canvas.width - half, cut->canvas.height }));
}

/* The decoder's own picture, without what it carries along. */
static void borrow(Cut *cut, const AVFrame *frame)
{
    av_frame_free(&cut->painter.frame);
    cut->painter.frame = av_frame_alloc();
    must_have(cut, cut->painter.frame);
    AVFrame *own = cut->painter.frame;
    cut_must(cut, av_frame_ref(own, frame));
    while (own->nb_side_data > 0) {
        av_frame_remove_side_data(own, own->side_data[0]->type);
    }
    own->format = cut->canvas.format;
}

AVFrame *cut_paint(Cut *cut, const CutItem *item, int64_t ordinal)
{
    if (item->is_card) {
        paint_card(cut, item);
    } else if (item->clip.beside >= 0) {
        paint_both(cut, item, ordinal);
    } else {
        const CutFilm *film = cut_film(cut, item->clip.film);
        const AVFrame *frame = cut_frame(cut, item->clip.film, ordinal);
        if (item->drawings == NULL && cut_canvas_fits(cut, film, frame)) {
            borrow(cut, frame);
        } else {
            begin_canvas(cut);
            cut->painter.frame->interlaced_frame = frame->interlaced_frame;
            cut->painter.frame->top_field_first = frame->top_field_first;
            cut_draw(cut, item, false, ordinal,
                     place(cut, 0, frame, film->shape, film->rotation, whole(cut)));
        }
    }
    return cut->painter.frame;
}
