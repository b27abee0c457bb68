/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/json.h"
#include "rb/work/many-charts.h"
#include "rb/work/two-charts.h"

#include "cli.h"

/* agreement: how far members of the staff tag alike, and where they differ. */

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
                 known->len > 0 ? known->str : _("nobody yet"));
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
        cli_table("<>>>", (const char *const[]){ _("Tag"), _("Both"), _("Same"),
                                                 _("Kappa"), NULL });
    for (guint i = 0; i < tags->len; i++) {
        const RbTagAgreement *tag = &g_array_index(tags, RbTagAgreement, i);
        cli_table_add(&table, g_strdup(_(tag->field->label)),
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
        puts(_("\nNo tag differs."));
        return;
    }
    puts("");
    CliTable table = cli_table(
        "><<<", (const char *const[]){ _("Snap"), _("Tag"), first, second, NULL });
    for (guint i = 0; i < differences->len; i++) {
        const RbDifference *one = differences->pdata[i];
        cli_table_add(&table, g_strdup_printf("%d", one->number),
                      g_strdup(_(one->field->label)), g_strdup(one->first_shown),
                      g_strdup(one->second_shown));
    }
    cli_table_print(&table);
}

static CliExit run_two(const CliArgs *args, RbLibrary *library, const RbNames *names,
                       const RbGame *game, GError **error)
{
    const RbPerson *first = find_person(names, cli_word(args, 1), error);
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
        printf(_("%s and %s have charted no snap of %s both.\n"), first->name,
               second->name, game->title);
    } else {
        print_tags(tags);
        print_differences(differences, first->name, second->name);
        puts(_(
            "\nKappa: 1 is always alike, 0 no more than chance would bring (Cohen 1960)."));
    }
    return CLI_DONE;
}

static const char *name_of(const RbNames *names, RbPersonId id)
{
    const RbPerson *person = rb_names_find_person(names, id);
    return person != NULL ? person->name : "?";
}

static json_t *many_json(const RbManyCharts *charts)
{
    json_t *tags = json_array();
    json_t *disagreements = json_array();
    json_t *habits = json_array();
    for (guint i = 0; i < charts->tags->len; i++) {
        const RbTagAlpha *tag = &g_array_index(charts->tags, RbTagAlpha, i);
        json_array_append_new(
            tags, json_pack("{s:s, s:i, s:i, s:o}", "tag", tag->field->token, "snaps",
                            tag->snaps, "alike", tag->alike, "alpha",
                            tag->has_alpha ? json_real(tag->alpha) : json_null()));
    }
    for (guint i = 0; i < charts->disagreements->len; i++) {
        const RbDisagreement *one = charts->disagreements->pdata[i];
        json_t *said = json_object();
        for (guint k = 0; k < one->said->len; k++) {
            const RbSaid *by = &g_array_index(one->said, RbSaid, k);
            json_object_set_new(said, name_of(charts->names, by->person),
                                json_string(by->shown));
        }
        json_array_append_new(disagreements, json_pack("{s:o, s:i, s:s, s:o}", "snap",
                                                       rb_json_id(one->snap.value),
                                                       "number", one->number, "tag",
                                                       one->field->token, "said", said));
    }
    for (guint i = 0; i < charts->habits->len; i++) {
        const RbHabit *habit = charts->habits->pdata[i];
        json_array_append_new(habits,
                              json_pack("{s:s, s:s, s:s, s:i, s:i, s:f}", "who",
                                        name_of(charts->names, habit->person), "tag",
                                        habit->field->token, "value", habit->shown,
                                        "snaps", habit->snaps, "said", habit->said,
                                        "others", habit->others));
    }
    return json_pack("{s:o, s:o, s:o}", "tags", tags, "disagreements", disagreements,
                     "habits", habits);
}

