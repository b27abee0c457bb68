/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/quiz.h"

#include <glib/gi18n-lib.h>

#include "rb/work/json.h"

#include "cli.h"

/* quiz report: how somebody does in the quiz, by coverage. The quiz itself needs the film. */

static json_t *line_json(const RbNames *names, const RbQuizLine *line)
{
    return json_pack("{s:o, s:i, s:i, s:i, s:i, s:i, s:i, s:o}", "coverage",
                     line->name != NULL
                         ? rb_json_text(rb_names_term_token(names, line->coverage))
                         : json_null(),
                     "asked", line->asked, "shells", line->shells, "shells_right",
                     line->shells_right, "firsts", line->firsts, "firsts_right",
                     line->firsts_right, "reads_right", line->reads_right, "median_ms",
                     line->median_ms >= 0 ? json_integer(line->median_ms) : json_null());
}

static char *share(int right, int of)
{
    return of > 0 ? g_strdup_printf(_("%d of %d"), right, of) : g_strdup("-");
}

static void print_lines(const GPtrArray *lines)
{
    CliTable table =
        cli_table("<>>>>>", (const char *const[]){ _("Coverage"), _("Asked"), _("Shell"),
                                                   _("Side or first read"), _("Read"),
                                                   _("Median"), NULL });
    for (guint i = 0; i < lines->len; i++) {
        const RbQuizLine *line = lines->pdata[i];
        const bool all = i + 1 == lines->len;
        cli_table_add(
            &table,
            g_strdup(all                     ? _("All")
                     : line->name[0] != '\0' ? line->name
                                             : _("Not tagged")),
            g_strdup_printf("%d", line->asked), share(line->shells_right, line->shells),
            share(line->firsts_right, line->firsts),
            share(line->reads_right, line->asked),
            line->median_ms >= 0 ? g_strdup_printf("%.1f s", line->median_ms / 1000.0)
                                 : g_strdup("-"));
    }
    cli_table_print(&table);
}

static CliExit run_report(const CliArgs *args, GError **error)
{
    /* By name, so the library is opened as that person; nothing is written. */
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    g_autoptr(RbSnapshot) snapshot =
        library != NULL ? rb_snapshot_take(library, NULL, args->cancel, error) : NULL;
    g_autoptr(GPtrArray) lines =
        snapshot != NULL
            ? rb_quiz_report(library, snapshot, rb_library_get_person(library), error)
            : NULL;
    if (lines == NULL) {
        return CLI_REFUSED;
    }
    const char *who = rb_library_get_person_name(library);
    if (cli_has(args, "json")) {
        json_t *array = json_array();
        for (guint i = 0; i < lines->len; i++) {
            json_array_append_new(
                array, line_json(rb_snapshot_get_names(snapshot), lines->pdata[i]));
        }
        cli_print_json(json_pack("{s:o, s:o}", "who", rb_json_text(who), "lines", array));
    } else if (lines->len == 1) {
        printf(_("%s has not been asked yet: the quiz is on the Quarterback desk.\n"),
               who);
    } else {
        print_lines(lines);
    }
    return CLI_DONE;
}

static const CliOption report_options[] = {
    { "as", N_("NAME"), N_("whose answers; your own by default") },
    { NULL, NULL, NULL },
};

const CliCommand cli_quiz_report = {
    .name = "quiz report",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("How somebody does in the quiz: shell, side and read, by coverage."),
    .example = "quiz report season.readbreak --as \"Dana Holt\"",
    .options = report_options,
    .run = run_report,
};
