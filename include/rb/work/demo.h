/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"

/* The demo library: an invented team's season with two planted breaks, film of one game, and
 * the truth beside it. */
typedef struct {
    uint64_t seed;
    int film_snaps; /* how many snaps of the filmed game: 0 none, RB_DEMO_ALL_SNAPS all */
} RbDemoOptions;

#define RB_DEMO_ALL_SNAPS (-1)
#define RB_DEMO_FILM_SNAPS 12
#define RB_DEMO_SEED 1

RbDemoOptions rb_demo_options_default(void);

/* Where the truth about a demo library lies: "truth.json" in its folder.
 * Returns: (transfer full). */
char *rb_demo_truth_path(const char *path);

/* Writes the library at `path`, truth.json beside it, and films in the folder
 * "<library's name> film" beside it. Refuses when any of them is there. Cancelled or failed,
 * what was made is removed. cancel, progress: (nullable). */
bool rb_demo_make(const char *path, const RbDemoOptions *options, RbCancel *cancel,
                  RbProgress *progress, GError **error);
