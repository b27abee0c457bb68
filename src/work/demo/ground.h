/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/camera.h"

#include "raster.h"

/* Brightness of the turf, as a picture of the ground from above in three sizes, and of a block
 * of the crowd. */
typedef struct {
    uint8_t *levels[3]; /* owned: one byte a texel */
} RbDemoTurf;

typedef struct {
    uint8_t *planes[3]; /* owned: luma and chroma, a byte a texel */
} RbDemoCrowd;

void rb_demo_turf_init(RbDemoTurf *turf, uint64_t seed);
void rb_demo_turf_clear(RbDemoTurf *turf);
/* Every pixel below the horizon; those above get the colour of dusk. */
void rb_demo_turf_draw(const RbDemoTurf *turf, const RbProjection *projection,
                       RbDemoFrame *frame);

void rb_demo_crowd_init(RbDemoCrowd *crowd, uint64_t seed);
void rb_demo_crowd_clear(RbDemoCrowd *crowd);
/* The plane origin + s across + t up, for t of 0 and more; a block is repeated along s. */
void rb_demo_crowd_draw(const RbDemoCrowd *crowd, const RbProjection *projection,
                        RbPoint3 origin, RbPoint3 across, RbPoint3 up,
                        RbDemoFrame *frame);
