/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/passer.h"

#include <glib.h>

static double part(double value)
{
    return CLAMP(value, 0.0, 2.375);
}

bool rb_passer_parts_pro(const RbPassing *passing, double parts[4])
{
    if (passing->attempts <= 0) {
        return false;
    }
    const double a = passing->attempts;
    parts[0] = part(5.0 * (passing->completions / a - 0.3));
    parts[1] = part(0.25 * (passing->yards / a - 3.0));
    parts[2] = part(20.0 * passing->touchdowns / a);
    parts[3] = part(2.375 - 25.0 * passing->interceptions / a);
    return true;
}

bool rb_passer_rating_pro(const RbPassing *passing, double *rating)
{
    double parts[4];
    if (!rb_passer_parts_pro(passing, parts)) {
        return false;
    }
    *rating = 100.0 * (parts[0] + parts[1] + parts[2] + parts[3]) / 6.0;
    return true;
}

bool rb_passer_rating_college(const RbPassing *passing, double *rating)
{
    if (passing->attempts <= 0) {
        return false;
    }
    *rating = (8.4 * passing->yards + 330.0 * passing->touchdowns +
               100.0 * passing->completions - 200.0 * passing->interceptions) /
              passing->attempts;
    return true;
}
