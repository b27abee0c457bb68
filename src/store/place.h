/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

/* What can be told of a file before the engine is let near it: nothing here writes. */

/* A plain file on a local disk that looks like a whole library of at most `version`. */
bool rb_place_check_library(const char *path, int version, GError **error);

/* The file and its folder can be written (the engine keeps two files beside it). */
bool rb_place_check_writable(const char *path, GError **error);

/* `path` is free and its folder, on a local disk, can take a new file. */
bool rb_place_check_free(const char *path, GError **error);

/* What a file system is called when it reaches over a network, where the engine's locks and
 * shared memory do not hold; NULL for a local one. type: f_type of statfs(2). */
const char *rb_place_network_name(uint64_t type);

/* Tells this file in this place from its copies. Returns: (transfer full). */
char *rb_place_identity(const char *path);

/* The absolute path with links followed, as the engine does for the files beside it; what
 * is not there stays as named. Returns: (transfer full). */
char *rb_place_resolve(const char *path);

/* Gives the file `from` the name `to`, which must be free. False with EXISTS or FAILED. */
bool rb_place_rename_new(const char *from, const char *to, GError **error);
