/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/footwork.h"

#include <glib/gi18n-lib.h>

#include "rb/work/json.h"

#include "cli.h"

/* footwork: the table of times behind clocks given as steps and hitches. */

static void print_json(const GArray *lines, const char *changed)
{
    json_t *array = json_array();
    for (guint i = 0; i < lines->len; i++) {
        const RbFootworkLine *line = &g_array_index(lines, RbFootworkLine, i);
        json_array_append_new(
            array, json_pack("{s:s, s:i, s:o, s:b, s:s?}", "key", line->key, "ms",
                             line->ms, "default_ms",
                             line->default_ms >= 0 ? json_integer(line->default_ms)
                                                   : json_null(),
                             "ours", (int)line->ours, "source", line->source));
    }
    cli_print_json(json_pack("{s:o, s:o}", "footwork", array, "changed",
                             changed != NULL ? rb_json_text(changed) : json_null()));
}

static void print_table(const GArray *lines)
{
    CliTable table = cli_table(
        "<><", (const char *const[]){ _("Footwork"), _("Time"), _("Source"), NULL });
    for (guint i = 0; i < lines->len; i++) {
        const RbFootworkLine *line = &g_array_index(lines, RbFootworkLine, i);
        cli_table_add(&table, g_strdup(line->key),
                      g_strdup_printf("%.2f s", line->ms / 1000.0),
                      rb_footwork_mark_text(line));
    }
    cli_table_print(&table);
}

/* The words after the library, one value each. */
static bool change(const CliArgs *args, RbLibrary *library, char **changed,
                   GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names == NULL) {
        return false;
    }
    RbFootwork footwork = *rb_names_footwork(names);
    for (int i = 1; cli_word(args, i) != NULL; i++) {
        if (!rb_footwork_assign(&footwork, cli_word(args, i), error)) {
            return false;
        }
    }
    return rb_library_set_footwork(library, &footwork, changed, error);
}

static CliExit run_footwork(const CliArgs *args, GError **error)
{
    const bool writes = cli_word(args, 1) != NULL;
    const char *path = cli_word(args, 0);
    g_autofree char *changed = NULL;
    g_autoptr(RbLibrary) library =
        writes ? rb_library_open(path, cli_value(args, "as"), error)
               : rb_library_open_to_read(path, error);
    if (library == NULL || (writes && !change(args, library, &changed, error))) {
        return CLI_REFUSED;
    }
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names == NULL) {
        return CLI_REFUSED;
    }
    g_autoptr(GArray) lines = rb_footwork_lines(rb_names_footwork(names));
    if (cli_has(args, "json")) {
        print_json(lines, changed);
        return CLI_DONE;
    }
    if (writes) {
        printf("%s.\n\n", changed != NULL ? changed : _("Nothing changed"));
    }
    print_table(lines);
    return CLI_DONE;
}

static const CliOption footwork_options[] = {
    { "as", N_("NAME"), N_("the member of the staff who asks (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_footwork = {
    .name = "footwork",
    .words = N_("LIBRARY [KEY=SECONDS…]"),
    .least = 1,
    .most = -1,
    .summary = N_("How long steps and hitches take: shown with its source, or set."),
    .example = "footwork season.readbreak centre-5=2.5 hitch=0.35 gun-3=default",
    .options = footwork_options,
    .run = run_footwork,
};
