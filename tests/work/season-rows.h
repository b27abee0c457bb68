/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/stats/columns.h"
#include "rb/work/season.h"

/* The season's dropbacks as the figures see them: judged by the engine, with success and
 * points. Free with g_array_unref(). Returns: (transfer full): of RbDropback, by game and
 * number. */
GArray *season_rows(const RbSeason *season);

/* The rows of one pairing, or, when `other` is true, all others. */
GArray *season_rows_of(const GArray *rows, RbConceptId concept, RbTermId coverage,
                       bool other);
