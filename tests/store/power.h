/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/base/random.h"

/* A disk whose power fails. The VFS "power" passes everything to the real one and keeps beside
 * each database and log what had reached the platter (what was synced) and what had not. What
 * a failure leaves is what was synced and some part of the rest, as disks reorder and tear
 * writes: none of it, a random half of the writes, or random 512-byte pieces of them. */
typedef enum { POWER_NONE, POWER_HALF, POWER_TORN, POWER_KINDS } PowerKind;

/* Called before every write and before and after every sync; it may call power_image(). */
typedef void (*PowerMoment)(void *data);

/* Registers the VFS. moment: (nullable). */
void power_install(PowerMoment moment, void *data);

/* Writes to `to` (and its log) what a failure now would leave of the library at `path`. */
void power_image(RbRandom *random, PowerKind kind, const char *path, const char *to);
