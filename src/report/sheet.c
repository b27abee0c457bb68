/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/sheet.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <string.h>
#include <xlsxwriter.h>

#include "rb/base/error.h"
#include "rb/report/report.h"
#include "rb/stats/intervals.h"
#include "rb/stats/measure.h"

#include "clean-private.h"

enum { NAMES = 2, FIGURES = 20, COLUMNS = NAMES + FIGURES };

static const struct {
    const char *name;
    const char *meaning;
} columns[COLUMNS] = {
    { NC_("column", "concept"),
      N_("The concept that was worked; All: every concept of the column.") },
    { NC_("column", "coverage"),
      N_("What the secondary really played; All: every coverage of the row.") },
    { NC_("column", "dropbacks"),
      N_("Dropbacks that count: not wiped out, no screens, no run-pass options.") },
    { NC_("column", "successes"),
      N_("Dropbacks that gained enough of the distance, or scored.") },
    { NC_("column", "rate"),
      N_("Plain rate: successes a dropback; empty under 5 dropbacks.") },
    { NC_("column", "low"), /* xgettext:no-c-format */ N_(
          "Lower end of the plain rate's 95 % interval (Wilson).") },
    { NC_("column", "high"), N_("Upper end of it.") },
    { NC_("column", "estimate"),
      /* xgettext:no-c-format */
      N_("Estimated rate: drawn towards what the concept and the coverage do elsewhere, the more the "
         "fewer the dropbacks (logistic-normal model with crossed effects).") },
    { NC_("column", "estimate low"),
      /* xgettext:no-c-format */ N_("Lower end of the estimate's 80 % interval.") },
    { NC_("column", "estimate high"), N_("Upper end of it.") },
    { NC_("column", "below"),
      N_("Probability that the true rate is below the team's own.") },
    { NC_("column", "points"),
      N_("Expected points added, summed: for comparing this team with itself.") },
    { NC_("column", "with points"), N_("Dropbacks whose points are known.") },
    { NC_("column", "yards"),
      N_("Yards gained; none on interceptions and balls that nobody caught.") },
    { NC_("column", "completions"), N_("Passes caught.") },
    { NC_("column", "attempts"),
      N_("Passes thrown, thrown away and intercepted ones among them.") },
    { NC_("column", "explosive"), N_("Gains of 16 yards or more.") },
    { NC_("column", "sacks"), N_("Sacks.") },
    { NC_("column", "interceptions"), N_("Passes intercepted.") },
    { NC_("column", "pressured"), N_("Dropbacks with pressure.") },
    { NC_("column", "right"), N_("Decisions judged on read or sound.") },
    { NC_("column", "judged"),
      N_("Decisions that could be judged: not ungraded, not spoiled.") },
};

static const char *column_label(int column)
{
    return g_dpgettext2(GETTEXT_PACKAGE, "column", columns[column].name);
}

/* One row: names, and figures of which some may be missing. */
typedef struct {
    const char *names[NAMES];
    double figures[FIGURES];
    bool missing[FIGURES];
} Row;

enum { RATE = 2, ESTIMATE = 5, BELOW = 8, POINTS = 9 };

