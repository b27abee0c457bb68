/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/model/saved-filter.h"
#include "rb/work/error.h"
#include "rb/work/filter-text.h"
#include "rb/work/json.h"
#include "rb/work/saved-filters.h"

#include "cli.h"

/* filter list, filter save, filter remove: the filters that the staff keeps by name. */

/* A filter that a newer version kept has no words here. Returns: (transfer full). */
static char *saved_text(const RbNames *names, const RbSavedFilter *saved)
{
    g_autoptr(RbFilter) filter = rb_filter_from_text(saved->filter, NULL);
    return filter != NULL ? rb_filter_text(names, filter)
                          : g_strdup(_("cannot be read by this version"));
}

static void print_json(const RbNames *names, const GPtrArray *all)
{
    json_t *array = json_array();
    for (guint i = 0; i < all->len; i++) {
        const RbSavedFilter *saved = all->pdata[i];
        g_autofree char *text = saved_text(names, saved);
        json_array_append_new(array,
                              json_pack("{s:o, s:o}", "name", rb_json_text(saved->name),
                                        "filter", rb_json_text(text)));
    }
    cli_print_json(json_pack("{s:o}", "filters", array));
}

static void print_table(const RbNames *names, const GPtrArray *all)
{
    CliTable table =
        cli_table("<<", (const char *const[]){ _("Name"), _("Filter"), NULL });
    for (guint i = 0; i < all->len; i++) {
        const RbSavedFilter *saved = all->pdata[i];
        cli_table_add(&table, g_strdup(saved->name), saved_text(names, saved));
    }
    cli_table_print(&table);
}

static CliExit run_list(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    if (names == NULL) {
        return CLI_REFUSED;
    }
    const GPtrArray *all = rb_names_filters(names);
    if (cli_has(args, "json")) {
        print_json(names, all);
    } else if (all->len == 0) {
        printf(
            _("No filter is saved yet: filter save LIBRARY NAME --down 3 saves one.\n"));
    } else {
        print_table(names, all);
    }
    return CLI_DONE;
}

const CliCommand cli_filter_list = {
    .name = "filter list",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("The filters that the staff keeps by name."),
    .example = "filter list season.readbreak",
    .run = run_list,
};

static const CliOption change_options[] = {
    { "as", N_("NAME"), N_("the member of the staff who asks (default: you)") },
    { NULL, NULL, NULL },
};

static CliExit print_done(const CliArgs *args, const char *words)
{
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o}", "done", rb_json_text(words)));
    } else {
        printf("%s.\n", words);
    }
    return CLI_DONE;
}

static CliExit run_save(const CliArgs *args, GError **error)
{
    g_autofree char *words = NULL;
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    g_autoptr(RbFilter) filter = names != NULL ? cli_filter(args, names, error) : NULL;
    if (filter == NULL ||
        !rb_library_save_filter(library, cli_word(args, 1), filter, &words, error)) {
        return CLI_REFUSED;
    }
    return print_done(args, words);
}

const CliCommand cli_filter_save = {
    .name = "filter save",
    .words = N_("LIBRARY NAME"),
    .least = 2,
    .most = 2,
    .summary = N_("Keeps a filter by name; --filter NAME then means it everywhere."),
    .example = "filter save season.readbreak \"Third and long\" --down 3 --distance 7+",
    .options = change_options,
    .filters = true,
    .run = run_save,
};

static CliExit run_remove(const CliArgs *args, GError **error)
{
    g_autofree char *words = NULL;
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    if (library == NULL ||
        !rb_library_remove_filter(library, cli_word(args, 1), &words, error)) {
        return CLI_REFUSED;
    }
    return print_done(args, words);
}

const CliCommand cli_filter_remove = {
    .name = "filter remove",
    .words = N_("LIBRARY NAME"),
    .least = 2,
    .most = 2,
    .summary = N_("Forgets a filter kept by name; undo brings it back."),
    .example = "filter remove season.readbreak \"Third and long\"",
    .options = change_options,
    .run = run_remove,
};
