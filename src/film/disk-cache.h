/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdint.h>

/* A folder of files that can be made again, kept within a number of bytes. */

/* readbreak/NAME in the user's cache folder. Returns: (transfer full). */
char *rb_disk_cache_folder(const char *name);
/* The file was used now. */
void rb_disk_cache_touch(const char *path);
/* Removes the files used longest ago whose names end with `suffix`, until all together are
 * within `budget` bytes, but never `keep` (nullable: a path). Returns the bytes left. */
int64_t rb_disk_cache_prune(const char *folder, const char *suffix, int64_t budget,
                            const char *keep);
