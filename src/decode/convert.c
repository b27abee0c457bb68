/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "convert.h"

#include <libavutil/display.h>
#include <libavutil/imgutils.h>
#include <libavutil/mastering_display_metadata.h>
#include <libavutil/pixdesc.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "copy-out.h"

int rotation_of_matrix(const int32_t *matrix)
{
    const double counter_clockwise = av_display_rotation_get(matrix);
    if (isnan(counter_clockwise)) {
        return 0;
    }
    const long quarters = lround(-counter_clockwise / 90.0);
    if (fabs(-counter_clockwise - (double)quarters * 90.0) > 1.0) {
        return 0;
    }
    return (int)((quarters % 4 + 4) % 4) * 90;
}

/* The "J" formats say full range in their name; the scaler wants it said apart. */
enum AVPixelFormat convert_plain_format(enum AVPixelFormat format, bool *full)
{
    static const struct {
        enum AVPixelFormat full;
        enum AVPixelFormat plain;
    } pairs[] = {
        { AV_PIX_FMT_YUVJ420P, AV_PIX_FMT_YUV420P },
        { AV_PIX_FMT_YUVJ422P, AV_PIX_FMT_YUV422P },
        { AV_PIX_FMT_YUVJ444P, AV_PIX_FMT_YUV444P },
        { AV_PIX_FMT_YUVJ440P, AV_PIX_FMT_YUV440P },
        { AV_PIX_FMT_YUVJ411P, AV_PIX_FMT_YUV411P },
    };
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        if (pairs[i].full == format) {
            *full = true;
            return pairs[i].plain;
        }
    }
    return format;
}

/* The matrix named by the film; where it names none, by size, as the standards of each size
 * say: ITU-R BT.709 for high definition, BT.601 below. */
const int *convert_matrix(const AVFrame *frame)
{
    static const struct {
        enum AVColorSpace space;
        int matrix;
    } known[] = {
        { AVCOL_SPC_BT709, SWS_CS_ITU709 },     { AVCOL_SPC_BT470BG, SWS_CS_ITU601 },
        { AVCOL_SPC_SMPTE170M, SWS_CS_ITU601 }, { AVCOL_SPC_SMPTE240M, SWS_CS_SMPTE240M },
        { AVCOL_SPC_FCC, SWS_CS_FCC },          { AVCOL_SPC_BT2020_NCL, SWS_CS_BT2020 },
        { AVCOL_SPC_BT2020_CL, SWS_CS_BT2020 },
    };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (known[i].space == frame->colorspace) {
            return sws_getCoefficients(known[i].matrix);
        }
    }
    const bool high_definition = frame->height >= 720 || frame->width >= 1280;
    return sws_getCoefficients(high_definition ? SWS_CS_ITU709 : SWS_CS_ITU601);
}

static enum AVPixelFormat target_format(RbPixels pixels)
{
    switch (pixels) {
    case RB_PIXELS_BGRA:
        return AV_PIX_FMT_BGRA;
    case RB_PIXELS_GRAY:
        return AV_PIX_FMT_GRAY8;
    case RB_PIXELS_I420:
        return AV_PIX_FMT_YUV420P;
    }
    return AV_PIX_FMT_NONE;
}

/* What sws_setColorspaceDetails() calls a colour space of planes or of plain colours. */
typedef struct {
    const int *matrix;
    int full;
} Space;

static void copy_out(const AVFrame *frame, enum AVPixelFormat format,
                     uint8_t *const planes[4], const int strides[4])
{
    const AVPixFmtDescriptor *kind = av_pix_fmt_desc_get(format);
    for (int i = 0; i < av_pix_fmt_count_planes(format); i++) {
        const int less = i == 1 || i == 2 ? kind->log2_chroma_h : 0;
        copy_out_rows(planes[i], strides[i], frame->data[i], frame->linesize[i],
                      (size_t)av_image_get_linesize(format, frame->width, i),
                      AV_CEIL_RSHIFT(frame->height, less));
    }
}

static bool is_half(const AVFrame *frame, enum AVPixelFormat from, enum AVPixelFormat to,
                    int width, int height)
{
    return from == AV_PIX_FMT_YUV420P && to == from && width % 2 == 0 &&
           height % 2 == 0 && frame->width == 2 * width && frame->height == 2 * height;
}