/* figure: (nullable): a margin has no estimate. all: what stands for every concept or coverage. */
static Row make_row(const RbTally *tally, const RbMeasured *figure,
                    const RbReportNames *names, const char *all)
{
    Row row = {
        .names = { tally->concept.value != 0 ? names->concept(tally->concept, names->data)
                                             : all,
                   tally->coverage.value != 0
                       ? names->coverage(tally->coverage, names->data)
                       : all },
        .figures = { tally->dropbacks,
                     tally->successes,
                     0,
                     0,
                     0,
                     0,
                     0,
                     0,
                     0,
                     tally->points,
                     tally->pointed,
                     tally->yards,
                     tally->completions,
                     tally->attempts,
                     tally->explosive,
                     tally->sacks,
                     tally->interceptions,
                     tally->pressured,
                     tally->right,
                     tally->judged },
    };
    if (tally->dropbacks >= RB_PAIRING_MIN) {
        row.figures[RATE] = (double)tally->successes / tally->dropbacks;
        rb_interval_wilson(tally->successes, tally->dropbacks, 0.95,
                           &row.figures[RATE + 1], &row.figures[RATE + 2]);
    } else {
        row.missing[RATE] = row.missing[RATE + 1] = row.missing[RATE + 2] = true;
    }
    for (int i = ESTIMATE; i <= BELOW; i++) {
        row.missing[i] = figure == NULL || !figure->known;
    }
    if (!row.missing[ESTIMATE]) {
        row.figures[ESTIMATE] = figure->shown;
        row.figures[ESTIMATE + 1] = figure->low;
        row.figures[ESTIMATE + 2] = figure->high;
        row.figures[BELOW] = figure->below;
    }
    row.missing[POINTS] = tally->pointed == 0;
    return row;
}

/* Calls `write` for each row of the table. */
typedef void (*WriteRow)(const Row *row, int index, void *data);

typedef struct {
    const RbReportNames *names;
    const char *all;
    WriteRow write;
    void *data;
    int index;
} Writer;

/* figures: (nullable): one a tally. */
static void write_tallies(Writer *writer, const RbTally *tallies,
                          const RbMeasured *figures, int n)
{
    for (int i = 0; i < n; i++) {
        const Row row = make_row(&tallies[i], figures != NULL ? &figures[i] : NULL,
                                 writer->names, writer->all);
        writer->write(&row, writer->index++, writer->data);
    }
}

static void write_rows(Writer *writer, const RbPairings *pairings)
{
    g_autofree RbMeasured *figures = g_new0(RbMeasured, pairings->n_cells + 1);
    rb_pairings_measure(pairings, RB_MEASURE_SUCCESS, figures);
    write_tallies(writer, pairings->cells, figures, pairings->n_cells);
    write_tallies(writer, pairings->concepts, NULL, pairings->n_concepts);
    write_tallies(writer, pairings->coverages, NULL, pairings->n_coverages);
    write_tallies(writer, &pairings->all, NULL, 1);
}

static void append_field(GString *out, const char *text)
{
    g_autofree char *clean = rb_text_clean(text);
    const char *guard = *clean != '\0' && strchr("=+-@", *clean) != NULL ? "'" : "";
    if (strpbrk(clean, ",\"") == NULL) {
        g_string_append_printf(out, "%s%s", guard, clean);
        return;
    }
    g_auto(GStrv) parts = g_strsplit(clean, "\"", -1);
    g_autofree char *doubled = g_strjoinv("\"\"", parts);
    g_string_append_printf(out, "\"%s%s\"", guard, doubled);
}

static void append_csv_row(const Row *row, int index, void *data)
{
    GString *out = data;
    (void)index;
    for (int i = 0; i < NAMES; i++) {
        append_field(out, row->names[i]);
        g_string_append_c(out, ',');
    }
    for (int i = 0; i < FIGURES; i++) {
        char digits[G_ASCII_DTOSTR_BUF_SIZE];
        g_ascii_formatd(digits, sizeof digits, "%.15g", row->figures[i]);
        g_string_append(out, row->missing[i] ? "" : digits);
        g_string_append(out, i + 1 < FIGURES ? "," : "\r\n");
    }
}

char *rb_pairings_csv(const RbPairings *pairings, const RbReportNames *names)
{
    GString *out = g_string_new(NULL);
    for (int i = 0; i < COLUMNS; i++) {
        g_string_append(out, columns[i].name);
        g_string_append(out, i + 1 < COLUMNS ? "," : "\r\n");
    }
    Writer writer = {
        .names = names, .all = "All", .write = append_csv_row, .data = out
    };
    write_rows(&writer, pairings);
    return g_string_free(out, FALSE);
}

/* Excel's limits: a cell holds 32,767 characters; names are cut long before. */
enum { TEXT_MAX = 200 };

