/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "rb/base/error.h"
#include "rb/film/frames.h"
#include "rb/work/measuring.h"

/* One way along the film from the frame of the calibration. */
typedef struct {
    RbCarrier *carrier; /* owned, nullable: not begun */
    GPtrArray *views; /* owned: of RbCarriedView; the first is that of the first frame */
} Arm;

struct RbTrail {
    RbReel *reel; /* borrowed */
    RbRules rules;
    RbCalibration calibration;
    int64_t from;
    bool sharpen;
    Arm arms[2]; /* back, forward */
};

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

RbTrail *rb_trail_new(RbReel *reel, RbRules rules, const RbCalibration *calibration,
                      int64_t from, bool sharpen)
{
    RbTrail *trail = g_new0(RbTrail, 1);
    trail->reel = reel;
    trail->rules = rules;
    trail->calibration = *calibration;
    trail->from = from;
    trail->sharpen = sharpen;
    for (int i = 0; i < 2; i++) {
        trail->arms[i].views = g_ptr_array_new_with_free_func(g_free);
    }
    return trail;
}

void rb_trail_free(RbTrail *trail)
{
    for (int i = 0; trail != NULL && i < 2; i++) {
        rb_carrier_free(trail->arms[i].carrier);
        g_ptr_array_unref(trail->arms[i].views);
    }
    g_free(trail);
}

static void remember(Arm *arm)
{
    RbCarriedView *view = g_new(RbCarriedView, 1);
    view->calibration = *rb_carrier_get_calibration(arm->carrier);
    view->state = rb_carrier_get_state(arm->carrier);
    view->looseness = rb_carrier_get_looseness(arm->carrier);
    g_ptr_array_add(arm->views, view);
}

static bool begin(RbTrail *trail, Arm *arm, RbCancel *cancel, GError **error)
{
    if (arm->carrier != NULL) {
        return true;
    }
    g_autoptr(RbPicture) first = gray_frame(trail->reel, trail->from, cancel, error);
    if (first == NULL) {
        return false;
    }
    const RbGrayPicture gray = gray_of(first);
    arm->carrier = rb_carrier_new((RbFieldCode)trail->rules, &trail->calibration, &gray);
    if (trail->sharpen) {
        rb_carrier_sharpen(arm->carrier);
    }
    remember(arm);
    return true;
}

bool rb_trail_go(RbTrail *trail, int64_t to, RbCarriedView *carried, RbProgress *progress,
                 RbCancel *cancel, GError **error)
{
    const int64_t direction = to < trail->from ? -1 : 1;
    const int64_t steps = llabs(to - trail->from);
    Arm *arm = &trail->arms[to < trail->from ? 0 : 1];
    if (!begin(trail, arm, cancel, error)) {
        return false;
    }
    const int64_t begun = (int64_t)arm->views->len - 1;
    while ((int64_t)arm->views->len - 1 < steps &&
           rb_carrier_get_state(arm->carrier) != RB_CARRY_LOST) {
        const int64_t done = (int64_t)arm->views->len - 1;
        rb_progress_set(progress, (double)(done - begun) / (double)(steps - begun), NULL);
        g_autoptr(RbPicture) picture =
            gray_frame(trail->reel, trail->from + direction * (done + 1), cancel, error);
        if (picture == NULL) {
            return false;
        }
        const RbGrayPicture gray = gray_of(picture);
        rb_carrier_step(arm->carrier, &gray);
        remember(arm);
    }
    /* Where it was lost it stays lost. */
    const int64_t last = (int64_t)arm->views->len - 1;
    *carried = *(const RbCarriedView *)arm->views->pdata[MIN(steps, last)];
    return true;
}

bool rb_film_carry(RbReel *reel, RbRules rules, const RbCalibration *calibration,
                   int64_t from, int64_t to, bool sharpen, RbCarriedView *carried,
                   RbCancel *cancel, GError **error)
{
    g_autoptr(RbTrail) trail = rb_trail_new(reel, rules, calibration, from, sharpen);
    return rb_trail_go(trail, to, carried, NULL, cancel, error);
}
