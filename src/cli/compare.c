/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/compare.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/report/words.h"
#include "rb/work/error.h"
#include "rb/work/filter-text.h"
#include "rb/work/json.h"
#include "rb/work/worklist.h"

#include "cli.h"

/* compare and worklist. */

/* The selection's filter narrowed by what `text` says: "date=2026-09-01..2026-12-31;
 * quarterback=12". A field of its own replaces the shared one. */
static RbSelection *narrowed(const RbSelection *selection, const char *text,
                             GError **error)
{
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    g_autoptr(RbFilter) own =
        rb_filter_parse_text(rb_snapshot_get_names(snapshot), text, error);
    if (own == NULL) {
        return NULL;
    }
    g_autoptr(RbFilter) filter = rb_filter_copy(rb_selection_get_filter(selection));
    rb_filter_merge(filter, own);
    return rb_selection_new(snapshot, filter);
}

static CliExit run_compare(const CliArgs *args, GError **error)
{
    const char *first_text = cli_value(args, "first");
    const char *second_text = cli_value(args, "second");
    if (first_text == NULL || second_text == NULL) {
        cli_usage_error(error, "compare needs --first FILTER and --second FILTER.");
        return CLI_USAGE;
    }
    g_autoptr(RbSelection) selection = cli_select(args, cli_word(args, 0), error);
    g_autoptr(RbSelection) first =
        selection != NULL ? narrowed(selection, first_text, error) : NULL;
    g_autoptr(RbSelection) second =
        first != NULL ? narrowed(selection, second_text, error) : NULL;
    if (second == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(rb_json_compared(first, second));
        return CLI_DONE;
    }
    RbCompared compared;
    rb_compare(first, second, &compared);
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(first));
    g_autofree char *one = rb_filter_text(names, rb_selection_get_filter(first));
    g_autofree char *other = rb_filter_text(names, rb_selection_get_filter(second));
    g_autofree char *text = rb_compared_text(&compared, NULL, NULL);
    printf(_("first: %s\nsecond: %s\n\n%s"), one, other, text);
    return CLI_DONE;
}

static const CliOption compare_options[] = {
    { "first", N_("FILTER"),
      N_("one side: \"quarterback=12; date=2026-09-01..2026-10-15\"") },
    { "second", N_("FILTER"), N_("the other side; other filter options hold for both") },
    { NULL, NULL, NULL },
};

const CliCommand cli_compare = {
    .name = "compare",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary =
        N_("Two filters side by side: each measure, the difference and its interval."),
    .example = "compare season.readbreak --first down=1 --second down=3",
    .options = compare_options,
    .filters = true,
    .run = run_compare,
};

static CliExit run_worklist(const CliArgs *args, GError **error)
{
    g_autoptr(RbSelection) selection = cli_select(args, cli_word(args, 0), error);
    g_autoptr(GPtrArray) items =
        selection != NULL ? rb_worklist(selection, args->cancel, error) : NULL;
    if (items == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(rb_json_worklist(selection, items));
        return CLI_DONE;
    }
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    g_autofree char *filter = rb_filter_text(names, rb_selection_get_filter(selection));
    printf("%s\n\n", filter);
    if (items->len == 0) {
        printf("%s\n", rb_worklist_empty_text(selection));
    }
    for (guint i = 0; i < items->len; i++) {
        const RbWorkItem *item = items->pdata[i];
        printf("%2u. %s\n", i + 1, item->sentence);
    }
    return CLI_DONE;
}

const CliCommand cli_worklist = {
    .name = "worklist",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("What to work on: the break points, by points lost times certainty."),
    .example = "worklist season.readbreak --down 3",
    .notes = rb_break_curve_text,
    .filters = true,
    .run = run_worklist,
};