static void halve(const AVFrame *frame, HalveRows rows, uint8_t *const planes[4],
                  const int strides[4], int width, int height)
{
    for (int i = 0; i < 3; i++) {
        const int less = i > 0 ? 2 : 1;
        halve_plane(planes[i], strides[i], frame->data[i], frame->linesize[i],
                    width / less, height / less, rows);
    }
}

static bool scale(Converter *converter, Place place, const AVFrame *frame,
                  enum AVPixelFormat to, Space space, uint8_t *const planes[4],
                  const int strides[4], int width, int height)
{
    bool full = frame->color_range == AVCOL_RANGE_JPEG;
    const enum AVPixelFormat from =
        convert_plain_format((enum AVPixelFormat)frame->format, &full);
    const int *matrix = convert_matrix(frame);
    const bool same_size = width == frame->width && height == frame->height;
    if (same_size && from == to && (from == AV_PIX_FMT_GRAY8 || space.full == full) &&
        space.matrix == matrix) {
        copy_out(frame, to, planes, strides);
        return true;
    }
    if (is_half(frame, from, to, width, height) && space.full == full &&
        space.matrix == matrix) {
        halve(frame, converter->rows, planes, strides, width, height);
        return true;
    }
    struct SwsContext **scaler = &converter->scalers[place];
    *scaler =
        sws_getCachedContext(*scaler, frame->width, frame->height, from, width, height,
                             to, same_size ? SWS_POINT : SWS_BILINEAR, NULL, NULL, NULL);
    if (*scaler == NULL) {
        return false;
    }
    sws_setColorspaceDetails(*scaler, matrix, full, space.matrix, space.full, 0, 1 << 16,
                             1 << 16);
    return sws_scale(*scaler, (const uint8_t *const *)frame->data, frame->linesize, 0,
                     frame->height, planes, strides) == height;
}

static void planes_of(const RbLayout *layout, uint8_t *memory, uint8_t *planes[4],
                      int strides[4])
{
    for (int i = 0; i < layout->planes; i++) {
        planes[i] = memory + layout->offset[i];
        strides[i] = (int)layout->stride[i];
    }
}

static uint8_t *scratch(Converter *converter, Place place, size_t bytes)
{
    if (converter->scratch_bytes[place] < bytes) {
        free(converter->scratch[place]);
        converter->scratch[place] = malloc(bytes);
        converter->scratch_bytes[place] = converter->scratch[place] != NULL ? bytes : 0;
    }
    return converter->scratch[place];
}

/* ---- high range and wide colours */

static ToneKind tone_of(const AVFrame *frame)
{
    if (frame->color_trc == AVCOL_TRC_SMPTE2084) {
        return TONE_PQ;
    }
    if (frame->color_trc == AVCOL_TRC_ARIB_STD_B67) {
        return TONE_HLG;
    }
    return frame->color_primaries == AVCOL_PRI_BT2020 ? TONE_WIDE : TONE_NONE;
}

/* The brightest that the film's own mastering display showed. */
static double peak_of(const AVFrame *frame)
{
    const AVFrameSideData *side =
        av_frame_get_side_data(frame, AV_FRAME_DATA_MASTERING_DISPLAY_METADATA);
    const AVMasteringDisplayMetadata *told =
        side != NULL ? (const AVMasteringDisplayMetadata *)(void *)side->data : NULL;
    const double peak =
        told != NULL && told->has_luminance ? av_q2d(told->max_luminance) : TONE_PEAK;
    return isfinite(peak) && peak >= 2 * TONE_WHITE && peak <= 10000 ? peak : TONE_PEAK;
}

static bool scale_toned(Converter *converter, const AVFrame *frame,
                        const RbLayout *layout, int width, int height, uint8_t *memory)
{
    const size_t stride = (size_t)width * 6 + 64;
    uint8_t *deep = scratch(converter, PLACE_DEEP, stride * (size_t)(height + 1));
    if (converter->tone == NULL) {
        converter->tone = calloc(1, sizeof *converter->tone);
    }
    if (deep == NULL || converter->tone == NULL) {
        return false;
    }
    uint8_t *const planes[4] = { deep };
    const int strides[4] = { (int)stride };
    const Space space = { convert_matrix(frame), 1 };
    if (!scale(converter, PLACE_DEEP, frame, AV_PIX_FMT_RGB48, space, planes, strides,
               width, height)) {
        return false;
    }
    tone_table_fill(converter->tone, tone_of(frame), peak_of(frame));
    for (int y = 0; y < height; y++) {
        tone_row(converter->tone,
                 (const uint16_t *)(const void *)(deep + (size_t)y * stride),
                 memory + (size_t)y * layout->stride[0], width);
    }
    return true;
}

