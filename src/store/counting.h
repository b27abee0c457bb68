/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Whose chart counts, as a subquery over a snap `s` and its game `g`: that of the game's
 * lead, else the one changed last. NULL when the snap has no chart. The inner query is there
 * because SQLite lets no ORDER BY of a subquery speak of the tables around it. */
#define RB_COUNTING_CHART                                                                 \
    "(SELECT y.id FROM (SELECT x.id AS id, x.author IS g.lead AS leads, h.stamp AS stamp" \
    " FROM chart x LEFT JOIN chart_change h ON h.chart = x.id"                            \
    " WHERE x.snap = s.id AND x.removed = 0) y"                                           \
    " ORDER BY y.leads DESC, y.stamp DESC, y.id LIMIT 1)"
