/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/demo.h"

#include <glib/gi18n-lib.h>

#include "rb/work/json.h"

#include "cli.h"

static bool parse_options(const CliArgs *args, RbDemoOptions *options, GError **error)
{
    int64_t seed = 0;
    int64_t snaps = 0;
    const char *film_snaps = cli_value(args, "film-snaps");
    *options = rb_demo_options_default();
    if (!cli_number(args, "seed", 0, INT64_MAX, (int64_t)options->seed, &seed, error)) {
        return false;
    }
    options->seed = (uint64_t)seed;
    if (g_strcmp0(film_snaps, "all") == 0) {
        options->film_snaps = RB_DEMO_ALL_SNAPS;
    } else if (!cli_number(args, "film-snaps", 0, 1000, options->film_snaps, &snaps,
                           error)) {
        return false;
    } else {
        options->film_snaps = (int)snaps;
    }
    if (cli_has(args, "no-film")) {
        options->film_snaps = 0;
    }
    return true;
}

static CliExit run_demo(const CliArgs *args, GError **error)
{
    RbDemoOptions options;
    if (!parse_options(args, &options, error)) {
        return CLI_USAGE;
    }
    const char *path = cli_word(args, 0);
    RbProgress *progress = cli_progress_new();
    const bool ok = rb_demo_make(path, &options, args->cancel, progress, error);
    cli_progress_end(progress);
    if (!ok) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        g_autofree char *truth = rb_demo_truth_path(path);
        cli_print_json(json_pack("{s:o, s:o, s:I}", "library", rb_json_text(path),
                                 "truth", rb_json_text(truth), "seed",
                                 (json_int_t)options.seed));
    } else {
        printf(_("The demo library is in %s\n"), path);
    }
    return CLI_DONE;
}

static const CliOption demo_options[] = {
    { "seed", N_("N"), N_("another season for another number (default: 1)") },
    { "no-film", NULL, N_("no film: a second instead of a minute") },
    { "film-snaps", N_("N"),
      N_("how many snaps of one game to film, or \"all\" (default: 12)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_demo = {
    .name = "demo",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("Makes a library with an invented team's season, and its film."),
    .example = "demo demo.readbreak --seed 7",
    .options = demo_options,
    .run = run_demo,
};
