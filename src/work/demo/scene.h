/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "plan.h"

/* One frame of a snap as one of the two cameras sees it. */

typedef struct {
    RbDemoKit kits[2];            /* offense, defence */
    int jerseys[RB_DEMO_PLAYERS]; /* numbers */
    int skins[RB_DEMO_PLAYERS];   /* 0 to 2 */
    uint64_t seed;                /* of the noise */
} RbDemoCast;

/* Numbers by position, all different in a team. */
void rb_demo_cast_init(RbDemoCast *cast, uint64_t seed);

/* The camera at a frame of the action: in the press box, or high behind the offense's end. */
RbCamera rb_demo_scene_camera(const RbDemoAction *action, RbAngle angle, int frame);

/* canvas: stadium, mask and frame set; its camera is set here. */
void rb_demo_scene_draw(RbDemoCanvas *canvas, const RbDemoAction *action,
                        const RbDemoCast *cast, RbAngle angle, int frame);
