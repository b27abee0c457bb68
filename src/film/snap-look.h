/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

/* How much moves on the field from one small grey picture to another, the camera's own motion
 * taken out. */

#define SNAP_WIDTH 240
#define SNAP_HEIGHT 135
#define SNAP_PIXELS (SNAP_WIDTH * SNAP_HEIGHT)
#define SNAP_BLOCK_WIDTH 10
#define SNAP_BLOCK_HEIGHT 9
#define SNAP_COLUMNS (SNAP_WIDTH / SNAP_BLOCK_WIDTH)
#define SNAP_ROWS (SNAP_HEIGHT / SNAP_BLOCK_HEIGHT)
#define SNAP_BLOCKS (SNAP_COLUMNS * SNAP_ROWS)

typedef struct {
    uint8_t pixels[SNAP_PIXELS];
} SnapView;

/* What the camera did: a point of the first picture is found in the second at
 * (x + dx + zoom (x - middle), y + dy + zoom (y - middle)), in pixels. */
typedef struct {
    double dx;
    double dy;
    double zoom;
} SnapCamera;

/* Least squares over the picture's slopes, men who move weighted down (Lucas and Kanade 1981,
 * with the weights of Geman and McClure). camera: (inout): where to begin, for instance what
 * the camera did before. */
void rb_snap_camera_fit(const SnapView *a, const SnapView *b, SnapCamera *camera);

/* Mean difference of each block that the camera does not explain, in levels of 255. */
void rb_snap_blocks(const SnapView *a, const SnapView *b, const SnapCamera *camera,
                    float blocks[SNAP_BLOCKS]);
