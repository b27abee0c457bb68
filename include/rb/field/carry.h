/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stddef.h>
#include <stdint.h>

#include "rb/field/calibration.h"

/* A calibration made on one frame is carried to the frames about it while the camera turns and
 * zooms: corners of the picture are followed (B. D. Lucas, T. Kanade, "An iterative image
 * registration technique", 1981, on a pyramid of pictures; corners after J. Shi, C. Tomasi, "Good
 * features to track", 1994), the movement that most of them agree on is taken (M. Fischler,
 * R. Bolles, "Random sample consensus", 1981), and then the painted lines are looked for where
 * they should be, which takes away what had crept in. What the calibration does not know grows
 * with each step and shrinks with each line that is found. */

/* One picture, a byte a pixel. bytes: borrowed. */
typedef struct {
    const uint8_t *bytes;
    int width;
    int height;
    size_t stride;
} RbGrayPicture;

typedef enum {
    RB_CARRY_GOOD,
    RB_CARRY_LOOSE, /* a place is known to no better than RB_CARRY_LOOSE_YD: not to be used */
    RB_CARRY_LOST, /* the picture jumped or went blank: nothing could be followed; for good */
} RbCarryState;

/* Half the width of the 80 % interval of a place in the part of the picture that shows the
 * field. */
#define RB_CARRY_LOOSE_YD 0.75

typedef struct RbCarrier RbCarrier;

/* calibration: of `picture`, copied. Returns: (transfer full). */
RbCarrier *rb_carrier_new(RbFieldCode code, const RbCalibration *calibration,
                          const RbGrayPicture *picture);
void rb_carrier_free(RbCarrier *carrier); /* NULL is allowed */

/* Draws the calibration onto the painted lines of the picture that it stands on. False, and
 * nothing changed, when too few lines are found or they do not lie where they could. */
bool rb_carrier_sharpen(RbCarrier *carrier);

/* On to the next picture, the one after or before in the film; of the same size. */
RbCarryState rb_carrier_step(RbCarrier *carrier, const RbGrayPicture *picture);

RbCarryState rb_carrier_get_state(const RbCarrier *carrier);
/* Returns: (transfer none): of the picture stepped to last. */
const RbCalibration *rb_carrier_get_calibration(const RbCarrier *carrier);
/* Yards: see RB_CARRY_LOOSE_YD; infinite when lost. */
double rb_carrier_get_looseness(const RbCarrier *carrier);
/* How many corners agreed on the last movement, and places of lines that were found. */
int rb_carrier_get_followed(const RbCarrier *carrier);
int rb_carrier_get_found(const RbCarrier *carrier);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbCarrier, rb_carrier_free)
