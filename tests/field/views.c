/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "views.h"

#include <check.h>
#include <math.h>

View view_fixed(void)
{
    View view = { .camera = { .position = { 50, -30, 15 },
                              .width = VIEW_WIDTH,
                              .height = VIEW_HEIGHT } };
    const RbPoint3 at = { 50, 24, 0 };
    rb_camera_aim(&view.camera, at);
    rb_camera_frame_width(&view.camera, at, 50);
    return view;
}

static double between(RbRandom *random, double low, double high)
{
    return low + (high - low) * rb_random_unit(random);
}

View view_random(RbRandom *random)
{
    View view = { .camera = { .width = VIEW_WIDTH, .height = VIEW_HEIGHT } };
    const RbPoint3 at = { between(random, 25, 75), between(random, 18, 34), 0 };
    const bool behind = rb_random_chance(random, 0.3);
    view.camera.position =
        behind ? (RbPoint3){ -35, between(random, 20, 33), between(random, 9, 14) }
               : (RbPoint3){ between(random, 35, 65), -between(random, 20, 45),
                             between(random, 10, 22) };
    rb_camera_aim(&view.camera, at);
    rb_camera_frame_width(&view.camera, at, between(random, 38, 60));
    return view;
}

static RbPoint2 bend(const View *view, RbPoint2 p)
{
    const double half = hypot(VIEW_WIDTH, VIEW_HEIGHT) / 2.0;
    const double x = (p.x - VIEW_WIDTH / 2.0) / half;
    const double y = (p.y - VIEW_HEIGHT / 2.0) / half;
    const double by = 1.0 + view->bend * (x * x + y * y);
    return (RbPoint2){ VIEW_WIDTH / 2.0 + x * by * half,
                       VIEW_HEIGHT / 2.0 + y * by * half };
}

bool view_show(const View *view, RbPoint2 field, RbPoint2 *pixel)
{
    const RbProjection projection = rb_camera_projection(&view->camera);
    const RbPoint3 point = { field.x, field.y, 0 };
    RbPoint2 straight;
    if (!rb_projection_apply(&projection, point, &straight, NULL)) {
        return false;
    }
    if (fabs(straight.x - VIEW_WIDTH / 2.0) > 0.7 * VIEW_WIDTH ||
        fabs(straight.y - VIEW_HEIGHT / 2.0) > 0.7 * VIEW_HEIGHT) {
        return false; /* so far out the formula of the lens folds back */
    }
    *pixel = bend(view, straight);
    return pixel->x >= 0 && pixel->y >= 0 && pixel->x < VIEW_WIDTH &&
           pixel->y < VIEW_HEIGHT;
}

/* Of a straight lens only: what tests compare with. */
bool view_locate(const View *view, RbPoint2 pixel, RbPoint2 *field)
{
    const RbProjection projection = rb_camera_projection(&view->camera);
    const RbHomography ground = rb_projection_ground(&projection);
    RbHomography back;
    return view->bend == 0.0 && rb_homography_invert(&ground, &back, NULL) &&
           rb_homography_apply(&back, pixel, field);
}

RbSighting view_point(const View *view, RbPoint2 field)
{
    RbSighting sighting = { .kind = RB_SIGHT_POINT, .field = { field } };
    ck_assert(view_show(view, field, &sighting.pixel));
    return sighting;
}

RbSighting view_on_line(const View *view, RbPoint2 a, RbPoint2 b, double share)
{
    RbSighting sighting = { .kind = RB_SIGHT_LINE, .field = { a, b } };
    const RbPoint2 at = { a.x + share * (b.x - a.x), a.y + share * (b.y - a.y) };
    ck_assert(view_show(view, at, &sighting.pixel));
    return sighting;
}

static void miss(RbRandom *random, double sigma, RbPoint2 *pixel)
{
    pixel->x += sigma > 0 ? rb_random_normal(random, 0, sigma) : 0.0;
    pixel->y += sigma > 0 ? rb_random_normal(random, 0, sigma) : 0.0;
}

/* A place of the line that is in the picture. */
static bool pick_on_line(const View *view, RbRandom *random, RbPoint2 a, RbPoint2 b,
                         RbPoint2 *pixel)
{
    for (int tries = 0; tries < 12; tries++) {
        const double share = rb_random_unit(random);
        const RbPoint2 at = { a.x + share * (b.x - a.x), a.y + share * (b.y - a.y) };
        if (view_show(view, at, pixel)) {
            return true;
        }
    }
    return false;
}

int view_sightings(const View *view, RbRandom *random, int points, int lines,
                   double sigma, RbSighting *sightings)
{
    g_autoptr(GArray) landmarks = rb_landmark_all(RB_FIELD_COLLEGE);
    g_autoptr(GArray) all_lines = rb_field_line_all(RB_FIELD_COLLEGE);
    int n = 0;
    for (int tries = 0; n < points && tries < 4000; tries++) {
        const RbLandmark landmark =
            g_array_index(landmarks, RbLandmark,
                          (guint)rb_random_int(random, 0, (int)landmarks->len - 1));
        RbSighting s = { .kind = RB_SIGHT_POINT };
        const bool there = landmark.kind != RB_LANDMARK_SHORT_MARK &&
                           rb_landmark_point(RB_FIELD_COLLEGE, landmark, &s.field[0]) &&
                           view_show(view, s.field[0], &s.pixel);
        bool twice = false;
        for (int i = 0; i < n; i++) {
            twice = twice || (sightings[i].field[0].x == s.field[0].x &&
                              sightings[i].field[0].y == s.field[0].y);
        }
        if (there && !twice) {
            miss(random, sigma, &s.pixel);
            sightings[n++] = s;
        }
    }
    /* One line along the field for each across it: neither kind alone fixes a view. */
    for (int tries = 0; n < points + lines && tries < 4000; tries++) {
        const RbFieldLine line =
            g_array_index(all_lines, RbFieldLine,
                          (guint)rb_random_int(random, 0, (int)all_lines->len - 1));
        RbSighting s = { .kind = RB_SIGHT_LINE };
        const bool across = line.kind == RB_FIELD_LINE_YARD;
        if ((across == (n % 2 == 0) || tries > 2000) &&
            rb_field_line_ends(RB_FIELD_COLLEGE, line, &s.field[0], &s.field[1]) &&
            pick_on_line(view, random, s.field[0], s.field[1], &s.pixel)) {
            miss(random, sigma, &s.pixel);
            sightings[n++] = s;
        }
    }
    ck_assert_int_eq(n, points + lines);
    return n;
}

int view_marks(const View *view, RbFieldCode code, RbRandom *random, double sigma,
               RbFieldMark *marks)
{
    int n = 0;
    for (int line = 5; line <= 95; line += 5) {
        for (int side = 0; side < 2; side++) {
            static const RbLandmarkKind kinds[] = { RB_LANDMARK_HASH,
                                                    RB_LANDMARK_SIDELINE };
            for (size_t k = 0; k < G_N_ELEMENTS(kinds) && n < 12; k++) {
                RbFieldMark mark = {
                    .landmark = { .kind = kinds[k], .line = line, .far = side == 1 }
                };
                RbPoint2 place;
                if (rb_landmark_point(code, mark.landmark, &place) &&
                    view_show(view, place, &mark.pixel)) {
                    miss(random, sigma, &mark.pixel);
                    marks[n++] = mark;
                }
            }
        }
    }
    return n;
}
