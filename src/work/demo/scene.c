/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene.h"

#include <math.h>
#include <stdlib.h>

/* Where the cameras stand, in yards. */
#define WIDE_Y (-40.0)
#define WIDE_Z 21.0
#define WIDE_VIEW 41.0 /* yards across the picture at the aim */
#define WIDE_AIM_Y 22.5
#define TIGHT_BACK 14.0 /* behind the end line */
#define TIGHT_Z 13.0
#define TIGHT_VIEW 27.0
#define HAND_RAD 0.0006 /* how much a hand on the tripod shakes */

#define SIDELINE_PEOPLE 46
#define SHADOW 0.45

static RbDemoKit kit(RbDemoColour jersey, RbDemoColour pants, RbDemoColour helmet,
                     RbDemoColour number)
{
    return (RbDemoKit){ .jersey = jersey,
                        .sleeve = jersey,
                        .pants = pants,
                        .socks = jersey,
                        .helmet = helmet,
                        .mask = rb_demo_colour(150, 150, 154),
                        .number = number };
}

void rb_demo_cast_init(RbDemoCast *cast, uint64_t seed)
{
    /* Lowest and highest number of each place, common practice. */
    static const int ranges[RB_DEMO_PLAYERS][2] = {
        { 2, 18 },  { 60, 79 }, { 60, 79 }, { 60, 79 }, { 60, 79 }, { 60, 79 },
        { 80, 89 }, { 80, 89 }, { 80, 89 }, { 80, 89 }, { 20, 44 }, { 90, 99 },
        { 90, 99 }, { 90, 99 }, { 90, 99 }, { 40, 59 }, { 40, 59 }, { 20, 39 },
        { 20, 39 }, { 20, 39 }, { 20, 39 }, { 20, 39 },
    };
    RbRandom random;
    rb_random_seed_stream(&random, seed, 4);
    const RbDemoColour white = rb_demo_colour(238, 238, 234);
    cast->kits[0] = kit(rb_demo_colour(30, 48, 124), rb_demo_colour(196, 198, 202),
                        rb_demo_colour(24, 38, 100), white);
    cast->kits[1] = kit(white, rb_demo_colour(122, 26, 34), rb_demo_colour(136, 24, 32),
                        rb_demo_colour(136, 20, 30));
    cast->seed = seed;
    bool taken[2][100] = { { false } };
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        bool *team = taken[i < RB_DEMO_OFFENSE ? 0 : 1];
        do {
            cast->jerseys[i] = rb_random_int(&random, ranges[i][0], ranges[i][1]);
        } while (team[cast->jerseys[i]]);
        team[cast->jerseys[i]] = true;
        cast->skins[i] = rb_random_int(&random, 0, 2);
    }
}

RbCamera rb_demo_scene_camera(const RbDemoAction *action, RbAngle angle, int frame)
{
    const RbPoint2 focus = action->focus[frame];
    RbCamera camera = { .width = RB_DEMO_WIDTH, .height = RB_DEMO_HEIGHT };
    RbPoint3 target;
    RbPoint3 line = { action->line_x, RB_FIELD_WIDTH_YD / 2.0, 0.0 };
    double view = WIDE_VIEW;
    if (angle == RB_ANGLE_TIGHT) {
        const double way = action->attacks_right ? 1.0 : -1.0;
        const double end = action->attacks_right
                               ? -RB_FIELD_END_ZONE_YD
                               : RB_FIELD_LENGTH_YD + RB_FIELD_END_ZONE_YD;
        camera.position =
            (RbPoint3){ end - way * TIGHT_BACK, RB_FIELD_WIDTH_YD / 2.0 + 1.5, TIGHT_Z };
        target = (RbPoint3){ focus.x + way * 5.0, focus.y, 0.6 };
        view = TIGHT_VIEW;
    } else {
        camera.position = (RbPoint3){ RB_FIELD_LENGTH_YD / 2.0, WIDE_Y, WIDE_Z };
        target = (RbPoint3){ focus.x, WIDE_AIM_Y + 0.1 * (focus.y - WIDE_AIM_Y), 0.0 };
        line.y = WIDE_AIM_Y;
    }
    rb_camera_frame_width(&camera, line, view);
    rb_camera_aim(&camera, target);
    const double t = frame * RB_DEMO_STEP_S;
    camera.pan += HAND_RAD * (sin(2.1 * t + action->line_x) + 0.6 * sin(5.3 * t));
    camera.tilt += 0.5 * HAND_RAD * (sin(1.7 * t) + 0.5 * sin(6.1 * t + 1.0));
    return camera;
}

/* One figure to be drawn, with how far away it is. */
typedef struct {
    const RbDemoPose *pose;
    const RbDemoKit *kit;
    int skin;
    int jersey;
    double depth;
} Figure;

