/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure.h"

#include <math.h>

#include "digits.h"

/* Yards. A player of 6 ft 1 in with his helmet on. */
#define THIGH 0.47
#define SHIN 0.46
#define TRUNK 0.60
#define SHOULDER 0.25 /* half the width between the shoulder joints */
#define HIP 0.13
#define UPPER_ARM 0.32
#define FOREARM 0.32
#define HEAD_UP 0.20 /* neck to the middle of the head */
#define HEAD 0.165

/* Shadows fall this far along x and y for each yard of height. */
#define SUN_X 0.55
#define SUN_Y 0.45

typedef struct {
    RbPoint3 hip;
    RbPoint3 neck;
    RbPoint3 head;
    RbPoint3 hips[2]; /* left, right */
    RbPoint3 knees[2];
    RbPoint3 ankles[2];
    RbPoint3 toes[2];
    RbPoint3 shoulders[2];
    RbPoint3 elbows[2];
    RbPoint3 hands[2];
    RbPoint3 up;   /* unit, along the trunk */
    RbPoint3 left; /* unit */
    RbPoint3 front;
} Body;

static RbPoint3 plus(RbPoint3 a, RbPoint3 b, double by)
{
    return (RbPoint3){ a.x + by * b.x, a.y + by * b.y, a.z + by * b.z };
}

