/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/success.h"

#include <glib.h>

RbSuccessProfile rb_success_profile_default(void)
{
    return (RbSuccessProfile){ { 40, 60, 100, 100 } };
}

RbSuccessProfile rb_success_profile_college(void)
{
    return (RbSuccessProfile){ { 50, 70, 100, 100 } };
}

bool rb_success_gain(RbSuccessProfile profile, int down, int distance, int gain)
{
    g_assert(down >= 1 && down <= 4);
    return (int64_t)100 * gain >= (int64_t)profile.percent[down - 1] * distance;
}

/* A ball that nobody caught gains nothing, whatever is tagged (as in rb/model/successor.h). */
static bool gain_of(const RbSnap *snap, int *gain)
{
    if (snap->result == RB_RESULT_INCOMPLETE || snap->result == RB_RESULT_THROWN_AWAY) {
        *gain = 0;
        return true;
    }
    *gain = snap->gain;
    return snap->has_gain == RB_YES;
}

bool rb_success_snap(RbSuccessProfile profile, const RbSnap *snap, bool *known)
{
    const RbSituation *at = &snap->situation;
    *known = !rb_snap_is_wiped_out(snap);
    if (!*known) {
        return false;
    }
    if (snap->result == RB_RESULT_INTERCEPTED) {
        return false;
    }
    switch (snap->ending) {
    case RB_ENDING_TOUCHDOWN:
        return true;
    case RB_ENDING_SAFETY:
    case RB_ENDING_FUMBLE_LOST:
    case RB_ENDING_TOUCHDOWN_AGAINST:
        return false;
    case RB_ENDING_NONE:
        break;
    }
    int gain = 0;
    *known = at->down >= 1 && at->down <= 4 && at->distance >= 1 && gain_of(snap, &gain);
    return *known && rb_success_gain(profile, at->down, at->distance, gain);
}
