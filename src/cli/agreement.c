/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/json.h"
#include "rb/work/two-charts.h"

#include "cli.h"

/* agreement: how far two members of the staff tag alike, and where they differ. */

static const RbPerson *find_person(const RbNames *names, const char *name, GError **error)
{
    const GPtrArray *people = rb_names_people(names);
    g_autoptr(GString) known = g_string_new(NULL);
    for (guint i = 0; i < people->len; i++) {
        const RbPerson *person = people->pdata[i];
        if (g_utf8_collate(person->name, name) == 0) {
            return person;
        }
        g_string_append_printf(known, "%s%s", i > 0 ? ", " : "", person->name);
    }
    rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                 "Nobody called \"%s\" has charted in this library; there is %s.", name,
                 known->len > 0 ? known->str : "nobody yet");
    return NULL;
}

static json_t *tags_json(const GArray *tags)
{
    json_t *array = json_array();
    for (guint i = 0; i < tags->len; i++) {
        const RbTagAgreement *tag = &g_array_index(tags, RbTagAgreement, i);
        json_array_append_new(
            array,
            json_pack("{s:s, s:i, s:i, s:o, s:o}", "tag", tag->field->token, "both",
                      tag->both, "same", tag->same, "kappa",
                      tag->has_kappa ? json_real(tag->kappa) : json_null(), "error",
                      tag->has_kappa ? json_real(tag->error) : json_null()));
    }
    return array;
}

static json_t *differences_json(const GPtrArray *differences)
{
    json_t *array = json_array();
    for (guint i = 0; i < differences->len; i++) {
        const RbDifference *one = differences->pdata[i];
        json_array_append_new(array,
                              json_pack("{s:o, s:i, s:s, s:s, s:s}", "snap",
                                        rb_json_id(one->snap.value), "number",
                                        one->number, "tag", one->field->token, "first",
                                        one->first, "second", one->second));
    }
    return array;
}

static void print_tags(const GArray *tags)
{
    CliTable table =
        cli_table((const char *const[]){ "Tag", ">Both", ">Same", ">Kappa", NULL });
    for (guint i = 0; i < tags->len; i++) {
        const RbTagAgreement *tag = &g_array_index(tags, RbTagAgreement, i);
        cli_table_add(&table, g_strdup(tag->field->label),
                      g_strdup_printf("%d", tag->both), g_strdup_printf("%d", tag->same),
                      tag->has_kappa ? g_strdup_printf("%.2f", tag->kappa)
                                     : g_strdup("-"));
    }
    cli_table_print(&table);
}

static void print_differences(const GPtrArray *differences, const char *first,
                              const char *second)
{
    if (differences->len == 0) {
        puts("\nNo tag differs.");
        return;
    }
    puts("");
    CliTable table =
        cli_table((const char *const[]){ ">Snap", "Tag", first, second, NULL });
    for (guint i = 0; i < differences->len; i++) {
        const RbDifference *one = differences->pdata[i];
        cli_table_add(&table, g_strdup_printf("%d", one->number),
                      g_strdup(one->field->label), g_strdup(one->first_shown),
                      g_strdup(one->second_shown));
    }
    cli_table_print(&table);
}

static CliExit run_agreement(const CliArgs *args, GError **error)
{
    if (cli_value(args, "game") == NULL) {
        cli_usage_error(error, "agreement needs --game GAME.");
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    const RbGame *game =
        names != NULL ? rb_names_parse_game(names, cli_value(args, "game"), error) : NULL;
    const RbPerson *first =
        game != NULL ? find_person(names, cli_word(args, 1), error) : NULL;
    const RbPerson *second =
        first != NULL ? find_person(names, cli_word(args, 2), error) : NULL;
    if (second == NULL) {
        return CLI_REFUSED;
    }
    g_autoptr(GArray) tags =
        rb_library_measure_agreement(library, game->id, first->id, second->id, error);
    g_autoptr(GPtrArray) differences =
        tags != NULL
            ? rb_library_list_differences(library, game->id, first->id, second->id, error)
            : NULL;
    if (differences == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o, s:o}", "tags", tags_json(tags), "differences",
                                 differences_json(differences)));
    } else if (tags->len == 0) {
        printf("%s and %s have charted no snap of %s both.\n", first->name, second->name,
               game->title);
    } else {
        print_tags(tags);
        print_differences(differences, first->name, second->name);
        puts(
            "\nKappa: 1 is always alike, 0 no more than chance would bring (Cohen 1960).");
    }
    return CLI_DONE;
}

static const CliOption agreement_options[] = {
    { "game", "GAME", "number in order of date, date, or title" },
    { NULL, NULL, NULL },
};

const CliCommand cli_agreement = {
    .name = "agreement",
    .words = "LIBRARY NAME NAME",
    .least = 3,
    .most = 3,
    .summary = "How far two members of the staff tag alike, and where they differ.",
    .example = "agreement season.readbreak \"Dana Holt\" \"Lee Marsh\" --game 3",
    .options = agreement_options,
    .run = run_agreement,
};
