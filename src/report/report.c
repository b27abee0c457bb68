/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/report.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>
#include <string.h>

#include "rb/base/error.h"

#include "report-private.h"
#include "table-private.h"
#include "words-private.h"

G_DEFINE_QUARK(rb - report - error - quark, rb_report_error)

char *rb_report_subtitle(const RbReport *report)
{
    g_autoptr(GPtrArray) parts = g_ptr_array_new();
    g_autofree char *made = g_strdup_printf(_("made %s"), report->made_on);
    if (report->team != NULL) {
        g_ptr_array_add(parts, (void *)report->team);
    }
    g_ptr_array_add(
        parts, (void *)(report->filter != NULL ? report->filter : _("all dropbacks")));
    g_ptr_array_add(parts, made);
    g_ptr_array_add(parts, NULL);
    return g_strjoinv(", ", (char **)parts->pdata);
}

char *rb_report_legend(const RbReport *report)
{
    const RbTally *all = &report->pairings->all;
    g_autofree char *rate = rb_rate_text(all->successes, all->dropbacks);
    return g_strdup_printf(
        _("Each cell: %s as a line and in numbers, its dropbacks (n), points a dropback. The tick is "
          "our own rate, %s. Teal is better than it, orange worse; the deeper, the %s. "
          "Under %d dropbacks only the count stands, without a colour."),
        report->figures != NULL
            ? /* xgettext:no-c-format */
            _("the estimated success rate and its 80 % interval (All: the plain rate and its "
              "95 % interval)")
            : /* xgettext:no-c-format */ _(
                  "the share of its dropbacks that succeeded and its 95 % interval"),
        rate,
        report->figures != NULL ? _("further from it") : _("less it looks like chance"),
        RB_PAIRING_MIN);
}

char *rb_report_ladder_title(const RbReport *report, const RbReportPairing *pairing)
{
    const RbReportNames *names = &report->names;
    const bool concept = pairing->concept.value != 0;
    const bool coverage = pairing->coverage.value != 0;
    if (!concept && !coverage) {
        return g_strdup(_("All dropbacks"));
    }
    if (!coverage) {
        return g_strdup(names->concept(pairing->concept, names->data));
    }
    return g_strdup_printf(_("%s against %s"),
                           concept ? names->concept(pairing->concept, names->data)
                                   : _("All concepts"),
                           names->coverage(pairing->coverage, names->data));
}

RbLadderChart rb_report_ladder_chart(const RbReportPairing *pairing, double size)
{
    RbLadderChart chart = rb_ladder_chart(pairing->ladder, pairing->found);
    memcpy(chart.reads, pairing->reads, sizeof chart.reads);
    chart.size = size;
    return chart;
}

GPtrArray *rb_report_notes(const RbReport *report)
{
    GPtrArray *notes = g_ptr_array_new_with_free_func(g_free);
    g_ptr_array_add(notes, rb_success_profile_text(report->profile.percent));
    if (report->points_table != NULL) {
        g_ptr_array_add(
            notes, g_strdup_printf(_("Points by the table %s."), report->points_table));
    }
    if (report->n_ladders > 0) {
        g_ptr_array_add(
            notes,
            g_strdup_printf(
                _("Break: the read and reason that cost most beyond our norm there, over our other "
                  "dropbacks. Clear, leaning or not settled by how often it comes first when the "
                  "snaps are drawn again (%d draws, seed %" PRIu64 ")."),
                RB_BREAK_DRAWS, (uint64_t)RB_BREAK_SEED));
    }
    if (report->figures != NULL) {
        g_ptr_array_add(notes, g_strdup(rb_estimate_text()));
    }
    const char *const *cautions = rb_cautions();
    for (int i = 0; cautions[i] != NULL; i++) {
        g_ptr_array_add(notes, g_strdup(_(cautions[i])));
    }
    if (report->pairings->untagged > 0) {
        g_autofree char *count = rb_dropbacks_text(report->pairings->untagged);
        g_ptr_array_add(
            notes,
            g_strdup_printf(_("Left out: %s without a concept or a coverage."), count));
    }
    return notes;
}

static bool write_file(const char *path, const void *data, gsize size, GError **error)
{
    g_autoptr(GError) reason = NULL;
    if (!g_file_set_contents(path, data, (gssize)size, &reason)) {
        return rb_error_set(
            error, RB_REPORT_ERROR, RB_REPORT_ERROR_WRITE,
            "The report cannot be written to %s: %s. Choose another place.", path,
            reason->message);
    }
    return true;
}

bool rb_report_write_html(const RbReport *report, const char *path, GError **error)
{
    g_autofree char *page = rb_report_html(report);
    return write_file(path, page, strlen(page), error);
}

bool rb_report_write_bytes(const GByteArray *bytes, const char *path, GError **error)
{
    return write_file(path, bytes->data, bytes->len, error);
}

bool rb_report_write_pdf(const RbReport *report, const char *path, GError **error)
{
    g_autoptr(GByteArray) pdf = rb_report_pdf(report, error);
    return pdf != NULL && write_file(path, pdf->data, pdf->len, error);
}