static void print_alphas(const RbManyCharts *charts)
{
    CliTable table =
        cli_table("<>>>", (const char *const[]){ _("Tag"), _("Snaps"), _("All alike"),
                                                 _("Alpha"), NULL });
    for (guint i = 0; i < charts->tags->len; i++) {
        const RbTagAlpha *tag = &g_array_index(charts->tags, RbTagAlpha, i);
        cli_table_add(
            &table, g_strdup(_(tag->field->label)), g_strdup_printf("%d", tag->snaps),
            g_strdup_printf("%d", tag->alike),
            tag->has_alpha ? g_strdup_printf("%.2f", tag->alpha) : g_strdup("-"));
    }
    cli_table_print(&table);
}

static void print_disagreements(const RbManyCharts *charts)
{
    puts("");
    CliTable table =
        cli_table("><<", (const char *const[]){ _("Snap"), _("Tag"), _("Said"), NULL });
    for (guint i = 0; i < charts->disagreements->len; i++) {
        const RbDisagreement *one = charts->disagreements->pdata[i];
        GString *text = g_string_new(NULL);
        for (guint k = 0; k < one->said->len; k++) {
            const RbSaid *by = &g_array_index(one->said, RbSaid, k);
            g_string_append_printf(text, "%s%s: %s", k > 0 ? ", " : "",
                                   name_of(charts->names, by->person), by->shown);
        }
        cli_table_add(&table, g_strdup_printf("%d", one->number),
                      g_strdup(_(one->field->label)), g_string_free(text, FALSE));
    }
    cli_table_print(&table);
}

static void print_habits(const RbManyCharts *charts)
{
    for (guint i = 0; i < charts->habits->len; i++) {
        const RbHabit *habit = charts->habits->pdata[i];
        if (i == 0) {
            puts(_("\nWho tends to call what, on the snaps that others tagged too:"));
        }
        printf(_("  %s calls %s \"%s\" on %d of %d snaps, the others on %.1f.\n"),
               name_of(charts->names, habit->person), _(habit->field->label),
               habit->shown, habit->said, habit->snaps, habit->others);
    }
}

/* people: named, or NULL for all who charted the game. */
static CliExit run_many(const CliArgs *args, RbLibrary *library, const RbGame *game,
                        const GArray *people, GError **error)
{
    g_autoptr(RbManyCharts) charts =
        rb_library_compare_people(library, game->id, people, error);
    if (charts == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(many_json(charts));
    } else if (charts->tags->len == 0) {
        printf(_("No two people have charted the same snap of %s.\n"), game->title);
    } else {
        print_alphas(charts);
        print_disagreements(charts);
        print_habits(charts);
        puts(_("\nAlpha: 1 is always alike, 0 no more than chance would bring "
               "(Krippendorff)."));
    }
    return CLI_DONE;
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
    if (game == NULL) {
        return CLI_REFUSED;
    }
    if (args->words->len == 3) {
        return run_two(args, library, names, game, error);
    }
    g_autoptr(GArray) people = g_array_new(FALSE, FALSE, sizeof(RbPersonId));
    for (guint i = 1; i < args->words->len; i++) {
        const RbPerson *person = find_person(names, args->words->pdata[i], error);
        if (person == NULL) {
            return CLI_REFUSED;
        }
        g_array_append_val(people, person->id);
    }
    return run_many(args, library, game, people->len > 0 ? people : NULL, error);
}

static const CliOption agreement_options[] = {
    { "game", N_("GAME"), N_("number in order of date, date, or title") },
    { NULL, NULL, NULL },
};

const CliCommand cli_agreement = {
    .name = "agreement",
    .words = N_("LIBRARY [NAME…]"),
    .least = 1,
    .most = -1,
    .summary = N_(
        "How far members of the staff tag alike: kappa of two, alpha of more (all, if none "
        "is named), where they differ, who tends to call what."),
    .example = "agreement season.readbreak \"Dana Holt\" \"Lee Marsh\" --game 3",
    .options = agreement_options,
    .run = run_agreement,
};