static int by_depth(const void *a, const void *b)
{
    const double da = ((const Figure *)a)->depth;
    const double db = ((const Figure *)b)->depth;
    return da < db ? 1 : da > db ? -1 : 0;
}

/* True when a figure that stands there may be seen; its depth is set. */
static bool is_seen(const RbDemoCanvas *canvas, RbPoint2 at, double *depth)
{
    RbPoint2 image;
    const double room = 80.0;
    if (!rb_projection_apply(&canvas->projection, (RbPoint3){ at.x, at.y, 1.0 }, &image,
                             depth)) {
        return false;
    }
    return image.x > -room && image.x < canvas->frame.width + room && image.y > -room &&
           image.y < canvas->frame.height + room;
}

/* Coaches and players who wait, between the 25s on both sides. */
static RbDemoPose waiting_pose(uint64_t seed, int number, int *skin)
{
    RbRandom random;
    rb_random_seed_stream(&random, seed, 100 + (uint64_t)number);
    const bool far = number % 2 == 0;
    RbDemoPose pose = { .phase = number };
    pose.at.x = 26.0 + 48.0 * rb_random_unit(&random);
    pose.at.y = (far ? 3.0 : 5.2) + 2.5 * rb_random_unit(&random);
    pose.at.y = far ? RB_FIELD_WIDTH_YD + pose.at.y : -pose.at.y;
    pose.heading = (far ? -1.0 : 1.0) * G_PI / 2.0 + rb_random_normal(&random, 0.0, 0.4);
    pose.lean = 0.05;
    *skin = rb_random_int(&random, 0, 2);
    return pose;
}

static void draw_ball(const RbDemoCanvas *canvas, const RbDemoAction *action, int frame)
{
    rb_demo_ball_draw(canvas, action->ball[frame], action->ball_axis[frame]);
}

static void draw_shadows(const RbDemoCanvas *canvas, const RbDemoAction *action,
                         const Figure *figures, int n, int frame)
{
    static const RbDemoColour dark = { 30, 122, 122 };
    RbDemoFrame picture = canvas->frame;
    for (int i = 0; i < n; i++) {
        rb_demo_figure_shadow(canvas, figures[i].pose);
    }
    rb_demo_ball_shadow(canvas, action->ball[frame]);
    rb_demo_mask_blend(canvas->mask, &picture, dark, SHADOW);
}

void rb_demo_scene_draw(RbDemoCanvas *canvas, const RbDemoAction *action,
                        const RbDemoCast *cast, RbAngle angle, int frame)
{
    canvas->camera = rb_demo_scene_camera(action, angle, frame);
    canvas->projection = rb_camera_projection(&canvas->camera);
    rb_demo_stadium_draw(canvas);
    rb_demo_stadium_draw_poles(canvas, action->line_x, action->gain_x);

    Figure figures[RB_DEMO_PLAYERS + SIDELINE_PEOPLE];
    RbDemoPose waiting[SIDELINE_PEOPLE];
    int n = 0;
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        Figure *figure = &figures[n];
        figure->pose = &action->poses[frame * RB_DEMO_PLAYERS + i];
        figure->kit = &cast->kits[i < RB_DEMO_OFFENSE ? 0 : 1];
        figure->skin = cast->skins[i];
        figure->jersey = cast->jerseys[i];
        n += is_seen(canvas, figure->pose->at, &figure->depth) ? 1 : 0;
    }
    for (int i = 0; i < SIDELINE_PEOPLE; i++) {
        Figure *figure = &figures[n];
        waiting[i] = waiting_pose(cast->seed, i, &figure->skin);
        figure->pose = &waiting[i];
        figure->kit = &cast->kits[i % 2];
        figure->jersey = -1;
        n += is_seen(canvas, waiting[i].at, &figure->depth) ? 1 : 0;
    }
    qsort(figures, (size_t)n, sizeof figures[0], by_depth);
    draw_shadows(canvas, action, figures, n, frame);

    double ball_depth = 0.0;
    RbPoint2 ball_image;
    bool ball_due = rb_projection_apply(&canvas->projection, action->ball[frame],
                                        &ball_image, &ball_depth);
    for (int i = 0; i < n; i++) {
        if (ball_due && figures[i].depth < ball_depth - 0.2) {
            draw_ball(canvas, action, frame);
            ball_due = false;
        }
        rb_demo_figure_draw(canvas, figures[i].pose, figures[i].kit, figures[i].skin,
                            figures[i].jersey);
    }
    if (ball_due) {
        draw_ball(canvas, action, frame);
    }
    const uint64_t noise = cast->seed * 1000003u + (uint64_t)frame * 2u +
                           (angle == RB_ANGLE_TIGHT ? 1u : 0u);
    rb_demo_stadium_grain(canvas, noise);
}
