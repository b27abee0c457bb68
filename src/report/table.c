/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "rb/stats/intervals.h"

#include "table-private.h"

const RbTally *rb_table_tally(const RbPairings *pairings, int row, int column)
{
    const bool all_rows = row == pairings->n_concepts;
    const bool all_columns = column == pairings->n_coverages;
    if (all_rows) {
        return all_columns ? &pairings->all : &pairings->coverages[column];
    }
    if (all_columns) {
        return &pairings->concepts[row];
    }
    return rb_pairings_find(pairings, pairings->concepts[row].concept,
                            pairings->coverages[column].coverage);
}

const char *rb_table_row_name(const RbPairings *pairings, const RbReportNames *names,
                              int row)
{
    return row == pairings->n_concepts
               ? _("All")
               : names->concept(pairings->concepts[row].concept, names->data);
}

const char *rb_table_column_name(const RbPairings *pairings, const RbReportNames *names,
                                 int column)
{
    return column == pairings->n_coverages
               ? _("All")
               : names->coverage(pairings->coverages[column].coverage, names->data);
}

const RbMeasured *rb_table_figure(const RbPairings *pairings, const RbMeasured *figures,
                                  const RbTally *tally)
{
    const bool is_cell =
        tally >= pairings->cells && tally < pairings->cells + pairings->n_cells;
    if (figures == NULL || tally == NULL || !is_cell ||
        tally->dropbacks < RB_PAIRING_MIN) {
        return NULL;
    }
    return &figures[tally - pairings->cells];
}

void rb_cell_text_init(RbCellText *text, const RbTally *tally, const RbMeasured *figure)
{
    *text = (RbCellText){ NULL };
    if (tally == NULL || tally->dropbacks == 0) {
        return;
    }
    text->rate = rb_rate_text(tally->successes, tally->dropbacks);
    if (tally->dropbacks < RB_PAIRING_MIN) {
        return;
    }
    if (figure != NULL) {
        g_free(text->rate);
        text->rate = g_strdup_printf("%s%.0f %%", figure->flagged ? "▾ " : "",
                                     100.0 * figure->shown);
        text->interval =
            g_strdup_printf("%.0f to %.0f %%", 100.0 * figure->low, 100.0 * figure->high);
    } else {
        text->interval = rb_interval_text(tally->successes, tally->dropbacks);
    }
    if (tally->pointed > 0) {
        text->points = rb_points_text(tally->points / tally->pointed, 2);
    }
}

void rb_cell_text_clear(RbCellText *text)
{
    g_free(text->rate);
    g_free(text->interval);
    g_free(text->points);
    *text = (RbCellText){ NULL };
}

RbToken rb_table_tint(const RbTally *tally, const RbMeasured *figure, const RbTally *all,
                      double *tint)
{
    enum { SURE_SD = 2 };               /* distance at which the colour is full, */
    static const double far = 0.25;     /* and that of an estimate */
    static const double deepest = 0.35; /* the number stays well readable on it */
    *tint = 0.0;
    if (tally == NULL || tally->dropbacks < RB_PAIRING_MIN) {
        return RB_TOKEN_NONE;
    }
    const double n = tally->dropbacks;
    const double p = (double)all->successes / all->dropbacks;
    const double sd = sqrt(n * p * (1.0 - p));
    if (figure != NULL) {
        *tint = deepest * fmin(1.0, fabs(figure->shown - p) / far);
        return figure->shown >= p ? RB_TOKEN_ABOVE : RB_TOKEN_BELOW;
    }
    if (!(sd > 0.0)) {
        return RB_TOKEN_NONE;
    }
    const double z = (tally->successes - n * p) / sd;
    *tint = deepest * fmin(1.0, fabs(z) / SURE_SD);
    return z >= 0.0 ? RB_TOKEN_ABOVE : RB_TOKEN_BELOW;
}

void rb_table_draw_whisker(RbDrawing *drawing, const RbTally *tally,
                           const RbMeasured *figure, const RbTally *all,
                           const cairo_rectangle_t *box)
{
    const double x = box->x;
    const double y = box->y;
    const double width = box->width;
    const double height = box->height;
    const double middle = y + height / 2.0;
    double rate = (double)tally->successes / tally->dropbacks;
    const double team = (double)all->successes / all->dropbacks;
    double low = 0.0;
    double high = 0.0;
    if (figure != NULL) {
        rate = figure->shown;
        low = figure->low;
        high = figure->high;
    } else {
        rb_interval_wilson(tally->successes, tally->dropbacks, 0.95, &low, &high);
    }
    rb_drawing_line(drawing, x, middle, x + width, middle, RB_TOKEN_LINE, height * 0.1);
    rb_drawing_line(drawing, x + width * team, y, x + width * team, y + height,
                    RB_TOKEN_MUTED, height * 0.1);
    rb_drawing_line(drawing, x + width * low, middle, x + width * high, middle,
                    RB_TOKEN_INK, height * 0.2);
    rb_drawing_disc(drawing, x + width * rate, middle, height * 0.3, RB_TOKEN_INK,
                    RB_TOKEN_NONE, 0.0);
}

char *rb_success_profile_text(const int percent[4])
{
    return g_strdup_printf(
        _("Success: a gain of at least %d / %d / %d / %d %% of the distance "
          "on 1st / 2nd / 3rd / 4th down, or a touchdown; a turnover never."),
        percent[0], percent[1], percent[2], percent[3]);
}
