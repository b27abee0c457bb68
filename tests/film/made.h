/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* What is dear to make (films encoded by ffmpeg, what ffmpeg says of them) is made once and kept
 * in a folder of the build, RB_TEST_MADE, or of several builds, RB_TEST_MADE_FOR_ALL. Every test
 * gets a copy of its own, with a time of its own, so that no index is found for it and it may be
 * altered. Without a folder it is made anew. */

/* Writes the file; fails the test if it cannot. */
typedef void (*Maker)(const char *path, const void *data);

/* recipe: all that the file depends on; a changed one makes it again. Returns: (transfer full):
 * the path of `name` in the test's folder. */
char *made_once(const char *name, const char *recipe, Maker make, const void *data);
/* The same of what follows from a film's bytes alone; `make` gets its path as data. */
char *made_of_film(const char *name, const char *recipe, const char *film, Maker make);
