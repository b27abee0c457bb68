/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plane-frame.h"

#include <math.h>

PlaneFrame rb_plane_frame_of(const RbPoint2 *points, int n)
{
    PlaneFrame frame = { 1.0, { 0.0, 0.0 } };
    for (int i = 0; i < n; i++) {
        frame.centre.x += points[i].x / n;
        frame.centre.y += points[i].y / n;
    }
    double mean = 0.0;
    for (int i = 0; i < n; i++) {
        mean += hypot(points[i].x - frame.centre.x, points[i].y - frame.centre.y) / n;
    }
    frame.scale = mean > 0.0 ? sqrt(2.0) / mean : 1.0;
    return frame;
}

RbPoint2 rb_plane_frame_apply(const PlaneFrame *frame, RbPoint2 point)
{
    return (RbPoint2){ frame->scale * (point.x - frame->centre.x),
                       frame->scale * (point.y - frame->centre.y) };
}

void rb_plane_frame_undo(const double h[9], const PlaneFrame *from, const PlaneFrame *to,
                         double m[9])
{
    double right[9]; /* h from */
    for (int row = 0; row < 3; row++) {
        const double *r = h + 3 * row;
        right[3 * row] = r[0] * from->scale;
        right[3 * row + 1] = r[1] * from->scale;
        right[3 * row + 2] =
            r[2] - from->scale * (r[0] * from->centre.x + r[1] * from->centre.y);
    }
    for (int i = 0; i < 3; i++) {
        m[i] = right[i] / to->scale + to->centre.x * right[6 + i];
        m[3 + i] = right[3 + i] / to->scale + to->centre.y * right[6 + i];
        m[6 + i] = right[6 + i];
    }
}

static PlaneFrame inverse_of(const PlaneFrame *frame)
{
    return (PlaneFrame){ 1.0 / frame->scale,
                         { -frame->scale * frame->centre.x,
                           -frame->scale * frame->centre.y } };
}

void rb_plane_frame_do(const double m[9], const PlaneFrame *from, const PlaneFrame *to,
                       double h[9])
{
    const PlaneFrame from_back = inverse_of(from);
    const PlaneFrame to_back = inverse_of(to);
    rb_plane_frame_undo(m, &from_back, &to_back, h);
}
