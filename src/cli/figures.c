/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/model/situation.h"
#include "rb/report/text.h"
#include "rb/report/words.h"
#include "rb/work/error.h"
#include "rb/work/filter-text.h"
#include "rb/work/json.h"
#include "rb/work/reports.h"

#include "cli.h"

/* verdicts, pairings, ladder: the figures of a library under a filter. */

RbSelection *cli_select(const CliArgs *args, const char *path, GError **error)
{
    RbLibrary *library = rb_library_open_to_read(path, error);
    if (library == NULL) {
        return NULL;
    }
    g_ptr_array_add(args->open, library);
    RbSnapshotOptions options = rb_snapshot_options_default();
    options.practice = cli_has(args, "practice");
    g_autoptr(RbSnapshot) snapshot =
        rb_snapshot_take(library, &options, args->cancel, error);
    if (snapshot == NULL) {
        return NULL;
    }
    g_autoptr(RbFilter) filter = cli_filter(args, rb_snapshot_get_names(snapshot), error);
    return filter != NULL ? rb_selection_new(snapshot, filter) : NULL;
}

static void print_filter(const RbSelection *selection)
{
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    g_autofree char *filter = rb_filter_text(names, rb_selection_get_filter(selection));
    printf("%s\n\n", filter);
}

static CliExit run_pairings(const CliArgs *args, GError **error)
{
    g_autoptr(RbSelection) selection = cli_select(args, cli_word(args, 0), error);
    if (selection == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(rb_json_pairings(selection));
        return CLI_DONE;
    }
    const RbReportNames names =
        rb_report_names(rb_snapshot_get_names(rb_selection_get_snapshot(selection)));
    RbPairings pairings;
    rb_selection_pairings(selection, &pairings);
    print_filter(selection);
    g_autofree char *text = rb_pairings_text(&pairings, &names, cli_width());
    fputs(text, stdout);
    rb_pairings_clear(&pairings);
    return CLI_DONE;
}

const CliCommand cli_pairings = {
    .name = "pairings",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("Each concept against each coverage: dropbacks, success, points."),
    .example = "pairings season.readbreak --down 3 --distance 7-10",
    .filters = true,
    .run = run_pairings,
};

static void print_ladder(const RbSelection *selection)
{
    RbLadder ladder;
    RbBreak found;
    const char *reads[RB_READS_MAX + 1];
    rb_selection_ladder(selection, &ladder);
    rb_selection_break(selection, &found);
    rb_selection_reads(selection, reads);
    print_filter(selection);
    g_autofree char *text = rb_ladder_text(&ladder, &found, reads);
    fputs(text, stdout);
}

static CliExit run_ladder(const CliArgs *args, GError **error)
{
    g_autoptr(RbSelection) selection = cli_select(args, cli_word(args, 0), error);
    if (selection == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "costliest")) {
        RbSelection *costliest = NULL;
        if (!rb_selection_costliest(selection, &costliest)) {
            g_set_error(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                        _("No pairing has the %d dropbacks it takes to look for a break "
                          "point: tag more snaps or widen the filter."),
                        RB_PAIRING_MIN);
            return CLI_REFUSED;
        }
        rb_selection_free(selection);
        selection = costliest;
    }
    if (cli_has(args, "json")) {
        cli_print_json(rb_json_ladder(selection));
    } else {
        print_ladder(selection);
    }
    return CLI_DONE;
}

static const CliOption ladder_options[] = {
    { "costliest", NULL, N_("of the pairing whose break point costs most") },
    { NULL, NULL, NULL },
};

const CliCommand cli_ladder = {
    .name = "ladder",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("At which read and stage dropbacks ended, and the break point."),
    .example = "ladder season.readbreak --concept curl-flat --coverage cover-3",
    .notes = rb_break_curve_text,
    .options = ladder_options,
    .filters = true,
    .run = run_ladder,
};

static char *read_text(int read)
{
    return read > 0 ? g_strdup_printf("%d", read) : g_strdup("-");
}

static char *ball_text(const RbSnapshot *snapshot, RbSnapId snap)
{
    const RbTaggable *field = rb_taggable_parse("ball", NULL);
    return rb_taggable_show(field, rb_snapshot_get_names(snapshot),
                            rb_snapshot_find_snap(snapshot, snap),
                            rb_snapshot_find_chart(snapshot, snap));
}

static void add_verdict(const CliTable *table, const RbSnapshot *snapshot,
                        const RbDropback *row)
{
    const RbNames *names = rb_snapshot_get_names(snapshot);
    const RbSnap *snap = rb_snapshot_find_snap(snapshot, row->snap);
    char *settle = rb_snapshot_settle(snapshot, row->snap);
    cli_table_add(
        table, rb_names_snap_text(names, snap), rb_situation_down_text(&snap->situation),
        g_strdup(rb_names_concept(names, row->concept)),
        g_strdup(rb_names_term(names, row->coverage)),
        g_strdup(rb_words_label(&rb_verdict_words, (int)row->verdict)),
        read_text(row->right_read), ball_text(snapshot, row->snap),
        g_strdup(rb_words_label(&rb_stage_words, (int)row->stage)),
        cli_points(row->points, row->has_points), settle != NULL ? settle : g_strdup(""));
}

static void print_reasons(const RbSnapshot *snapshot, const RbDropback *row)
{
    const RbNames *names = rb_snapshot_get_names(snapshot);
    g_autofree char *snap =
        rb_names_snap_text(names, rb_snapshot_find_snap(snapshot, row->snap));
    g_autoptr(GPtrArray) reasons = rb_snapshot_reasons(snapshot, row->snap);
    printf("\n%s: %s\n", snap, rb_words_label(&rb_verdict_words, (int)row->verdict));
    for (guint i = 0; i < reasons->len; i++) {
        printf("  %s\n", (const char *)reasons->pdata[i]);
    }
}

static CliExit run_verdicts(const CliArgs *args, GError **error)
{
    g_autoptr(RbSelection) selection = cli_select(args, cli_word(args, 0), error);
    if (selection == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(rb_json_verdicts(selection));
        return CLI_DONE;
    }
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    print_filter(selection);
    CliTable table = cli_table(
        "<<<<<><<><",
        (const char *const[]){ _("Snap"), _("Down"), _("Concept"), _("Coverage"),
                               _("Verdict"), _("Right read"), _("Ball"), _("Ended at"),
                               _("Points"), _("Would settle it"), NULL });
    for (int i = 0; i < n; i++) {
        add_verdict(&table, snapshot, &rows[i]);
    }
    cli_table_print(&table);
    for (int i = 0; cli_has(args, "reasons") && i < n; i++) {
        print_reasons(snapshot, &rows[i]);
    }
    return CLI_DONE;
}

static const CliOption verdicts_options[] = {
    { "reasons", NULL, N_("why, in sentences") },
    { NULL, NULL, NULL },
};

const CliCommand cli_verdicts = {
    .name = "verdicts",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("The judgment of each decision, with what would settle an open one."),
    .example = "verdicts season.readbreak --quarterback 12 --verdict passed-up --reasons",
    .options = verdicts_options,
    .filters = true,
    .run = run_verdicts,
};
