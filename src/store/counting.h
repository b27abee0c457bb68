/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Whose chart counts, as a subquery over a snap `s` and its game `g`: that of the game's
 * lead, else the one changed last. NULL when the snap has no chart. */
#define RB_COUNTING_CHART                                                                \
    "(SELECT x.id FROM chart x LEFT JOIN chart_change h ON h.chart = x.id"               \
    " WHERE x.snap = s.id AND x.removed = 0"                                             \
    " ORDER BY x.author IS g.lead DESC, h.stamp DESC, x.id LIMIT 1)"
