/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "stadium.h"

/* A player as a figure of bars and discs with joints, in the field frame. */

typedef enum {
    RB_DEMO_ARMS_LOOSE,  /* hanging, or swinging when he runs */
    RB_DEMO_ARMS_READY,  /* before him */
    RB_DEMO_ARMS_GROUND, /* one hand on the ground */
    RB_DEMO_ARMS_BLOCK,
    RB_DEMO_ARMS_HOLD,  /* the ball at his chest, both hands */
    RB_DEMO_ARMS_THROW, /* `reach` 0 cocked to 1 followed through */
    RB_DEMO_ARMS_CATCH, /* `reach` 0 to 1: hands out and up */
    RB_DEMO_ARMS_CARRY, /* the ball under his right arm */
} RbDemoArms;

typedef struct {
    RbPoint2 at;    /* yards */
    double heading; /* where he faces: radians from +x toward +y */
    double phase;   /* of his stride, radians */
    double stride;  /* 0 standing to 1 at full speed */
    double crouch;  /* 0 upright to 1 */
    double lean;    /* of the trunk, radians forward */
    double reach;
    double down; /* 0 on his feet to 1 on the ground */
    RbDemoArms arms;
    RbDemoArms arms_before; /* from which they come */
    double reach_before;
    double arms_share; /* 0 as before to 1 as they are to be */
} RbDemoPose;

typedef struct {
    RbDemoColour jersey;
    RbDemoColour sleeve;
    RbDemoColour pants;
    RbDemoColour socks;
    RbDemoColour helmet;
    RbDemoColour mask;
    RbDemoColour number;
} RbDemoKit;

/* Middle of the hands that hold, throw or catch the ball. */
RbPoint3 rb_demo_figure_hands(const RbDemoPose *pose);

/* Adds the shadow on the ground to the mask; the caller blends all of them at once. */
void rb_demo_figure_shadow(const RbDemoCanvas *canvas, const RbDemoPose *pose);
/* skin: 0 to 2. jersey: the number; below 0: somebody who waits, drawn with less care. */
void rb_demo_figure_draw(const RbDemoCanvas *canvas, const RbDemoPose *pose,
                         const RbDemoKit *kit, int skin, int jersey);

/* The ball: a prolate body along the unit vector `axis`. */
void rb_demo_ball_draw(const RbDemoCanvas *canvas, RbPoint3 at, RbPoint3 axis);
void rb_demo_ball_shadow(const RbDemoCanvas *canvas, RbPoint3 at);