static void write_text(lxw_worksheet *sheet, int row, int column, const char *text,
                       lxw_format *format)
{
    g_autofree char *clean = rb_text_clean(text);
    g_autofree char *cut =
        g_utf8_substring(clean, 0, MIN(g_utf8_strlen(clean, -1), TEXT_MAX));
    worksheet_write_string(sheet, (lxw_row_t)row, (lxw_col_t)column, cut, format);
}

static void write_sheet_row(const Row *row, int index, void *data)
{
    lxw_worksheet *sheet = data;
    for (int i = 0; i < NAMES; i++) {
        write_text(sheet, index + 1, i, row->names[i], NULL);
    }
    for (int i = 0; i < FIGURES; i++) {
        if (!row->missing[i]) {
            worksheet_write_number(sheet, (lxw_row_t)index + 1, (lxw_col_t)(NAMES + i),
                                   row->figures[i], NULL);
        }
    }
}

static lxw_error write_workbook(const RbPairings *pairings, const RbReportNames *names,
                                const char *path)
{
    lxw_workbook *book = workbook_new(path);
    lxw_worksheet *sheet = workbook_add_worksheet(book, C_("sheet", "Pairings"));
    lxw_worksheet *meanings = workbook_add_worksheet(book, C_("sheet", "Meanings"));
    lxw_format *head = workbook_add_format(book);
    format_set_bold(head);
    for (int i = 0; i < COLUMNS; i++) {
        write_text(sheet, 0, i, column_label(i), head);
        write_text(meanings, i, 0, column_label(i), head);
        write_text(meanings, i, 1, _(columns[i].meaning), NULL);
    }
    worksheet_freeze_panes(sheet, 1, NAMES);
    worksheet_set_column(sheet, 0, NAMES - 1, 18, NULL);
    worksheet_set_column(meanings, 0, 0, 16, NULL);
    worksheet_set_column(meanings, 1, 1, 80, NULL);
    Writer writer = {
        .names = names, .all = _("All"), .write = write_sheet_row, .data = sheet
    };
    write_rows(&writer, pairings);
    const char *const *cautions = rb_cautions();
    for (int i = 0; cautions[i] != NULL; i++) {
        write_text(meanings, COLUMNS + 1 + i, 1, _(cautions[i]), NULL);
    }
    return workbook_close(book);
}

static bool refuse(GError **error, const char *path, const char *reason)
{
    return rb_error_set(error, RB_REPORT_ERROR, RB_REPORT_ERROR_WRITE,
                        "The table cannot be written to %s: %s. Choose another place.",
                        path, reason);
}

/* The library writes only to a file of its own: one in the folder for such files first, so that
 * a failure leaves what was there. scratch: its path. */
static bool write_through(const RbPairings *pairings, const RbReportNames *names,
                          const char *scratch, const char *path, GError **error)
{
    g_autofree char *data = NULL;
    gsize size = 0;
    g_autoptr(GError) reason = NULL;
    const lxw_error failed = write_workbook(pairings, names, scratch);
    if (failed != LXW_NO_ERROR) {
        return refuse(error, path, lxw_strerror(failed));
    }
    if (!g_file_get_contents(scratch, &data, &size, &reason) ||
        !g_file_set_contents(path, data, (gssize)size, &reason)) {
        return refuse(error, path, reason->message);
    }
    return true;
}

bool rb_pairings_write_xlsx(const RbPairings *pairings, const RbReportNames *names,
                            const char *path, GError **error)
{
    g_autofree char *scratch = NULL;
    g_autoptr(GError) reason = NULL;
    const int descriptor = g_file_open_tmp("readbreak-XXXXXX", &scratch, &reason);
    if (descriptor < 0) {
        return refuse(error, path, reason->message);
    }
    g_close(descriptor, NULL);
    const bool written = write_through(pairings, names, scratch, path, error);
    g_unlink(scratch);
    return written;
}