/* Planes to be shown: BT.709, limited range, of an ordinary screen. */
static bool scale_planes(Converter *converter, const AVFrame *frame,
                         const RbLayout *layout, int width, int height, uint8_t *memory)
{
    const Space shown = { sws_getCoefficients(SWS_CS_ITU709), 0 };
    uint8_t *planes[4] = { 0 };
    int strides[4] = { 0 };
    planes_of(layout, memory, planes, strides);
    if (tone_of(frame) == TONE_NONE) {
        return scale(converter, PLACE_SHOWN, frame, AV_PIX_FMT_YUV420P, shown, planes,
                     strides, width, height);
    }
    RbLayout plain;
    uint8_t *colours = NULL;
    if (!rb_layout_make(RB_PIXELS_BGRA, width, height, &plain) ||
        (colours = scratch(converter, PLACE_PLAIN, plain.bytes)) == NULL ||
        !scale_toned(converter, frame, &plain, width, height, colours)) {
        return false;
    }
    const AVFrame toned = { .data = { colours },
                            .linesize = { (int)plain.stride[0] },
                            .format = AV_PIX_FMT_BGR0,
                            .width = width,
                            .height = height,
                            .color_range = AVCOL_RANGE_JPEG,
                            .colorspace = AVCOL_SPC_BT709 };
    return scale(converter, PLACE_PLAIN, &toned, AV_PIX_FMT_YUV420P, shown, planes,
                 strides, width, height);
}

static bool scale_as_asked(Converter *converter, const AVFrame *frame,
                           const RbAskFrame *ask, const RbLayout *layout, int width,
                           int height, uint8_t *memory)
{
    const RbPixels pixels = (RbPixels)ask->pixels;
    if (pixels == RB_PIXELS_I420 && !ask->as_coded) {
        return scale_planes(converter, frame, layout, width, height, memory);
    }
    if (pixels == RB_PIXELS_BGRA && tone_of(frame) != TONE_NONE) {
        return scale_toned(converter, frame, layout, width, height, memory);
    }
    uint8_t *planes[4] = { 0 };
    int strides[4] = { 0 };
    planes_of(layout, memory, planes, strides);
    bool full = frame->color_range == AVCOL_RANGE_JPEG;
    convert_plain_format((enum AVPixelFormat)frame->format, &full);
    const Space space = { convert_matrix(frame), pixels == RB_PIXELS_I420 ? full : 1 };
    return scale(converter, PLACE_SHOWN, frame, target_format(pixels), space, planes,
                 strides, width, height);
}

/* Pictures with holes are shown on black. */
static void make_opaque(uint8_t *memory, const RbLayout *layout, int width, int height)
{
    for (int y = 0; y < height; y++) {
        uint8_t *pixel = memory + (size_t)y * layout->stride[0];
        for (int x = 0; x < width; x++, pixel += 4) {
            for (int i = 0; i < 3; i++) {
                pixel[i] = (uint8_t)(pixel[i] * pixel[3] / 255);
            }
            pixel[3] = 255;
        }
    }
}

/* Turns a picture of one plane clockwise. `width` and `height` are those before the turn. */
static void turn(const uint8_t *from, size_t from_stride, uint8_t *to, size_t to_stride,
                 size_t pixel_bytes, int width, int height, int rotation)
{
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++) {
            const int to_x = rotation == 90    ? height - 1 - y
                             : rotation == 180 ? width - 1 - x
                                               : y;
            const int to_y = rotation == 90    ? x
                             : rotation == 180 ? height - 1 - y
                                               : width - 1 - x;
            memcpy(to + (size_t)to_y * to_stride + (size_t)to_x * pixel_bytes,
                   from + (size_t)y * from_stride + (size_t)x * pixel_bytes, pixel_bytes);
        }
    }
}

/* The asked box holds the upright picture; sizes here are before the turn. */
static void fit(const AVFrame *frame, const RbAskFrame *ask, bool lies, int *width,
                int *height)
{
    const int box_width = lies ? ask->max_height : ask->max_width;
    const int box_height = lies ? ask->max_width : ask->max_height;
    if (ask->stretch) {
        *width = box_width;
        *height = box_height;
        return;
    }
    double by = 1.0;
    if (box_width > 0) {
        by = fmin(by, (double)box_width / frame->width);
    }
    if (box_height > 0) {
        by = fmin(by, (double)box_height / frame->height);
    }
    *width = by < 1.0 ? (int)fmax(1.0, floor(frame->width * by + 0.5)) : frame->width;
    *height = by < 1.0 ? (int)fmax(1.0, floor(frame->height * by + 0.5)) : frame->height;
}

