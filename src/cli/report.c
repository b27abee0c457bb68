/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/json.h"
#include "rb/work/reports.h"

#include "cli.h"

/* report: what leaves the program on paper or as a file. */

/* The kind named, else the one that the file's end asks for. */
static bool find_kind(const CliArgs *args, const char *out, RbReportKind *kind,
                      GError **error)
{
    const char *token = cli_value(args, "kind");
    int value = 0;
    if (token == NULL) {
        const bool sheet =
            g_str_has_suffix(out, ".csv") || g_str_has_suffix(out, ".xlsx");
        const bool chart = g_str_has_suffix(out, ".svg") || g_str_has_suffix(out, ".png");
        *kind = sheet   ? RB_REPORT_FIGURES
                : chart ? RB_REPORT_TABLE_CHART
                        : RB_REPORT_PAGE;
        return true;
    }
    if (!rb_words_parse(&rb_report_kind_words, token, &value)) {
        g_autofree char *list = rb_words_list(&rb_report_kind_words);
        return cli_usage_error(error, "--kind takes one of: %s.", list);
    }
    *kind = (RbReportKind)value;
    return true;
}

static bool shows_frames(RbReportKind kind)
{
    return kind == RB_REPORT_PAIRING || kind == RB_REPORT_BOOK;
}

/* The page of a pairing is of the costliest one when the filter names none. */
static bool narrow(const CliArgs *args, RbSelection **selection, GError **error)
{
    RbSelection *costliest = NULL;
    if (!cli_has(args, "costliest")) {
        return true;
    }
    if (!rb_selection_costliest(*selection, &costliest)) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
            "No pairing has the %d dropbacks it takes to look for a break "
            "point: tag more snaps or widen the filter.",
            RB_PAIRING_MIN);
    }
    rb_selection_free(*selection);
    *selection = costliest;
    return true;
}

static bool write_report(const CliArgs *args, RbReportOptions *options, const char *out,
                         GError **error)
{
    g_autoptr(RbSelection) selection = cli_select(args, cli_word(args, 0), error);
    if (selection == NULL || !narrow(args, &selection, error)) {
        return false;
    }
    g_autoptr(RbLibrary) library = NULL;
    g_autoptr(RbStills) stills = NULL;
    if (shows_frames(options->kind) && !cli_has(args, "without-frames")) {
        library = rb_library_open_to_read(cli_word(args, 0), error);
        stills = library != NULL ? rb_stills_load(library, args->cancel, error) : NULL;
        if (stills == NULL) {
            return false;
        }
    }
    options->stills = stills;
    options->progress = cli_progress_new();
    const bool ok = rb_selection_write(selection, out, options, error);
    cli_progress_end(options->progress);
    return ok;
}

static CliExit run_report(const CliArgs *args, GError **error)
{
    const char *out = cli_value(args, "out");
    RbReportOptions options = { .title = cli_value(args, "title"),
                                .without_names = cli_has(args, "without-names"),
                                .cancel = args->cancel };
    if (out == NULL) {
        cli_usage_error(error, "report needs --out FILE.");
        return CLI_USAGE;
    }
    if (!find_kind(args, out, &options.kind, error)) {
        return CLI_USAGE;
    }
    if (!rb_report_check_path(options.kind, out, error) ||
        !write_report(args, &options, out, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o}", "report", rb_json_text(out)));
    } else {
        printf(_("Report written to %s\n"), out);
    }
    return CLI_DONE;
}

static const CliOption report_options[] = {
    { "out", N_("FILE"),
      N_("where to, replaced if there; its end says how it is written") },
    { "kind", N_("KIND"),
      N_("page (.html, .pdf), pairing, book, call-sheet (.pdf), figures (.csv, .xlsx), "
         "table-chart, ladder-chart (.svg, .png)") },
    { "costliest", NULL, N_("of the pairing whose break point costs most") },
    { "title", N_("TEXT"), N_("heading of the page") },
    { "without-names", NULL, N_("leave out names and numbers of players") },
    { "without-frames", NULL, N_("no frames of the film") },
    { NULL, NULL, NULL },
};

const CliCommand cli_report = {
    .name = "report",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary =
        N_("Writes pairings as pages to print, tables for a spreadsheet or charts."),
    .example =
        "report season.readbreak --kind pairing --concept smash --coverage cover-2 "
        "--out smash.pdf",
    .options = report_options,
    .filters = true,
    .run = run_report,
};
