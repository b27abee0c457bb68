/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/staff.h"

#include "row.h"

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

static const RbTable games = {
    "game", "game", columns, G_N_ELEMENTS(columns), make, (GDestroyNotify)rb_game_free,
};

RbGame *rb_store_load_game(RbStore *store, RbGameId id, GError **error)
{
    return rb_row_load(store, &games, id.value, error);
}

GPtrArray *rb_store_list_games(RbStore *store, GError **error)
{
    return rb_row_list(store, &games,
                       "WHERE t.removed = 0 ORDER BY t.played_on, t.title, t.id", NULL, 0,
                       error);
}

bool rb_store_save_game(RbStore *store, const RbGame *game, GError **error)
{
    return rb_row_save(store, &games, game, error);
}

bool rb_store_remove_game(RbStore *store, RbGameId id, GError **error)
{
    return rb_row_remove(store, &games, id.value, error);
}
