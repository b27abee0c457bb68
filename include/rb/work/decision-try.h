/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <jansson.h>
#include <stdbool.h>

#include "rb/work/tagging.h"

/* A decision that nobody filmed: a snap and a chart with a concept called, alone when it is
 * full-field, else mirrored, and worked to the right; no rusher free, no pressure, no movement,
 * no contact, no fault. The rest is unknown until it is said. Returns: (transfer full) both. */
void rb_try_new(const RbConcept *concept, RbSnap **snap, RbChart **chart);
/* What was said of the picture shown is taken to be what is played, where that was not said. */
void rb_try_fill_played(RbChart *chart);
/* Tags of an object {"coverage": "cover-2", "read-1": "open", "release": 2.4, …}, which may also
 * stand under "tags". False with a sentence. `source` names it there. */
bool rb_try_take_json(const RbNames *names, const json_t *root, const char *source,
                      RbSnap *snap, RbChart *chart, GError **error);
