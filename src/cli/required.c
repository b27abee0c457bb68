/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/work/json.h"
#include "rb/work/rail.h"

#include "cli.h"

/* required: the tags that the staff asks of every dropback. */

static void print_table(const char *list)
{
    CliTable table = cli_table(
        "<<<", (const char *const[]){ _("Tag"), _("Name"), _("Required"), NULL });
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        const bool is = rb_required_has(list, &fields[i]);
        cli_table_add(&table, g_strdup(_(fields[i].label)), g_strdup(fields[i].token),
                      g_strdup(rb_words_label(&rb_yes_no_words, is ? RB_YES : RB_NO)));
    }
    cli_table_print(&table);
}

static void print_json(const char *list, const char *changed)
{
    json_t *array = json_array();
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        if (rb_required_has(list, &fields[i])) {
            json_array_append_new(array, json_string(fields[i].token));
        }
    }
    cli_print_json(json_pack("{s:o, s:o}", "required", array, "changed",
                             changed != NULL ? rb_json_text(changed) : json_null()));
}

/* "motion=yes", "gain=no" or "default" into the list. */
static bool take_word(const char *word, char **list, GError **error)
{
    if (strcmp(word, "default") == 0) {
        g_free(*list);
        *list = g_strdup(rb_required_default);
        return true;
    }
    g_auto(GStrv) parts = g_strsplit(word, "=", 2);
    const bool yes = parts[1] != NULL && strcmp(parts[1], "yes") == 0;
    if (parts[1] == NULL || (!yes && strcmp(parts[1], "no") != 0)) {
        return cli_usage_error(error, "%s: say TAG=yes, TAG=no or default.", word);
    }
    const RbTaggable *field = rb_taggable_parse(parts[0], error);
    if (field == NULL) {
        return false;
    }
    char *with = rb_required_with(*list, field, yes);
    g_free(*list);
    *list = with;
    return true;
}

static bool change(const CliArgs *args, RbLibrary *library, char **list, char **changed,
                   GError **error)
{
    for (int i = 1; cli_word(args, i) != NULL; i++) {
        if (!take_word(cli_word(args, i), list, error)) {
            return false;
        }
    }
    return rb_library_set_required(library, *list, changed, error);
}

static CliExit run_required(const CliArgs *args, GError **error)
{
    const bool writes = cli_word(args, 1) != NULL;
    const char *path = cli_word(args, 0);
    g_autofree char *changed = NULL;
    g_autoptr(RbLibrary) library =
        writes ? rb_library_open(path, cli_value(args, "as"), error)
               : rb_library_open_to_read(path, error);
    g_autofree char *list =
        library != NULL ? rb_library_get_required(library, error) : NULL;
    if (list == NULL) {
        return CLI_REFUSED;
    }
    g_autoptr(GError) failure = NULL;
    if (writes && !change(args, library, &list, &changed, &failure)) {
        const bool usage = g_error_matches(failure, CLI_ERROR_USAGE, 0);
        g_propagate_error(error, g_steal_pointer(&failure));
        return usage ? CLI_USAGE : CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        print_json(list, changed);
        return CLI_DONE;
    }
    if (writes) {
        printf("%s.\n\n", changed != NULL ? changed : _("Nothing changed"));
    }
    print_table(list);
    return CLI_DONE;
}

static const CliOption required_options[] = {
    { "as", N_("NAME"), N_("the member of the staff who asks (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_required = {
    .name = "required",
    .words = N_("LIBRARY [TAG=yes|TAG=no|default…]"),
    .least = 1,
    .most = -1,
    .summary =
        N_("The tags that the staff requires of every dropback: shown, or changed."),
    .example = "required season.readbreak motion=yes pressure=no",
    .options = required_options,
    .run = run_required,
};
