/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"

/* What a film is, whatever it is called and wherever it lies.
 *
 * Fingerprint, version 1: "f1:" and 64 hexadecimal digits, the SHA-256 (FIPS 180-4) of
 *   the size of the file, 8 bytes, big-endian;
 *   the first MiB;
 *   sixteen blocks of 64 KiB, block i (1 to 16) starting at size / 17 * i (whole division);
 *   the last MiB,
 * blocks cut off at the end of the file. A file of at most 4 MiB is hashed whole after its
 * size. So a film of any length costs the reading of 3 MiB, and two films that differ only in
 * a few packets in the middle may share a fingerprint; two different recordings do not. */

/* Reads at most about 4 MiB of the file, on the calling thread: a worker's job.
 * bytes: (out) (nullable): size. cancel: (nullable). Returns: (transfer full). */
char *rb_film_fingerprint(const char *path, int64_t *bytes, RbCancel *cancel,
                          GError **error);

/* True if `text` has the form of a fingerprint. */
bool rb_film_fingerprint_is_valid(const char *text);

/* Looks in `folders` (NULL ends the list) and below for a file of that size and fingerprint;
 * names do not matter, links to folders are not followed, folders that cannot be read are
 * passed over. Returns: (transfer full) (nullable): NULL without an error when there is none. */
char *rb_film_find_moved(const char *fingerprint, int64_t bytes,
                         const char *const *folders, RbCancel *cancel,
                         RbProgress *progress, GError **error);
