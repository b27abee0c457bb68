/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "pyramid.h"

/* Corners of a picture, and where they went. */

/* The best corner of each cell of a grid, as many as there are, at most `most`. */
int rb_flow_corners(const Pyramid *pyramid, RbPoint2 *corners, int most);
/* Where `from` of one picture is in the other; `to` starts as the guess. False if it cannot be
 * told: too plain, gone, changed. */
bool rb_flow_follow(const Pyramid *before, const Pyramid *after, RbPoint2 from,
                    RbPoint2 *to);
