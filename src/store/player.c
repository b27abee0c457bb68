/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/staff.h"

#include "tables.h"

static const RbColumn columns[] = {
    RB_ID(RbPlayer, team, "team"),
    RB_NAME(RbPlayer, jersey, "jersey"),
    RB_TEXT(RbPlayer, name, "name"),
};

static void *make(void)
{
    return rb_player_new((RbPlayerId){ 0 }, (RbTeamId){ 0 }, "", NULL);
}

const RbTable rb_player_table = {
    "player", "player",
    columns,  G_N_ELEMENTS(columns),
    make,     (GDestroyNotify)rb_player_free,
};

#define BY_JERSEY " ORDER BY t.team, CAST(t.jersey AS INTEGER), t.jersey, t.id"

RbPlayer *rb_store_load_player(RbStore *store, RbPlayerId id, GError **error)
{
    return rb_row_load(store, &rb_player_table, id.value, error);
}

GPtrArray *rb_store_list_players(RbStore *store, RbTeamId team, GError **error)
{
    if (team.value == 0) {
        return rb_row_list(store, &rb_player_table, "WHERE t.removed = 0" BY_JERSEY, NULL,
                           0, error);
    }
    return rb_row_list(store, &rb_player_table,
                       "WHERE t.team = ? AND t.removed = 0" BY_JERSEY, &team.value, 1,
                       error);
}

bool rb_store_save_player(RbStore *store, const RbPlayer *player, GError **error)
{
    return rb_row_save(store, &rb_player_table, player, error);
}
