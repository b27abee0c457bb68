/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/checks.h"

/* What is still to do in a game: dropbacks that lack tags the staff requires, dropbacks whose
 * verdict waits for a tag, each with the one that would settle most, and the findings of rb_library_check_game(). A finding names its field, so
 * that a list can jump to the snap and open that tag. In order of snaps.
 * Returns: (transfer full) (nullable): of RbCheck, with `error` set. */
GPtrArray *rb_library_find_open_ends(RbLibrary *library, RbGameId game, GError **error);
