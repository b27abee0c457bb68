/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cut.h"

/* Pictures with opacity over the film. A drawing is scaled to the place of its film on the canvas
 * once, turned like the canvas, and then mixed with every frame it lies over. */

static AVFrame *new_picture(Cut *cut, int width, int height)
{
    AVFrame *frame = av_frame_alloc();
    if (frame == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    frame->format = AV_PIX_FMT_YUVA420P;
    frame->width = width;
    frame->height = height;
    cut_must(cut, av_frame_get_buffer(frame, 0));
    return frame;
}

static AVFrame *scaled(Cut *cut, const CutDrawing *drawing, int width, int height)
{
    AVFrame *to = new_picture(cut, width, height);
    struct SwsContext *scaler = sws_getContext(
        drawing->ask.width, drawing->ask.height, AV_PIX_FMT_RGBA, width, height,
        AV_PIX_FMT_YUVA420P, SWS_BILINEAR | SWS_ACCURATE_RND, NULL, NULL, NULL);
    if (scaler == NULL) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    const int *matrix = sws_getCoefficients(cut->canvas.space != AVCOL_SPC_UNSPECIFIED
                                                ? (int)cut->canvas.space
                                                : SWS_CS_DEFAULT);
    sws_setColorspaceDetails(scaler, matrix, 1, matrix, cut->canvas.full, 0, 1 << 16,
                             1 << 16);
    const uint8_t *const planes[4] = { drawing->pixels };
    const int strides[4] = { drawing->ask.width * 4 };
    cut_must(cut, sws_scale(scaler, planes, strides, 0, drawing->ask.height, to->data,
                            to->linesize));
    sws_freeContext(scaler);
    return to;
}

static void make_ready(Cut *cut, CutDrawing *drawing, CutBox box)
{
    if (drawing->ready != NULL && drawing->ready->width == box.width &&
        drawing->ready->height == box.height) {
        return;
    }
    av_frame_free(&drawing->ready);
    const int turn = (360 - cut->canvas.rotation) % 360;
    const bool lies = turn % 180 != 0;
    AVFrame *upright = scaled(cut, drawing, lies ? box.height : box.width,
                              lies ? box.width : box.height);
    if (turn == 0) {
        drawing->ready = upright;
        return;
    }
    drawing->ready = new_picture(cut, box.width, box.height);
    for (int i = 0; i < 4; i++) {
        const int half = i == 1 || i == 2;
        cut_turn_plane(upright->data[i], upright->linesize[i], drawing->ready->data[i],
                       drawing->ready->linesize[i], upright->width >> half,
                       upright->height >> half, turn);
    }
    av_frame_free(&upright);
}

static uint8_t mix(uint8_t under, uint8_t over, int opacity)
{
    return (uint8_t)((under * (255 - opacity) + over * opacity + 127) / 255);
}

/* The opacity of a pixel of a plane; of a colour plane, of the four pixels it colours. */
static int opacity_at(const AVFrame *drawing, int half, int x, int y)
{
    const uint8_t *plane = drawing->data[3];
    const int stride = drawing->linesize[3];
    if (half == 0) {
        return plane[y * stride + x];
    }
    const uint8_t *at = plane + 2 * y * stride + 2 * x;
    return (at[0] + at[1] + at[stride] + at[stride + 1] + 2) / 4;
}

static void lay_over(AVFrame *canvas, const AVFrame *drawing, CutBox box)
{
    for (int i = 0; i < 3; i++) {
        const int half = i > 0;
        for (int y = 0; y < box.height >> half; y++) {
            uint8_t *to = canvas->data[i] +
                          (ptrdiff_t)((box.y >> half) + y) * canvas->linesize[i] +
                          (box.x >> half);
            const uint8_t *from = drawing->data[i] + (ptrdiff_t)y * drawing->linesize[i];
            for (int x = 0; x < box.width >> half; x++) {
                const int opacity = opacity_at(drawing, half, x, y);
                to[x] = opacity == 0 ? to[x] : mix(to[x], from[x], opacity);
            }
        }
    }
}

void cut_draw(Cut *cut, const CutItem *item, bool beside, int64_t ordinal, CutBox box)
{
    for (guint i = 0; item->drawings != NULL && i < item->drawings->len; i++) {
        CutDrawing *drawing = &g_array_index(item->drawings, CutDrawing, i);
        if ((drawing->ask.beside != 0) == beside && ordinal >= drawing->ask.first &&
            ordinal <= drawing->ask.last) {
            make_ready(cut, drawing, box);
            lay_over(cut->painter.frame, drawing->ready, box);
        }
    }
}
