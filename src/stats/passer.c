/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/passer.h"

#include <glib.h>

static double part(double value)
{
    return CLAMP(value, 0.0, 2.375);
}

bool rb_passer_rating_pro(const RbPassing *passing, double *rating)
{
    if (passing->attempts <= 0) {
        return false;
    }
    const double a = passing->attempts;
    const double sum = part(5.0 * (passing->completions / a - 0.3)) +
                       part(0.25 * (passing->yards / a - 3.0)) +
                       part(20.0 * passing->touchdowns / a) +
                       part(2.375 - 25.0 * passing->interceptions / a);
    *rating = 100.0 * sum / 6.0;
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
