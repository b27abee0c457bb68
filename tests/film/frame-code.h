/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "rb/film/picture.h"
#include "rb/film/writer.h"

/* Pictures that say which frame they are: the upper sixth of the height holds 16 equal
 * columns, the frame number in binary, most significant bit left, white for one; the next
 * sixth holds the same inverted. Read from the middle half of each block, it survives any
 * size, pixel shape, bit depth, range and lossy coding, and damage shows as unreadable. */

/* Draws picture `number` into 4:2:0 planes. Below the code a pattern moves, so that the
 * encoder has motion to predict. */
void frame_code_draw(const RbWriterFrame *frame, int width, int height, int number);

/* The number, or -1 if it cannot be read. gray: any first plane with luma in it. */
int frame_code_read(const uint8_t *gray, size_t stride, int width, int height);

/* The same from a picture of any pixel layout. */
int frame_code_of(const RbPicture *picture);
