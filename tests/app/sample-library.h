/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/model/ids.h"

/* A small library with two games and film, made for the tests of the window: not the demo
 * season, so that these tests stand on their own. */
#define RB_SAMPLE_SNAPS 24
#define RB_SAMPLE_FILMED 3
/* Wide: 30 frames a second, tight: 60, started at another moment. */
#define RB_SAMPLE_WIDE_SNAP 30
#define RB_SAMPLE_WIDE_LENGTH 90
#define RB_SAMPLE_TIGHT_SNAP 24
#define RB_SAMPLE_TIGHT_LENGTH 150

/* Makes `path` and, with film, two films in its folder. Each frame has its number in its
 * picture: rb_sample_frame_code(). */
bool rb_sample_library_make(const char *path, bool film, GError **error);

/* Snap `number` (1 and up) of the first game. */
RbSnapId rb_sample_snap_id(int number);

/* Reads the frame's number out of BGRA bytes of a frame of the sample's films. */
int64_t rb_sample_frame_code(const uint8_t *bgra, int width, int height, size_t stride);
