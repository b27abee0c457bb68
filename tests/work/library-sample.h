/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/library.h"

#include "random-season.h"

/* A library in the running test's folder that holds a random season; all charts by one other
 * person. Returns: (transfer full): open, for "Coach". */
RbLibrary *sample_library_new(RbRandom *random, RandomSeason *season);

/* Opens it once more for another member of the staff. */
RbLibrary *sample_library_open(const char *person);
/* Its path. Returns: (transfer full). */
char *sample_library_path(void);
/* The SHA-256 of its content. Returns: (transfer full). */
char *sample_library_hash(void);

/* Sets one tag, or fails the test. */
void sample_tag(RbLibrary *library, RbSnapId snap, const char *field, const char *value);
