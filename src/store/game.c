/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/staff.h"

#include "tables.h"

static const RbColumn columns[] = {
    RB_KNOWN_WORD(RbGame, kind, "kind", rb_game_kind_words),
    RB_KNOWN_WORD(RbGame, rules, "rules", rb_rules_words),
    RB_NAME(RbGame, played_on, "played_on"),
    RB_ID(RbGame, us, "us"),
    RB_ID(RbGame, them, "them"),
    RB_BOOL(RbGame, ours_only, "ours_only"),
    RB_ID(RbGame, lead, "lead"),
    RB_NAME(RbGame, title, "title"),
};

static void *make(void)
{
    return rb_game_new((RbGameId){ 0 }, "");
}

const RbTable rb_game_table = {
    "game", "game", columns, G_N_ELEMENTS(columns), make, (GDestroyNotify)rb_game_free,
};

RbGame *rb_store_load_game(RbStore *store, RbGameId id, GError **error)
{
    return rb_row_load(store, &rb_game_table, id.value, error);
}

GPtrArray *rb_store_list_games(RbStore *store, GError **error)
{
    return rb_row_list(store, &rb_game_table,
                       "WHERE t.removed = 0 ORDER BY t.played_on, t.title, t.id", NULL, 0,
                       error);
}

bool rb_store_save_game(RbStore *store, const RbGame *game, GError **error)
{
    return rb_row_save(store, &rb_game_table, game, error);
}

bool rb_store_remove_game(RbStore *store, RbGameId id, GError **error)
{
    return rb_row_remove(store, &rb_game_table, id.value, error);
}
