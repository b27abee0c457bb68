/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/games.h"

#include <glib/gi18n-lib.h>
#include <stdio.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/store/staff.h"
#include "rb/work/error.h"

#include "library-private.h"

void rb_game_entry_free(RbGameEntry *entry)
{
    if (entry != NULL) {
        g_free(entry->title);
        g_free(entry->played_on);
        g_free(entry->them);
        g_free(entry->us);
        g_free(entry);
    }
}

RbGameId rb_game_id_of(const char *played_on, const char *title)
{
    return (RbGameId){ rb_id_from_text("game", played_on, title, NULL) };
}

/* Four digits, two, two, and a day that the month has. */
static bool is_date(const char *text)
{
    int year = 0;
    int month = 0;
    int day = 0;
    return text != NULL && g_regex_match_simple("^\\d{4}-\\d\\d-\\d\\d$", text, 0, 0) &&
           sscanf(text, "%4d-%2d-%2d", &year, &month, &day) == 3 && year > 0 &&
           month >= 1 && month <= 12 && day >= 1 &&
           g_date_valid_dmy((GDateDay)day, (GDateMonth)month, (GDateYear)year);
}

static bool check_entry(const RbNames *names, const char *title, const char *played_on,
                        GError **error)
{
    if (*title == '\0') {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            _("The game has no name yet: say which it is, such as \"Week 3 "
              "at Harbor City\"."));
    }
    if (!is_date(played_on)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("\"%s\" is not a date: write year, month and day, such as "
                              "2026-09-12."),
                            played_on);
    }
    const GPtrArray *games = rb_names_games(names);
    for (guint i = 0; i < games->len; i++) {
        const RbGame *game = games->pdata[i];
        if (strcmp(game->played_on, played_on) == 0 && strcmp(game->title, title) == 0) {
            return rb_error_set(
                error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                _("The library has \"%s\" of %s already: choose it, or give "
                  "this one another name."),
                title, played_on);
        }
    }
    return true;
}

/* A name as people compare them. */
static bool same_name(const char *a, const char *b)
{
    g_autofree char *one = g_utf8_casefold(a, -1);
    g_autofree char *other = g_utf8_casefold(b, -1);
    return strcmp(one, other) == 0;
}

/* The team of that name, made known if need be; of a blank name ours, or none. */
static bool find_team(RbStore *store, const char *name, bool ours, RbTeamId *id,
                      GError **error)
{
    g_autoptr(GPtrArray) teams = rb_store_list_teams(store, error);
    g_autofree char *trimmed = g_strstrip(g_strdup(name != NULL ? name : ""));
    id->value = 0;
    if (teams == NULL) {
        return false;
    }
    for (guint i = 0; i < teams->len; i++) {
        const RbTeam *team = teams->pdata[i];
        if (*trimmed == '\0' ? ours && team->ours : same_name(team->name, trimmed)) {
            *id = team->id;
            return true;
        }
    }
    if (*trimmed == '\0') {
        return true;
    }
    g_autofree char *folded = g_utf8_casefold(trimmed, -1);
    *id = (RbTeamId){ rb_id_from_text("team", folded, NULL) };
    g_autoptr(RbTeam) team = rb_team_new(*id, trimmed, ours);
    return rb_store_save_team(store, team, error);
}

static bool save(RbLibrary *library, const RbGameEntry *entry, RbGame *game,
                 GError **error)
{
    RbStore *store = rb_library_store(library);
    return find_team(store, entry->us, true, &game->us, error) &&
           find_team(store, entry->them, false, &game->them, error) &&
           rb_store_save_game(store, game, error);
}

RbGameId rb_library_add_game(RbLibrary *library, const RbGameEntry *entry, char **words,
                             GError **error)
{
    const RbGameId none = { 0 };
    g_autofree char *title =
        g_strstrip(g_strdup(entry->title != NULL ? entry->title : ""));
    g_autofree char *played_on =
        g_strstrip(g_strdup(entry->played_on != NULL ? entry->played_on : ""));
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names == NULL || !check_entry(names, title, played_on, error)) {
        return none;
    }
    g_autoptr(RbGame) game = rb_game_new(rb_game_id_of(played_on, title), title);
    game->played_on = g_steal_pointer(&played_on);
    game->kind = entry->kind;
    game->rules = entry->rules;
    g_autofree char *said = rb_told("game \"%s\" of %s added", title, game->played_on);
    if (!rb_library_begin(library, said, error)) {
        return none;
    }
    if (!save(library, entry, game, error)) {
        rb_library_rollback(library);
        return none;
    }
    if (!rb_library_commit(library, true, error)) {
        return none;
    }
    if (words != NULL) {
        *words = rb_told_show(said);
    }
    return game->id;
}
