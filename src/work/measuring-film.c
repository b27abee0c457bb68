/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/error.h"
#include "rb/film/frames.h"
#include "rb/work/error.h"
#include "rb/work/measuring.h"

double rb_reel_moment_length(const RbMark *mark, void *data)
{
    RbReel *reel = data;
    const int64_t at = rb_reel_get_frame_us(reel, mark->frame);
    const int64_t next = rb_reel_get_frame_us(reel, mark->frame + 1);
    const int64_t before = rb_reel_get_frame_us(reel, mark->frame - 1);
    int64_t length = 0;
    if (at >= 0 && next > at) {
        length = next - at;
    } else if (at >= 0 && before >= 0) {
        length = at - before; /* the last frame lasts as long as the one before */
    }
    return (double)length / (rb_reel_is_interlaced(reel) ? 2e6 : 1e6);
}

static RbPicture *gray_frame(RbReel *reel, int64_t frame, RbCancel *cancel,
                             GError **error)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY };
    return rb_reel_wait_frame(reel, frame, &options, cancel, 0, error);
}

static RbGrayPicture gray_of(const RbPicture *picture)
{
    return (RbGrayPicture){ rb_picture_get_bytes(picture), rb_picture_get_width(picture),
                            rb_picture_get_height(picture),
                            rb_picture_get_stride(picture) };
}

bool rb_film_carry(RbReel *reel, RbRules rules, const RbCalibration *calibration,
                   int64_t from, int64_t to, bool sharpen, RbCarriedView *carried,
                   RbCancel *cancel, GError **error)
{
    g_autoptr(RbPicture) first = gray_frame(reel, from, cancel, error);
    if (first == NULL) {
        return false;
    }
    RbGrayPicture gray = gray_of(first);
    g_autoptr(RbCarrier) carrier = rb_carrier_new((RbFieldCode)rules, calibration, &gray);
    if (sharpen) {
        rb_carrier_sharpen(carrier);
    }
    const int64_t step = to > from ? 1 : -1;
    for (int64_t frame = from; frame != to; frame += step) {
        g_autoptr(RbPicture) picture = gray_frame(reel, frame + step, cancel, error);
        if (picture == NULL) {
            return false;
        }
        gray = gray_of(picture);
        if (rb_carrier_step(carrier, &gray) == RB_CARRY_LOST) {
            break;
        }
    }
    carried->calibration = *rb_carrier_get_calibration(carrier);
    carried->state = rb_carrier_get_state(carrier);
    carried->looseness = rb_carrier_get_looseness(carrier);
    return true;
}
