/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/work/forgetting.h"

#include "cli.h"

/* forget: a name taken out for good. */

static CliExit run_forget(const CliArgs *args, GError **error)
{
    const char *name = cli_word(args, 1);
    const bool for_good = cli_has(args, "for-good");
    int forgotten = 0;
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    const int found = library != NULL ? rb_library_count_named(library, name, error) : -1;
    if (found < 0) {
        return CLI_REFUSED;
    }
    if ((for_good || found == 0) &&
        !rb_library_forget(library, name, &forgotten, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:i, s:i}", "found", found, "forgotten", forgotten));
    } else if (for_good) {
        puts(
            _("The name is gone from the library, its history and its backups. The other "
              "laptops\nlose it with the next exchange; what was printed, exported or "
              "copied keeps it."));
    } else {
        printf(
            _("Of that name: %d. Nothing was changed. --for-good takes the name out of "
              "the library,\nits history and its backups, and cannot be undone.\n"),
            found);
    }
    return CLI_DONE;
}

static const CliOption forget_options[] = {
    { "for-good", NULL, N_("do it: this cannot be undone") },
    { "as", N_("NAME"), N_("the member of the staff who asks (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_forget = {
    .name = "forget",
    .words = N_("LIBRARY NAME"),
    .least = 2,
    .most = 2,
    .summary = N_("Takes the name of a player or of one of the staff out of a library."),
    .example = "forget season.readbreak \"Jordan Example\" --for-good",
    .options = forget_options,
    .run = run_forget,
};
