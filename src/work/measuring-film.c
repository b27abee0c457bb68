/* SPDX-License-Identifier: GPL-3.0-or-later */
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
