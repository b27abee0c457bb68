/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

/* Comparing small grey pictures. */

#define SCENE_WIDTH 96
#define SCENE_HEIGHT 54
#define SCENE_PIXELS (SCENE_WIDTH * SCENE_HEIGHT)

typedef struct {
    int64_t frame;
    double mean;
    double spread; /* mean distance from the mean, in levels of 255 */
    uint8_t pixels[SCENE_PIXELS];
} SceneView;

/* Fills mean and spread from the pixels. */
void rb_scene_view_measure(SceneView *view);

typedef struct {
    double rest; /* what no shift explains, as a share of the pictures' spread: 0 the same
                    picture, about 1 two that have nothing in common */
    int dx;
    int dy;
} SceneMatch;

/* The best shift of b over a, at most `reach` pixels sideways and half of it up and down, and
 * what is left when each block of the picture may move a little on its own beside it; equal but
 * for brightness and contrast counts as the same. */
SceneMatch rb_scene_match(const SceneView *a, const SceneView *b, int reach);

/* The same for a camera that swings: as far sideways as leaves a strip of both to compare. */
SceneMatch rb_scene_match_far(const SceneView *a, const SceneView *b);

/* What is left at one given shift in the middle one of the blocks: something that came before the
 * lens and covers less than half of the picture does not count. */
double rb_scene_match_at(const SceneView *a, const SceneView *b, int dx, int dy);

/* The same, trying zooms too (b larger or smaller by up to twice). */
double rb_scene_match_zoomed(const SceneView *a, const SceneView *b, int reach);
