/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>
#include <math.h>

#include "pairing-ladder.h"

static void row_free(void *pointer)
{
    RbLadderRow *row = pointer;
    g_free(row->title);
    g_free(row);
}

RbLadderView *rb_ladder_view_new(const RbLadder *ladder, const RbBreak *found,
                                 char *const titles[RB_READS_MAX + 1])
{
    RbLadderView *view = g_new0(RbLadderView, 1);
    view->rows = g_ptr_array_new_with_free_func(row_free);
    view->dropbacks = ladder->dropbacks;
    if (found != NULL) {
        view->found = *found;
    }
    for (int i = 1; i <= RB_READS_MAX + 1; i++) {
        const int read = i > RB_READS_MAX ? 0 : i; /* "no read" comes last */
        RbLadderRow row = { .read = read };
        for (int stage = 0; stage < RB_STAGES; stage++) {
            row.cells[stage] = ladder->cells[read][stage];
            row.sum.dropbacks += row.cells[stage].dropbacks;
            row.sum.pointed += row.cells[stage].pointed;
            row.sum.points += row.cells[stage].points;
        }
        if (row.sum.dropbacks == 0 && (read == 0 || titles[read] == NULL)) {
            continue;
        }
        if (read == 0) {
            row.title = g_strdup(_("No read"));
        } else {
            row.title = titles[read] != NULL ? g_strdup(titles[read])
                                             : g_strdup_printf(_("Read %d"), read);
        }
        g_ptr_array_add(view->rows, g_memdup2(&row, sizeof row));
    }
    return view;
}

void rb_ladder_view_free(RbLadderView *view)
{
    if (view == NULL) {
        return;
    }
    g_ptr_array_unref(view->rows);
    g_free(view);
}

static const char *certainty_words(RbCertainty certainty)
{
    switch (certainty) {
    case RB_CERTAINTY_NOT_SETTLED:
        return _("Not settled");
    case RB_CERTAINTY_LEANING:
        return _("Leaning");
    case RB_CERTAINTY_CLEAR:
        return _("Clear");
    }
    return "";
}

char *rb_break_sentence(const RbBreak *found, int dropbacks)
{
    if (dropbacks == 0) {
        return g_strdup(_("No dropbacks here yet."));
    }
    if (!found->found) {
        return g_strdup(_("Nothing went wrong here: every judged dropback succeeded."));
    }
    GString *text = g_string_new(NULL);
    g_autofree char *stage =
        g_utf8_strdown(rb_words_label(&rb_stage_words, found->stage), -1);
    if (found->read > 0) {
        g_string_append_printf(text, _("Breaks at read %d, %s: "), found->read, stage);
    } else {
        g_string_append_printf(text, _("Breaks at %s: "), stage);
    }
    g_string_append_printf(text,
                           ngettext("%d of %d dropback ended there, ",
                                    "%d of %d dropbacks ended there, ", dropbacks),
                           found->dropbacks, dropbacks);
    const double lost = -found->points;
    if (lost >= 0) {
        g_string_append_printf(text, _("%.1f points lost, "), lost);
    } else {
        g_string_append_printf(text, _("%.1f points won, "), -lost);
    }
    if (found->excess >= 0) {
        g_string_append_printf(text, _("%.1f more than our norm there. "), found->excess);
    } else {
        g_string_append_printf(text, _("%.1f less than our norm there. "),
                               -found->excess);
    }
    g_string_append_printf(text, _("%s: first again in %.0f %% of %d draws."),
                           certainty_words(found->certainty), round(100 * found->share),
                           found->draws);
    if (dropbacks < 5) {
        g_string_append_printf(text,
                               ngettext(" It rests on %d snap only.",
                                        " It rests on %d snaps only.", dropbacks),
                               dropbacks);
    }
    return g_string_free(text, FALSE);
}
