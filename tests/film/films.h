/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/film/writer.h"

/* Films made while the tests run. Paths are in the test's own folder. Returns: (transfer full). */

/* With the product's own writer: `frames` frames numbered from 0. Fails the test on error. */
char *film_write(const char *name, const RbWriterOptions *options, int frames);

/* The usual: 160x90 at 30 a second, closed groups of 15. */
char *film_write_plain(const char *name, int frames);

/* Raw 4:2:0 frames for the command line of ffmpeg, which is the independent encoder here. */
char *film_write_raw(const char *name, int width, int height, int frames);
/* Numbered from `first`. */
char *film_write_raw_from(const char *name, int width, int height, int first, int frames);

/* Runs a program with stdin from nothing and its words thrown away; false if it fails. NULL
 * ends the arguments. */
bool run_program(const char *program, ...) __attribute__((sentinel));

/* Makes `name` from raw frames with `ffmpeg ARGUMENTS…`. Fails the test on error. */
char *film_encode(const char *name, int frames, ...) __attribute__((sentinel));

/* What a program prints, NULL on failure. Returns: (transfer full). */
char *read_program(const char *program, ...) __attribute__((sentinel));
