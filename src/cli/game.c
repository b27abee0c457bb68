/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/work/games.h"
#include "rb/work/json.h"

#include "cli.h"

/* game add: a game that film and snaps can go to. */

static bool take_word(const CliArgs *args, const char *option, const RbWords *words,
                      int *value, GError **error)
{
    const char *text = cli_value(args, option);
    if (text == NULL || rb_words_parse(words, text, value)) {
        return true;
    }
    g_autofree char *all = rb_words_list(words);
    return cli_usage_error(error, "--%s %s: say one of %s.", option, text, all);
}

static CliExit run_game_add(const CliArgs *args, GError **error)
{
    int kind = RB_GAME_GAME;
    int rules = RB_RULES_COLLEGE;
    if (!take_word(args, "kind", &rb_game_kind_words, &kind, error) ||
        !take_word(args, "rules", &rb_rules_words, &rules, error)) {
        return CLI_USAGE;
    }
    const RbGameEntry entry = { .title = (char *)cli_word(args, 1),
                                .played_on = (char *)cli_word(args, 2),
                                .them = (char *)cli_value(args, "them"),
                                .us = (char *)cli_value(args, "us"),
                                .kind = (RbGameKind)kind,
                                .rules = (RbRules)rules };
    g_autofree char *words = NULL;
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    const RbGameId id = library != NULL
                            ? rb_library_add_game(library, &entry, &words, error)
                            : (RbGameId){ 0 };
    if (id.value == 0) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o, s:o}", "game", rb_json_id(id.value), "words",
                                 rb_json_text(words)));
    } else {
        printf("%s.\n", words);
    }
    return CLI_DONE;
}

static const CliOption game_options[] = {
    { "kind", N_("KIND"), N_("game, practice or seven-on-seven (default: game)") },
    { "rules", N_("RULES"), N_("high-school, college or pro (default: college)") },
    { "them", N_("TEAM"), N_("the other team; made known if it is new") },
    { "us", N_("TEAM"), N_("our team (default: the one the library has)") },
    { "as", N_("NAME"), N_("the member of the staff who works (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_game_add = {
    .name = "game add",
    .words = N_("LIBRARY TITLE DATE"),
    .least = 3,
    .most = 3,
    .summary =
        N_("Adds a game that nobody logged yet, so that film and snaps can go to it."),
    .example = "game add season.readbreak \"Week 3 at Harbor City\" 2026-09-12",
    .options = game_options,
    .run = run_game_add,
};
