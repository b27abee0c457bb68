/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>

#include "rb/work/open-data.h"

#include "cli.h"

/* data: what other programs read of a library. */

static void print_line(const CliArgs *args, const RbOpenView *view, int64_t rows,
                       json_t *array, const CliTable *table)
{
    if (cli_has(args, "json")) {
        json_array_append_new(array,
                              json_pack("{s:s, s:s, s:I}", "view", view->name, "row",
                                        view->holds, "rows", (json_int_t)rows));
    } else {
        cli_table_add(table, g_strdup(view->name), g_strdup_printf("%" PRId64, rows),
                      g_strdup(_(view->holds)));
    }
}

static CliExit print_views(const CliArgs *args, RbLibrary *library, GError **error)
{
    int n = 0;
    const RbOpenView *views = rb_open_views(&n);
    json_t *array = json_array();
    CliTable table = cli_table(
        "<><", (const char *const[]){ _("View"), _("Rows"), _("One row a"), NULL });
    int64_t rows = 0;
    for (int i = 0; i < n && rows >= 0; i++) {
        rows = rb_library_count_view(library, &views[i], error);
        if (rows >= 0) {
            print_line(args, &views[i], rows, array, &table);
        }
    }
    if (rows >= 0 && cli_has(args, "json")) {
        cli_print_json(json_pack("{s:O}", "views", array));
    } else if (rows >= 0) {
        cli_table_print(&table);
    }
    cli_table_drop(&table);
    json_decref(array);
    return rows >= 0 ? CLI_DONE : CLI_REFUSED;
}

static CliExit run_data(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open(cli_word(args, 0), NULL, error);
    if (library == NULL || !rb_library_refresh_open_data(library, args->cancel, error)) {
        return CLI_REFUSED;
    }
    return print_views(args, library, error);
}

const CliCommand cli_data = {
    .name = "data",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary =
        N_("Brings the verdicts that other programs read up to date; lists the views."),
    .example = "data season.readbreak",
    .run = run_data,
};
