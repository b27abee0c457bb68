/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "pairing-view.h"

#include <glib/gi18n.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static void fill_cells(RbPairingView *view, const RbPairings *pairings)
{
    for (int row = 0; row < view->n_rows; row++) {
        for (int column = 0; column < view->n_columns; column++) {
            const RbTally *cell =
                rb_pairings_find(pairings, view->concepts[row], view->coverages[column]);
            if (cell != NULL) {
                view->cells[row * view->n_columns + column] = *cell;
            }
        }
    }
}

/* Each cell and margin by itself. */
static void fill_figures(RbPairingView *view, RbMeasure measure)
{
    view->measure = measure;
    rb_measure_figure(measure, &view->all, &view->all_figure);
    for (int i = 0; i < view->n_rows; i++) {
        rb_measure_figure(measure, &view->rows[i], &view->row_figures[i]);
    }
    for (int i = 0; i < view->n_columns; i++) {
        rb_measure_figure(measure, &view->columns[i], &view->column_figures[i]);
    }
    for (int i = 0; i < view->n_rows * view->n_columns; i++) {
        rb_measure_figure(measure, &view->cells[i], &view->figures[i]);
    }
}

RbPairingView *rb_pairing_view_new(const RbPairings *pairings, const void *names,
                                   RbConceptName concept_name, RbTermName term_name)
{
    RbPairingView *view = g_new0(RbPairingView, 1);
    const int n_rows = pairings->n_concepts;
    const int n_columns = pairings->n_coverages;
    view->n_rows = n_rows;
    view->n_columns = n_columns;
    view->concepts = g_new0(RbConceptId, n_rows + 1);
    view->coverages = g_new0(RbTermId, n_columns + 1);
    view->row_names = g_new0(char *, n_rows + 1);
    view->column_names = g_new0(char *, n_columns + 1);
    view->cells = g_new0(RbTally, (gsize)n_rows * n_columns + 1);
    view->rows = g_new0(RbTally, n_rows + 1);
    view->columns = g_new0(RbTally, n_columns + 1);
    view->all = pairings->all;
    view->figures = g_new0(RbMeasured, (gsize)n_rows * n_columns + 1);
    view->row_figures = g_new0(RbMeasured, n_rows + 1);
    view->column_figures = g_new0(RbMeasured, n_columns + 1);
    for (int i = 0; i < n_rows; i++) {
        view->rows[i] = pairings->concepts[i];
        view->concepts[i] = pairings->concepts[i].concept;
        view->row_names[i] = g_strdup(concept_name(names, view->concepts[i]));
    }
    for (int i = 0; i < n_columns; i++) {
        view->columns[i] = pairings->coverages[i];
        view->coverages[i] = pairings->coverages[i].coverage;
        view->column_names[i] = g_strdup(term_name(names, view->coverages[i]));
    }
    fill_cells(view, pairings);
    fill_figures(view, RB_MEASURE_SUCCESS);
    return view;
}

void rb_pairing_view_free(RbPairingView *view)
{
    if (view == NULL) {
        return;
    }
    g_free(view->concepts);
    g_free(view->coverages);
    g_strfreev(view->row_names);
    g_strfreev(view->column_names);
    g_free(view->cells);
    g_free(view->rows);
    g_free(view->columns);
    g_free(view->figures);
    g_free(view->row_figures);
    g_free(view->column_figures);
    g_free(view);
}

const RbTally *rb_pairing_view_get(const RbPairingView *view, int row, int column)
{
    if (row < 0) {
        return column < 0 ? &view->all : &view->columns[column];
    }
    return column < 0 ? &view->rows[row] : &view->cells[row * view->n_columns + column];
}

const RbMeasured *rb_pairing_view_figure(const RbPairingView *view, int row, int column)
{
    if (row < 0) {
        return column < 0 ? &view->all_figure : &view->column_figures[column];
    }
    return column < 0 ? &view->row_figures[row]
                      : &view->figures[row * view->n_columns + column];
}

void rb_pairing_view_set_measure(RbPairingView *view, const RbPairings *pairings,
                                 RbMeasure measure, const RbMeasured *figures)
{
    fill_figures(view, measure);
    for (int row = 0; row < view->n_rows; row++) {
        for (int column = 0; column < view->n_columns; column++) {
            const RbTally *cell =
                rb_pairings_find(pairings, view->concepts[row], view->coverages[column]);
            if (cell != NULL) {
                view->figures[row * view->n_columns + column] =
                    figures[cell - pairings->cells];
            }
        }
    }
}

/* One row on its way to another place. */
typedef struct {
    const RbPairingView *view;
    RbPairingSort sort;
    int column;
    int row;
} Placed;

/* Under this no cell is ranked, and nothing unknown. */
static bool is_ranked(const Placed *placed)
{
    return rb_pairing_view_figure(placed->view, placed->row, placed->column)->known &&
           rb_pairing_view_get(placed->view, placed->row, placed->column)->dropbacks >=
               RB_PAIRING_MIN;
}

static int compare_values(const Placed *one, const Placed *other)
{
    const bool ranked = is_ranked(one);
    if (ranked != is_ranked(other)) {
        return ranked ? -1 : 1;
    }
    const double a = rb_pairing_view_figure(one->view, one->row, one->column)->shown;
    const double b =
        rb_pairing_view_figure(other->view, other->row, other->column)->shown;
    const bool low_first =
        (one->sort == RB_SORT_WORST) == rb_measure_more_is_better(one->view->measure);
    const int by_value = (a > b) - (a < b);
    return low_first ? by_value : -by_value;
}

