/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/work/json.h"
#include "rb/work/library.h"

#include "cli.h"

static CliExit run_new(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library =
        rb_library_create(cli_word(args, 0), cli_value(args, "as"), error);
    if (library == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o}", "library", rb_json_text(cli_word(args, 0))));
    } else {
        printf(_("The new library is in %s\n"), cli_word(args, 0));
    }
    return CLI_DONE;
}

static const CliOption new_options[] = {
    { "as", N_("NAME"), N_("the member of the staff who works (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_new = {
    .name = "new",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary =
        N_("Makes a library with the usual words and a starter playbook, and no games."),
    .example = "new season.readbreak",
    .options = new_options,
    .run = run_new,
};
