/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "rb/base/error.h"

#include "layout-private.h"

/* Share of the extent within which points count as one, and as on one line. A clicked line
 * is off by about a pixel in several hundred. */
#define SAME_PLACE 1e-6
#define ONE_LINE 2e-3

static RbPoint2 place(const RbMatch *match, bool in_target)
{
    return in_target ? match->to : match->from;
}

static double extent(const RbMatch *matches, int n, bool in_target)
{
    double widest = 0.0;
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < i; j++) {
            const RbPoint2 a = place(&matches[i], in_target);
            const RbPoint2 b = place(&matches[j], in_target);
            widest = fmax(widest, hypot(a.x - b.x, a.y - b.y));
        }
    }
    return widest;
}

/* True if all points but `skip` (-1: all) lie within `tolerance` of one line. */
static bool is_one_line(const RbMatch *matches, int n, bool in_target, int skip,
                        double tolerance)
{
    double sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0, syy = 0.0;
    const int first = skip == 0 ? 1 : 0;
    const RbPoint2 origin = place(&matches[first], in_target);
    int count = 0;
    for (int i = 0; i < n; i++) {
        if (i == skip) {
            continue;
        }
        const double x = place(&matches[i], in_target).x - origin.x;
        const double y = place(&matches[i], in_target).y - origin.y;
        sx += x;
        sy += y;
        sxx += x * x;
        sxy += x * y;
        syy += y * y;
        count++;
    }
    const double a = sxx - sx * sx / count;
    const double b = sxy - sx * sy / count;
    const double c = syy - sy * sy / count;
    /* The smaller eigenvalue of the scatter is the squared distance from the best line. */
    const double smaller = (a + c) / 2.0 - sqrt((a - c) * (a - c) / 4.0 + b * b);
    return smaller <= tolerance * tolerance * count;
}

static bool check_numbers(const RbMatch *matches, int n, GError **error)
{
    for (int i = 0; i < n; i++) {
        if (!isfinite(matches[i].from.x) || !isfinite(matches[i].from.y) ||
            !isfinite(matches[i].to.x) || !isfinite(matches[i].to.y)) {
            return rb_error_set(
                error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
                _("Mark %d has a coordinate that is not a number; click it "
                  "again."),
                i + 1);
        }
    }
    return true;
}

static bool check_same_place(const RbMatch *matches, int n, bool in_target,
                             GError **error)
{
    const double limit = SAME_PLACE * extent(matches, n, in_target);
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < i; j++) {
            const RbPoint2 a = place(&matches[i], in_target);
            const RbPoint2 b = place(&matches[j], in_target);
            if (hypot(a.x - b.x, a.y - b.y) <= limit) {
                return rb_error_set(
                    error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
                    in_target ? _("Marks %d and %d were clicked at the same place "
                                  "in the picture; click one of them again.")
                              : _("Marks %d and %d are the same point of the "
                                  "field; name one of them anew."),
                    j + 1, i + 1);
            }
        }
    }
    return true;
}

static bool check_lines(const RbMatch *matches, int n, bool in_target, GError **error)
{
    const double tolerance = ONE_LINE * extent(matches, n, in_target);
    if (is_one_line(matches, n, in_target, -1, tolerance)) {
        return rb_error_set(
            error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
            in_target
                ? _("All %d marks lie on one line in the picture; add two marks away "
                    "from it.")
                : _("All %d marks lie on one line of the field; add two marks away "
                    "from it."),
            n);
    }
    for (int skip = 0; skip < n; skip++) {
        if (is_one_line(matches, n, in_target, skip, tolerance)) {
            return rb_error_set(
                error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
                in_target ? _("All marks but mark %d lie on one line in the picture; add "
                              "another mark away from that line.")
                          : _("All marks but mark %d lie on one line of the field; add "
                              "another mark away from that line."),
                skip + 1);
        }
    }
    return true;
}

bool rb_layout_check(const RbMatch *matches, int n, GError **error)
{
    if (n < 4) {
        return rb_error_set(
            error, RB_FIELD_ERROR, RB_FIELD_ERROR_TOO_FEW,
            _("Measuring needs at least four marks and there are %d; click "
              "more."),
            n);
    }
    if (n > RB_MATCHES_MAX) {
        return rb_error_set(
            error, RB_FIELD_ERROR, RB_FIELD_ERROR_FAILED,
            _("%d marks are more than the %d that can be used; remove some."), n,
            RB_MATCHES_MAX);
    }
    return check_numbers(matches, n, error) &&
           check_same_place(matches, n, false, error) &&
           check_same_place(matches, n, true, error) &&
           check_lines(matches, n, false, error) && check_lines(matches, n, true, error);
}