static void turn_all(const RbLayout *from, const uint8_t *memory, const RbLayout *to,
                     uint8_t *slot, RbPixels pixels, int width, int height, int rotation)
{
    for (int i = 0; i < from->planes; i++) {
        const int half = i > 0 ? 2 : 1;
        turn(memory + from->offset[i], from->stride[i], slot + to->offset[i],
             to->stride[i], pixels == RB_PIXELS_BGRA ? 4 : 1, (width + half - 1) / half,
             (height + half - 1) / half, rotation);
    }
}

static bool draw(Converter *converter, const AVFrame *frame, const RbAskFrame *ask,
                 int width, int height, int rotation, const RbLayout *shown,
                 uint8_t *slot)
{
    const RbPixels pixels = (RbPixels)ask->pixels;
    RbLayout layout = *shown;
    uint8_t *memory = slot;
    if (rotation != 0) {
        if (!rb_layout_make(pixels, width, height, &layout) ||
            (memory = scratch(converter, PLACE_SHOWN, layout.bytes)) == NULL) {
            return false;
        }
    }
    if (!scale_as_asked(converter, frame, ask, &layout, width, height, memory)) {
        return false;
    }
    const AVPixFmtDescriptor *kind =
        av_pix_fmt_desc_get((enum AVPixelFormat)frame->format);
    if (pixels == RB_PIXELS_BGRA && kind != NULL &&
        (kind->flags & (AV_PIX_FMT_FLAG_ALPHA | AV_PIX_FMT_FLAG_PAL)) != 0) {
        make_opaque(memory, &layout, width, height);
    }
    if (rotation != 0) {
        turn_all(&layout, memory, shown, slot, pixels, width, height, rotation);
    }
    return true;
}

bool convert_is_half(const AVFrame *frame, const RbAskFrame *ask, int rotation)
{
    const bool lies = rotation == 90 || rotation == 270;
    bool full = frame->color_range == AVCOL_RANGE_JPEG;
    const enum AVPixelFormat from =
        convert_plain_format((enum AVPixelFormat)frame->format, &full);
    int width = 0;
    int height = 0;
    fit(frame, ask, lies, &width, &height);
    return (RbPixels)ask->pixels == RB_PIXELS_I420 && !ask->as_coded && !full &&
           tone_of(frame) == TONE_NONE &&
           convert_matrix(frame) == sws_getCoefficients(SWS_CS_ITU709) &&
           is_half(frame, from, AV_PIX_FMT_YUV420P, width, height);
}

ConvertResult convert(Converter *converter, const AVFrame *frame, const RbAskFrame *ask,
                      int rotation, uint8_t *slot, uint64_t slot_bytes, RbTellFrame *tell)
{
    const RbPixels pixels = (RbPixels)ask->pixels;
    if (ask->as_coded) {
        rotation = 0;
    }
    const bool lies = rotation == 90 || rotation == 270;
    int width = 0;
    int height = 0;
    fit(frame, ask, lies, &width, &height);
    RbLayout layout;
    if (!rb_layout_make(pixels, lies ? height : width, lies ? width : height, &layout)) {
        return CONVERT_FAILED;
    }
    tell->bytes = layout.bytes;
    if (layout.bytes > slot_bytes) {
        return CONVERT_NO_ROOM;
    }
    tell->pixels = ask->pixels;
    tell->width = lies ? height : width;
    tell->height = lies ? width : height;
    tell->stride = layout.stride[0];
    if (lies) {
        const int32_t num = tell->shape_num;
        tell->shape_num = tell->shape_den;
        tell->shape_den = num;
    }
    return draw(converter, frame, ask, width, height, rotation, &layout, slot)
               ? CONVERT_DONE
               : CONVERT_FAILED;
}

void convert_close(Converter *converter)
{
    for (int i = 0; i < PLACES; i++) {
        sws_freeContext(converter->scalers[i]);
        free(converter->scratch[i]);
    }
    free(converter->tone);
    *converter = (Converter){ 0 };
}
