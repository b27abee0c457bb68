/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/chart.h"
#include "rb/model/filter.h"
#include "rb/model/snap.h"
#include "rb/store/store.h"

/* Snaps with their penalties, charts with their looks. The pattern is that of staff.h. */

RbSnap *rb_store_load_snap(RbStore *store, RbSnapId id, GError **error);
/* Of one game (0: of all), by game date, then number, then id. */
GPtrArray *rb_store_list_snaps(RbStore *store, RbGameId game, GError **error);
/* Penalties and tags that the stored snap has and `snap` lacks are removed. A gain is stored when
 * has_gain is yes; any other has_gain is loaded as unknown. */
bool rb_store_save_snap(RbStore *store, const RbSnap *snap, GError **error);
bool rb_store_remove_snap(RbStore *store, RbSnapId id, GError **error);

RbChart *rb_store_load_chart(RbStore *store, RbChartId id, GError **error);
/* The chart of a snap by an author. UNKNOWN when there is none. */
RbChart *rb_store_find_chart(RbStore *store, RbSnapId snap, RbPersonId author,
                             GError **error);
/* Charts of a game's snaps (0: of all games) by one author (0: by all), by game date, snap
 * number, then author. */
GPtrArray *rb_store_list_charts(RbStore *store, RbGameId game, RbPersonId author,
                                GError **error);
/* For each charted snap of a game (0: of all games) the one chart that counts: that of the
 * game's lead, else the one changed last. In the same order. */
GPtrArray *rb_store_list_counting_charts(RbStore *store, RbGameId game, GError **error);
/* stamp_us is not saved: it is the time of the last action that changed the chart. */
bool rb_store_save_chart(RbStore *store, const RbChart *chart, GError **error);
bool rb_store_remove_chart(RbStore *store, RbChartId id, GError **error);

/* A snap that a filter accepts, and the chart that was looked at (the one that counts). */
typedef struct {
    RbSnapId snap;
    RbGameId game;
    RbChartId chart; /* 0: not charted */
} RbFound;

/* The snaps that a filter accepts, by game date, number, then id. Fields that SQL cannot
 * answer (technique, verdict, stage, read) are not applied; left: (out) (nullable): bit
 * 1 << RbField set for each such clause, for the caller to apply.
 * Returns: (transfer full): GArray of RbFound. */
GArray *rb_store_find_snaps(RbStore *store, const RbFilter *filter, uint32_t *left,
                            GError **error);