static double dot(RbPoint3 a, RbPoint3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static RbPoint3 minus(RbPoint3 a, RbPoint3 b)
{
    return plus(a, b, -1.0);
}

static RbPoint3 unit(RbPoint3 a)
{
    const double length = sqrt(dot(a, a));
    return length > 1e-9 ? plus((RbPoint3){ 0, 0, 0 }, a, 1.0 / length)
                         : (RbPoint3){ 0, 0, 1 };
}

/* side: 0 left, 1 right. Angles of thigh (forward above 0) and knee. */
static void leg_angles(const RbDemoPose *pose, int side, double *thigh, double *knee)
{
    const double phase = pose->phase + side * G_PI;
    *thigh = 0.72 * pose->stride * sin(phase) + 0.80 * pose->crouch;
    *knee =
        0.08 + 1.45 * pose->crouch + pose->stride * (0.25 + 1.25 * MAX(0.0, cos(phase)));
    *thigh += pose->down * (-1.35 - *thigh);
    *knee += pose->down * (0.25 - *knee);
}

/* Two bones from `from` toward `hand`, bent at the elbow toward `bend`. */
static void place_arm(RbPoint3 from, RbPoint3 *hand, RbPoint3 bend, RbPoint3 *elbow)
{
    const double longest = UPPER_ARM + FOREARM - 0.005;
    RbPoint3 way = minus(*hand, from);
    double length = sqrt(dot(way, way));
    way = unit(way);
    if (length > longest) {
        length = longest;
        *hand = plus(from, way, length);
    }
    length = MAX(length, 0.05);
    const double along =
        (UPPER_ARM * UPPER_ARM - FOREARM * FOREARM + length * length) / (2.0 * length);
    const double off = sqrt(MAX(0.0, UPPER_ARM * UPPER_ARM - along * along));
    const RbPoint3 side = unit(plus(bend, way, -dot(bend, way)));
    *elbow = plus(plus(from, way, along), side, off);
}

/* The hand from its shoulder: forward, outward, up. */
static RbPoint3 hand_offset_of(const RbDemoPose *pose, RbDemoArms arms, double reach,
                               int side)
{
    const double swing = -pose->stride * sin(pose->phase + side * G_PI);
    const double bent = MIN(1.0, 1.6 * pose->stride);
    const RbPoint3 loose = { 0.06 + 0.10 * bent + 0.34 * swing, 0.08 - 0.06 * bent,
                             -0.58 + 0.24 * bent + 0.12 * fabs(swing) };
    switch (arms) {
    case RB_DEMO_ARMS_LOOSE:
        return loose;
    case RB_DEMO_ARMS_READY:
        return (RbPoint3){ 0.34, -0.06, -0.34 };
    case RB_DEMO_ARMS_GROUND:
        return side == 1 ? (RbPoint3){ 0.10, -0.05, -0.64 }
                         : (RbPoint3){ 0.05, 0.02, -0.40 };
    case RB_DEMO_ARMS_BLOCK:
        return (RbPoint3){ 0.52, -0.06, 0.02 };
    case RB_DEMO_ARMS_HOLD:
        return (RbPoint3){ 0.24, -0.20, -0.18 };
    case RB_DEMO_ARMS_THROW:
        if (side == 0) {
            return (RbPoint3){ 0.42 - 0.35 * reach, 0.05, -0.05 - 0.3 * reach };
        }
        return (RbPoint3){ -0.28 + 0.85 * reach, 0.16 - 0.2 * reach,
                           0.34 + 0.25 * sin(G_PI * reach) - 0.2 * reach };
    case RB_DEMO_ARMS_CATCH:
        return (RbPoint3){ loose.x + reach * (0.46 - loose.x), loose.y - reach * 0.20,
                           loose.z + reach * (0.22 - loose.z) };
    case RB_DEMO_ARMS_CARRY:
        return side == 1 ? (RbPoint3){ 0.20, -0.04, -0.28 } : loose;
    }
    g_assert_not_reached();
}

static RbPoint3 hand_offset(const RbDemoPose *pose, int side)
{
    const RbPoint3 before =
        hand_offset_of(pose, pose->arms_before, pose->reach_before, side);
    const RbPoint3 now = hand_offset_of(pose, pose->arms, pose->reach, side);
    return plus(before, minus(now, before), pose->arms_share);
}

static void place_legs(const RbDemoPose *pose, RbPoint3 forward, Body *body)
{
    double drop[2];
    double thigh[2];
    double knee[2];
    for (int side = 0; side < 2; side++) {
        leg_angles(pose, side, &thigh[side], &knee[side]);
        drop[side] = THIGH * cos(thigh[side]) + SHIN * cos(thigh[side] - knee[side]);
    }
    /* The lower foot stands on the ground. */
    const double standing = MAX(drop[0], drop[1]) + 0.06;
    const double height = standing + pose->down * (0.20 - standing);
    body->hip = (RbPoint3){ pose->at.x, pose->at.y, height };
    body->hip = plus(body->hip, forward, -0.25 * pose->crouch * pose->lean);
    for (int side = 0; side < 2; side++) {
        const double out = (side == 0 ? 1.0 : -1.0) * (HIP + 0.14 * pose->crouch);
        const RbPoint3 down = { 0.0, 0.0, -1.0 };
        const double shin = thigh[side] - knee[side];
        body->hips[side] = plus(body->hip, body->left, (side == 0 ? 1.0 : -1.0) * HIP);
        const RbPoint3 from = plus(body->hip, body->left, out);
        body->knees[side] = plus(plus(from, forward, THIGH * sin(thigh[side])), down,
                                 THIGH * cos(thigh[side]));
        body->ankles[side] = plus(plus(body->knees[side], forward, SHIN * sin(shin)),
                                  down, SHIN * cos(shin));
        body->toes[side] = plus(plus(body->ankles[side], forward, 0.17), down,
                                0.02 - 0.12 * MIN(0.0, shin) * pose->stride);
        body->knees[side].z = MAX(body->knees[side].z, 0.08);
        body->ankles[side].z = MAX(body->ankles[side].z, 0.05);
        body->toes[side].z = MAX(body->toes[side].z, 0.04);
    }
}

static void place_trunk(const RbDemoPose *pose, RbPoint3 forward, Body *body)
{
    const double lean = pose->lean + pose->down * (1.45 - pose->lean);
    const double nod = 0.45 * lean; /* he looks up from his lean */
    body->up = (RbPoint3){ forward.x * sin(lean), forward.y * sin(lean), cos(lean) };
    body->front = (RbPoint3){ forward.x * cos(lean), forward.y * cos(lean), -sin(lean) };
    body->neck = plus(body->hip, body->up, TRUNK);
    const RbPoint3 look = { forward.x * sin(nod), forward.y * sin(nod), cos(nod) };
    body->head = plus(body->neck, look, HEAD_UP);
}

static Body body_of(const RbDemoPose *pose)
{
    Body body;
    const RbPoint3 forward = { cos(pose->heading), sin(pose->heading), 0.0 };
    body.left = (RbPoint3){ -forward.y, forward.x, 0.0 };
    place_legs(pose, forward, &body);
    place_trunk(pose, forward, &body);
    for (int side = 0; side < 2; side++) {
        const double sign = side == 0 ? 1.0 : -1.0;
        body.shoulders[side] =
            plus(plus(body.neck, body.left, sign * SHOULDER), body.up, -0.06);
        const RbPoint3 offset = hand_offset(pose, side);
        RbPoint3 hand = plus(body.shoulders[side], forward, offset.x);
        hand = plus(hand, body.left, sign * offset.y);
        hand.z = MAX(hand.z + offset.z, 0.04);
        const RbPoint3 bend = { body.left.x * sign * 0.5 - forward.x,
                                body.left.y * sign * 0.5 - forward.y, -0.8 };
        place_arm(body.shoulders[side], &hand, bend, &body.elbows[side]);
        body.hands[side] = hand;
    }
    return body;
}

/* How much the ball is the right hand's alone. */
static double right_hand_share(RbDemoArms arms)
{
    return arms == RB_DEMO_ARMS_THROW || arms == RB_DEMO_ARMS_CARRY ? 1.0 : 0.5;
}

RbPoint3 rb_demo_figure_hands(const RbDemoPose *pose)
{
    const Body body = body_of(pose);
    const double before = right_hand_share(pose->arms_before);
    const double share =
        before + pose->arms_share * (right_hand_share(pose->arms) - before);
    const RbPoint3 middle =
        plus(body.hands[0], minus(body.hands[1], body.hands[0]), share);
    return plus(middle, (RbPoint3){ 0, 0, 1 }, 0.05);
}

static RbPoint3 shade(RbPoint3 p)
{
    return (RbPoint3){ p.x + SUN_X * p.z, p.y + SUN_Y * p.z, 0.0 };
}

void rb_demo_figure_shadow(const RbDemoCanvas *canvas, const RbDemoPose *pose)
{
    const Body body = body_of(pose);
    for (int side = 0; side < 2; side++) {
        rb_demo_canvas_bar(canvas, shade(body.hips[side]), 0.10, shade(body.knees[side]),
                           0.08);
        rb_demo_canvas_bar(canvas, shade(body.knees[side]), 0.08, shade(body.toes[side]),
                           0.07);
    }
    rb_demo_canvas_bar(canvas, shade(body.hip), 0.15, shade(body.neck), 0.22);
    rb_demo_canvas_bar(canvas, shade(body.head), 0.13, shade(body.head), 0.13);
}

static void blend(const RbDemoCanvas *canvas, RbDemoColour colour, double opacity)
{
    RbDemoFrame frame = canvas->frame;
    rb_demo_mask_blend(canvas->mask, &frame, colour, opacity);
}

static const RbDemoColour black = { 24, 128, 128 };
static const RbDemoColour light = { 232, 126, 130 };

static void draw_leg(const RbDemoCanvas *canvas, const Body *body, int side,
                     const RbDemoKit *kit, double dark)
{
    rb_demo_canvas_bar(canvas, body->ankles[side], 0.07, body->toes[side], 0.055);
    blend(canvas, black, 1.0);
    rb_demo_canvas_bar(canvas, body->knees[side], 0.085, body->ankles[side], 0.06);
    blend(canvas, rb_demo_colour_mix(kit->socks, black, dark), 1.0);
    rb_demo_canvas_bar(canvas, body->hips[side], 0.145, body->knees[side], 0.10);
    blend(canvas, rb_demo_colour_mix(kit->pants, black, dark), 1.0);
}

static void draw_arm(const RbDemoCanvas *canvas, const Body *body, int side,
                     const RbDemoKit *kit, RbDemoColour skin, double dark)
{
    rb_demo_canvas_bar(canvas, body->elbows[side], 0.065, body->hands[side], 0.055);
    blend(canvas, rb_demo_colour_mix(skin, black, dark), 1.0);
    rb_demo_canvas_bar(canvas, body->shoulders[side], 0.115, body->elbows[side], 0.07);
    blend(canvas, rb_demo_colour_mix(kit->sleeve, black, dark), 1.0);
}

/* The trunk with its pads, lit from the upper left. */
static void draw_trunk(const RbDemoCanvas *canvas, const Body *body, const RbDemoKit *kit,
                       RbPoint3 toward_left)
{
    const RbPoint3 waist = plus(body->hip, body->up, 0.06);
    const RbPoint3 chest = plus(body->neck, body->up, -0.14);
    rb_demo_canvas_bar(canvas, body->hip, 0.18, body->hip, 0.18);
    blend(canvas, kit->pants, 1.0);
    rb_demo_canvas_bar(canvas, waist, 0.165, chest, 0.225);
    rb_demo_canvas_bar(canvas, body->shoulders[0], 0.135, body->shoulders[1], 0.135);
    blend(canvas, kit->jersey, 1.0);
    const RbPoint3 lit = plus(plus(chest, toward_left, 0.10), body->up, 0.06);
    rb_demo_canvas_bar(canvas, plus(waist, toward_left, 0.07), 0.07, lit, 0.10);
    blend(canvas, light, 0.16);
    rb_demo_canvas_bar(canvas, plus(waist, toward_left, -0.10), 0.06,
                       plus(chest, toward_left, -0.13), 0.09);
    blend(canvas, black, 0.22);
}

static void draw_head(const RbDemoCanvas *canvas, const Body *body, const RbDemoKit *kit,
                      RbDemoColour skin, RbPoint3 toward_left, RbPoint3 toward_camera)
{
    const RbPoint3 sky = { 0.0, 0.0, 1.0 };
    const RbPoint3 face = plus(plus(body->head, body->front, 0.115), sky, -0.05);
    const bool seen = dot(body->front, toward_camera) > -0.25;
    rb_demo_canvas_bar(canvas, body->head, HEAD, body->head, HEAD);
    blend(canvas, kit->helmet, 1.0);
    if (seen) {
        rb_demo_canvas_bar(canvas, face, 0.075, face, 0.075);
        blend(canvas, skin, 0.9);
        rb_demo_canvas_bar(canvas, plus(face, body->left, 0.07), 0.022,
                           plus(face, body->left, -0.07), 0.022);
        blend(canvas, kit->mask, 1.0);
    }
    const RbPoint3 glint = plus(plus(body->head, toward_left, 0.055), sky, 0.065);
    rb_demo_canvas_bar(canvas, glint, 0.055, glint, 0.055);
    blend(canvas, light, 0.45);
}

/* Digits on the chest or the back, whichever the camera sees. */
static void draw_jersey_number(const RbDemoCanvas *canvas, const Body *body,
                               const RbDemoKit *kit, int jersey, RbPoint3 toward_camera)
{
    const double facing = dot(body->front, toward_camera);
    const int digits = jersey > 9 ? 2 : 1;
    const double high = 0.30;
    const double wide = digits == 2 ? 0.155 : 0.18;
    const double gap = 0.03;
    if (fabs(facing) < 0.35) {
        return;
    }
    const double way = facing > 0.0 ? 1.0 : -1.0; /* reading direction along his left */
    const RbPoint3 middle =
        plus(plus(body->neck, body->up, -0.28), body->front, way * 0.2);
    for (int i = 0; i < digits; i++) {
        RbDemoStroke strokes[RB_DEMO_STROKES_MAX];
        const int digit = digits == 1 ? jersey : i == 0 ? jersey / 10 : jersey % 10;
        const int n = rb_demo_digit(digit % 10, strokes);
        const double start = digits == 1 ? -wide / 2.0
                             : i == 0    ? -gap / 2.0 - wide
                                         : gap / 2.0;
        for (int s = 0; s < n; s++) {
            RbPoint3 points[RB_DEMO_STROKE_CORNERS];
            for (int k = 0; k < strokes[s].n; k++) {
                const RbPoint2 p = strokes[s].points[k];
                points[k] = plus(plus(middle, body->left, way * (start + wide * p.x)),
                                 body->up, high * (p.y - 0.5));
            }
            rb_demo_canvas_polygon(canvas, points, strokes[s].n);
        }
    }
    blend(canvas, kit->number, 0.95);
}

/* Legs, trunk and head only: for those who stand and watch. */
static void draw_plain(const RbDemoCanvas *canvas, const Body *body, const RbDemoKit *kit)
{
    for (int side = 0; side < 2; side++) {
        rb_demo_canvas_bar(canvas, body->hips[side], 0.14, body->ankles[side], 0.08);
    }
    blend(canvas, kit->pants, 1.0);
    for (int side = 0; side < 2; side++) {
        rb_demo_canvas_bar(canvas, body->shoulders[side], 0.12, body->hands[side], 0.06);
    }
    rb_demo_canvas_bar(canvas, body->hip, 0.17, body->neck, 0.22);
    blend(canvas, kit->jersey, 1.0);
    rb_demo_canvas_bar(canvas, body->head, HEAD, body->head, HEAD);
    blend(canvas, kit->helmet, 1.0);
}

void rb_demo_figure_draw(const RbDemoCanvas *canvas, const RbDemoPose *pose,
                         const RbDemoKit *kit, int skin, int jersey)
{
    static const RbDemoColour skins[3] = { { 160, 112, 144 },
                                           { 122, 114, 146 },
                                           { 84, 118, 140 } };
    const Body body = body_of(pose);
    if (jersey < 0) {
        draw_plain(canvas, &body, kit);
        return;
    }
    const RbPoint3 eye = canvas->camera.position;
    const RbPoint3 toward_camera = unit(minus(eye, body.neck));
    const RbPoint3 toward_left = { -cos(canvas->camera.pan), sin(canvas->camera.pan),
                                   0.0 };
    const int far = dot(body.left, toward_camera) > 0.0 ? 1 : 0; /* the side away */
    const RbDemoColour tone = skins[skin];
    draw_leg(canvas, &body, far, kit, 0.35);
    draw_arm(canvas, &body, far, kit, tone, 0.3);
    draw_leg(canvas, &body, 1 - far, kit, 0.0);
    draw_trunk(canvas, &body, kit, toward_left);
    draw_jersey_number(canvas, &body, kit, jersey, toward_camera);
    draw_head(canvas, &body, kit, tone, toward_left, toward_camera);
    draw_arm(canvas, &body, 1 - far, kit, tone, 0.0);
}

/* A regulation ball is 11 in long and 6.7 in thick; drawn a little larger, as a film that
 * was sharpened shows it. */
#define BALL_HALF_LENGTH 0.22
#define BALL_RADIUS 0.135

void rb_demo_ball_draw(const RbDemoCanvas *canvas, RbPoint3 at, RbPoint3 axis)
{
    const double tip = 0.045;
    rb_demo_canvas_bar(canvas, plus(at, axis, -BALL_HALF_LENGTH + tip), tip, at,
                       BALL_RADIUS);
    rb_demo_canvas_bar(canvas, at, BALL_RADIUS, plus(at, axis, BALL_HALF_LENGTH - tip),
                       tip);
    blend(canvas, rb_demo_colour(150, 80, 42), 1.0);
    const RbPoint3 seam = plus(at, (RbPoint3){ 0, 0, 1 }, 0.05);
    for (int end = -1; end <= 1; end += 2) { /* the light stripes near the tips */
        const RbPoint3 stripe = plus(seam, axis, end * 0.09);
        rb_demo_canvas_bar(canvas, stripe, 0.045, stripe, 0.045);
    }
    blend(canvas, rb_demo_colour(245, 240, 230), 0.95);
}

void rb_demo_ball_shadow(const RbDemoCanvas *canvas, RbPoint3 at)
{
    rb_demo_canvas_bar(canvas, shade(at), 0.12, shade(at), 0.12);
}
