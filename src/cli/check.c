/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/work/checks.h"
#include "rb/work/json.h"
#include "rb/work/missing.h"

#include "cli.h"

/* number: counts the repairs of the game. */
static json_t *check_object(const RbGame *game, const RbCheck *check, int *number)
{
    json_t *object = json_object();
    json_object_set_new(object, "game", rb_json_id(game->id.value));
    json_object_set_new(object, "snap", rb_json_id(check->snap.value));
    json_object_set_new(object, "number", json_integer(check->number));
    json_object_set_new(object, "field", json_string(check->field));
    json_object_set_new(object, "expected",
                        check->expected != NULL ? json_string(check->expected)
                                                : json_null());
    json_object_set_new(object, "found",
                        check->found != NULL ? json_string(check->found) : json_null());
    json_object_set_new(object, "sentence", json_string(check->sentence));
    json_t *repairs = json_array();
    for (guint i = 0; i < check->repairs->len; i++) {
        const RbRepair *repair = check->repairs->pdata[i];
        json_array_append_new(repairs, json_pack("{s:i, s:s, s:i}", "repair", ++*number,
                                                 "sentence", repair->sentence, "left",
                                                 repair->left));
    }
    json_object_set_new(object, "repairs", repairs);
    return object;
}

/* Prints or collects what one game has. Returns how many; -1 with `error`. */
static int check_game(RbLibrary *library, const RbGame *game, bool open, json_t *array,
                      GError **error)
{
    g_autoptr(GPtrArray) checks =
        open ? rb_library_find_open_ends(library, game->id, error)
             : rb_library_check_game(library, game->id, error);
    if (checks == NULL) {
        return -1;
    }
    if (array == NULL && checks->len > 0) {
        printf("%s\n", game->title);
    }
    int number = 0;
    for (guint i = 0; i < checks->len; i++) {
        const RbCheck *check = checks->pdata[i];
        if (array != NULL) {
            json_array_append_new(array, check_object(game, check, &number));
        } else {
            printf("  %s\n", check->sentence);
            for (guint k = 0; k < check->repairs->len; k++) {
                const RbRepair *repair = check->repairs->pdata[k];
                printf(_("    repair %d: %s\n"), ++number, repair->sentence);
            }
        }
    }
    return (int)checks->len;
}

static CliExit run_repair(const CliArgs *args, GError **error)
{
    int64_t number = 0;
    g_autofree char *words = NULL;
    if (!cli_number(args, "repair", 1, 100000, 0, &number, error)) {
        return CLI_USAGE;
    }
    if (cli_value(args, "game") == NULL) {
        cli_usage_error(error, "--repair needs --game GAME.");
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    const RbGame *game =
        names != NULL ? rb_names_parse_game(names, cli_value(args, "game"), error) : NULL;
    if (game == NULL ||
        !rb_library_repair_game(library, game->id, (int)number, &words, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:s}", "done", words));
    } else {
        printf("%s\n", words);
    }
    return CLI_DONE;
}

static CliExit run_check(const CliArgs *args, GError **error)
{
    if (cli_value(args, "repair") != NULL) {
        return run_repair(args, error);
    }
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    if (names == NULL) {
        return CLI_REFUSED;
    }
    const RbGame *only = NULL;
    if (cli_value(args, "game") != NULL) {
        only = rb_names_parse_game(names, cli_value(args, "game"), error);
        if (only == NULL) {
            return CLI_REFUSED;
        }
    }
    json_t *array = cli_has(args, "json") ? json_array() : NULL;
    int total = 0;
    for (guint i = 0; i < rb_names_games(names)->len; i++) {
        const RbGame *game = rb_names_games(names)->pdata[i];
        const int n = only == NULL || only == game
                          ? check_game(library, game, cli_has(args, "open"), array, error)
                          : 0;
        if (n < 0) {
            json_decref(array);
            return CLI_REFUSED;
        }
        total += n;
    }
    if (array != NULL) {
        cli_print_json(json_pack("{s:o}", "findings", array));
    } else {
        printf(ngettext("%d finding.\n", "%d findings.\n", (gulong)total), total);
    }
    return CLI_DONE;
}

static const CliOption check_options[] = {
    { "game", N_("GAME"), N_("only this one: number in order of date, date, or title") },
    { "open", NULL, N_("tags that are required or that a verdict waits for, too") },
    { "repair", N_("N"),
      N_("carry out the proposal of that number; undo takes it back") },
    { "as", N_("NAME"), N_("the member of the staff who works (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_check = {
    .name = "check",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary =
        N_("Do the snaps of a game follow from one another, and the charts from them?"),
    .example = "check season.readbreak --game 3",
    .options = check_options,
    .run = run_check,
};