static int compare_placed(const void *a, const void *b)
{
    const Placed *one = a;
    const Placed *other = b;
    const RbPairingView *view = one->view;
    int order = 0;
    switch (one->sort) {
    case RB_SORT_DROPBACKS:
        break;
    case RB_SORT_NAME:
        order = g_utf8_collate(view->row_names[one->row], view->row_names[other->row]);
        break;
    case RB_SORT_WORST:
    case RB_SORT_BEST:
        order = compare_values(one, other);
        break;
    }
    if (order == 0) {
        order = view->rows[other->row].dropbacks - view->rows[one->row].dropbacks;
    }
    return order != 0 ? order : one->row - other->row;
}

/* Puts blocks of `size` bytes into the order of `placed`. */
static void permute(void *blocks, const Placed *placed, int n, gsize size)
{
    g_autofree char *from = g_memdup2(blocks, (gsize)n * size);
    for (int i = 0; i < n; i++) {
        memcpy((char *)blocks + (gsize)i * size, from + (gsize)placed[i].row * size,
               size);
    }
}

void rb_pairing_view_sort(RbPairingView *view, RbPairingSort sort, int column)
{
    const int n = view->n_rows;
    const gsize across = (gsize)view->n_columns;
    if (n < 2) {
        return;
    }
    g_autofree Placed *placed = g_new(Placed, n);
    for (int i = 0; i < n; i++) {
        placed[i] = (Placed){ view, sort, CLAMP(column, -1, view->n_columns - 1), i };
    }
    qsort(placed, (size_t)n, sizeof *placed, compare_placed);
    permute(view->concepts, placed, n, sizeof *view->concepts);
    permute(view->row_names, placed, n, sizeof *view->row_names);
    permute(view->rows, placed, n, sizeof *view->rows);
    permute(view->row_figures, placed, n, sizeof *view->row_figures);
    if (across > 0) {
        permute(view->cells, placed, n, across * sizeof *view->cells);
        permute(view->figures, placed, n, across * sizeof *view->figures);
    }
}

char *rb_figure_text(RbMeasure measure, const RbMeasured *figure)
{
    if (!figure->known) {
        return g_strdup("·");
    }
    if (rb_measure_is_rate(measure)) {
        return g_strdup_printf("%.0f %%", 100 * figure->shown);
    }
    const double hundredths = round(100 * figure->shown);
    if (measure == RB_MEASURE_YARDS) {
        return g_strdup_printf("%s%.1f", figure->shown < -0.05 ? "−" : "",
                               fabs(figure->shown));
    }
    return g_strdup_printf("%s%.2f",
                           hundredths > 0   ? "+"
                           : hundredths < 0 ? "−"
                                            : "",
                           fabs(hundredths) / 100);
}

double rb_figure_place(RbMeasure measure, double value)
{
    /* Points from 1.5 lost to 1.5 won a dropback, yards from 5 lost to 20 won. */
    const double place = measure == RB_MEASURE_POINTS  ? (value + 1.5) / 3.0
                         : measure == RB_MEASURE_YARDS ? (value + 5.0) / 25.0
                                                       : value;
    return CLAMP(place, 0.0, 1.0);
}

double rb_figure_shade(RbMeasure measure, const RbMeasured *figure, const RbMeasured *own)
{
    /* This far from the team's own the scale has its strongest colour. */
    const double full = measure == RB_MEASURE_POINTS  ? 0.6
                        : measure == RB_MEASURE_YARDS ? 4.0
                                                      : 0.25;
    if (!figure->known || !own->known) {
        return 0.0;
    }
    const double shade = CLAMP((figure->shown - own->shown) / full, -1.0, 1.0);
    return rb_measure_more_is_better(measure) ? shade : -shade;
}

static void append_interval(GString *text, RbMeasure measure, const RbMeasured *figure)
{
    RbMeasured end = { .known = true };
    if (!figure->known || !figure->has_interval) {
        return;
    }
    end.shown = figure->low;
    g_autofree char *low = rb_figure_text(measure, &end);
    end.shown = figure->high;
    g_autofree char *high = rb_figure_text(measure, &end);
    g_string_append_printf(text, _(", 80 %% interval %s to %s"), low, high);
}

char *rb_pairing_view_text(const RbPairingView *view, int row, int column)
{
    const RbTally *tally = rb_pairing_view_get(view, row, column);
    const RbMeasured *figure = rb_pairing_view_figure(view, row, column);
    const char *concept = row < 0 ? _("All concepts") : view->row_names[row];
    const char *coverage = column < 0 ? _("all coverages") : view->column_names[column];
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, _("%s against %s: "), concept, coverage);
    if (tally->dropbacks == 0) {
        g_string_append(text, _("never seen."));
        return g_string_free(text, FALSE);
    }
    g_autofree char *measure =
        g_utf8_strdown(rb_words_label(&rb_measure_words, (int)view->measure), -1);
    g_autofree char *value =
        figure->known ? rb_figure_text(view->measure, figure) : g_strdup(_("not known"));
    g_string_append_printf(
        text, ngettext("%s %s, %d dropback", "%s %s, %d dropbacks", tally->dropbacks),
        measure, value, tally->dropbacks);
    append_interval(text, view->measure, figure);
    if (tally->pointed > 0 && view->measure != RB_MEASURE_POINTS) {
        RbMeasured points;
        rb_measure_figure(RB_MEASURE_POINTS, tally, &points);
        g_autofree char *mean = rb_figure_text(RB_MEASURE_POINTS, &points);
        g_string_append_printf(text, _(", %s points a dropback"), mean);
    }
    if (tally->dropbacks < RB_PAIRING_MIN) {
        g_string_append_printf(text, _(". Fewer than %d: too few to compare"),
                               RB_PAIRING_MIN);
    }
    if (figure->flagged) {
        g_string_append(text, _(". Worse than our other pairings, beyond chance"));
    }
    g_string_append_c(text, '.');
    return g_string_free(text, FALSE);
}
