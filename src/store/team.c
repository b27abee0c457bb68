/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/staff.h"

#include "tables.h"

static const RbColumn columns[] = {
    RB_NAME(RbTeam, name, "name"),
    RB_BOOL(RbTeam, ours, "ours"),
};

static void *make(void)
{
    return rb_team_new((RbTeamId){ 0 }, "", false);
}

const RbTable rb_team_table = {
    "team", "team", columns, G_N_ELEMENTS(columns), make, (GDestroyNotify)rb_team_free,
};

RbTeam *rb_store_load_team(RbStore *store, RbTeamId id, GError **error)
{
    return rb_row_load(store, &rb_team_table, id.value, error);
}

GPtrArray *rb_store_list_teams(RbStore *store, GError **error)
{
    return rb_row_list(store, &rb_team_table,
                       "WHERE t.removed = 0 ORDER BY t.ours DESC, t.name, t.id", NULL, 0,
                       error);
}

bool rb_store_save_team(RbStore *store, const RbTeam *team, GError **error)
{
    return rb_row_save(store, &rb_team_table, team, error);
}
