/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/carry.h"

#include "scene.h"

/* Pictures of a snap whose cameras are known, and a person who clicks on them. */

typedef struct {
    RbDemoPlan plan;
    RbDemoAction *action; /* owned */
    RbDemoStadium *stadium;
    uint64_t seed; /* of the stadium, which is made with the first picture */
    RbDemoMask *mask;
    RbDemoCast cast;
    uint8_t *bytes; /* owned: of the picture drawn last */
    RbGrayPicture gray;
} Scene;

void scene_init(Scene *scene, RbFieldCode code, const RbDemoPlay *play, uint64_t seed);
void scene_clear(Scene *scene);
/* Draws a frame. Returns: (transfer none): scene->gray. */
const RbGrayPicture *scene_draw(Scene *scene, RbAngle angle, int frame);

/* True positions in the picture, and where a pixel is in truth. */
bool scene_show(const Scene *scene, RbAngle angle, int frame, RbPoint2 field,
                RbPoint2 *pixel);
bool scene_locate(const Scene *scene, RbAngle angle, int frame, RbPoint2 pixel,
                  RbPoint2 *field);

/* Marks as a person would pick them: points that are in the picture, far from one another, each
 * missed by `sigma` a coordinate. Returns how many. */
int scene_click(const Scene *scene, RbAngle angle, int frame, int most, double sigma,
                RbRandom *random, RbSighting *sightings);
