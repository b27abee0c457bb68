/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "pairing-words.h"

#include <glib/gi18n.h>

#include "rb/report/words.h"

#include "ink.h"
#include "pairing-view.h"

const char *rb_across_name(const RbNames *names, RbField axis, RbTermId id)
{
    switch ((int)axis) {
    case RB_FIELD_FAMILY:
        return rb_words_label(&rb_family_words, (int)id.value);
    case RB_FIELD_SHELL:
        return rb_words_label(&rb_shell_words, (int)id.value);
    case RB_FIELD_TECHNIQUE:
        return rb_words_label(&rb_technique_words, (int)id.value);
    default:
        return rb_names_term(names, id);
    }
}

/* How many pairings are flagged, in a sentence; the mark is explained by it. */
static void append_flags(GString *text, const RbTableAnswer *table)
{
    int flagged = 0;
    for (int i = 0; i < table->pairings.n_cells; i++) {
        flagged += table->figures[i].flagged;
    }
    if (flagged > 0) {
        g_string_append_printf(
            text,
            ngettext(
                " ▾ %d pairing is worse than our others, beyond chance (one in ten "
                "such marks may be false).",
                " ▾ %d pairings are worse than our others, beyond chance (one in ten "
                "such marks may be false).",
                flagged),
            flagged);
    }
}

char *rb_table_legend(const RbTableAnswer *table)
{
    const RbPairings *pairings = &table->pairings;
    GString *text = g_string_new(NULL);
    RbMeasured own;
    rb_measure_figure(table->measure, &pairings->all, &own);
    if (own.known) {
        g_autofree char *rate = rb_figure_text(table->measure, &own);
        g_string_append_printf(
            text,
            rb_measure_is_rate(table->measure)
                ? _("Rate drawn towards what its concept and coverage do elsewhere, with its "
                    "80 %% interval; n at the corner, points a dropback under it; the tick is "
                    "our own, %s. No colour under %d dropbacks.")
                : _("Mean with its 80 %% interval; n at the corner; the tick is our own, %s. No "
                    "colour under %d dropbacks."),
            rate, RB_PAIRING_MIN);
    }
    append_flags(text, table);
    if (pairings->untagged > 0) {
        g_string_append_printf(
            text,
            ngettext(" %d dropback is left out: concept or column is not tagged.",
                     " %d dropbacks are left out: concept or column is not tagged.",
                     pairings->untagged),
            pairings->untagged);
    }
    return g_string_free(text, FALSE);
}

char *rb_ladder_heading(const RbNames *names, const RbLadderAnswer *answer)
{
    const char *concept = answer->concept.value != 0
                              ? rb_names_concept(names, answer->concept)
                              : _("All concepts");
    const char *coverage = answer->coverage.value != 0
                               ? rb_across_name(names, answer->axis, answer->coverage)
                               : _("all coverages");
    return g_strdup_printf(_("%s against %s"), concept, coverage);
}

char *rb_ladder_sums(const RbLadder *ladder)
{
    g_autofree char *count = g_strdup_printf(
        ngettext("%d dropback", "%d dropbacks", ladder->dropbacks), ladder->dropbacks);
    g_autofree char *points = rb_ink_signed(ladder->points);
    g_autofree char *each =
        rb_ink_signed(ladder->pointed > 0 ? ladder->points / ladder->pointed : 0);
    return ladder->pointed > 0
               ? g_strdup_printf(_("%s, %s points, %s a dropback"), count, points, each)
               : g_strdup(count);
}

char *rb_ladder_part_name(const char *heading, int read, int stage)
{
    GString *name = g_string_new(heading);
    if (read > 0) {
        g_string_append_printf(name, _(", read %d"), read);
    }
    if (stage >= 0) {
        g_autofree char *what =
            g_utf8_strdown(rb_words_label(&rb_stage_words, stage), -1);
        g_string_append_printf(name, ", %s", what);
    }
    return g_string_free(name, FALSE);
}

char *rb_snaps_listed(int n, int read, int stage)
{
    g_autofree char *what =
        stage >= 0  ? g_utf8_strdown(rb_words_label(&rb_stage_words, stage), -1)
        : read >= 0 ? g_strdup(_("all stages"))
                    : g_strdup(_("all of them"));
    g_autofree char *where =
        read > 0 ? g_strdup_printf(_("Read %d, %s"), read, what) : g_strdup(what);
    return g_strdup_printf(
        ngettext(
            "%d snap: %s. Enter plays it, c makes a cut-up, Shift+C one that follows the filter.",
            "%d snaps: %s. Enter plays one, c makes a cut-up, Shift+C one that follows the filter.",
            n),
        n, where);
}
