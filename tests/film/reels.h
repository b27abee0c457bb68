/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/frames.h"

/* Opens and waits; fails the test on error. */
RbReel *reel_must_open(const char *path);

/* Fetches a frame; fails the test on error. */
RbPicture *reel_must_get(RbReel *reel, int64_t ordinal, const RbFrameOptions *options);

/* The number that the frame shows, read from a grey picture as coded. */
int reel_code(RbReel *reel, int64_t ordinal);

/* Ends the reel and its thread, so that leaks and races show in this test. */
void reel_must_close(RbReel *reel);

/* A shuffled list of 0 to n-1. Returns: (transfer full). */
int *shuffled(int n, uint64_t seed);
