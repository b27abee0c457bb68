/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "packed-private.h"
#include "pairing-private.h"

/* The table as a rectangle: code of the concept by code of what runs across. */
typedef struct {
    const RbPackedColumn *rows;
    const RbPackedColumn *columns;
    RbTally *cells; /* owned */
} Grid;

static Grid grid_new(const RbPacked *packed, RbField across)
{
    const RbPackedColumn *concepts = &packed->columns[RB_FIELD_CONCEPT];
    const RbPackedColumn *columns = &packed->columns[across];
    return (
        Grid){ concepts, columns,
               g_new0(RbTally, (size_t)concepts->n_values * (size_t)columns->n_values) };
}

/* What a tally needs of a row. */
static RbDropback tallied(const RbPacked *packed, int place)
{
    const RbPackedRest *rest = &packed->rest[place];
    return (RbDropback){
        .verdict = (RbVerdict)rb_packed_value(packed, RB_FIELD_VERDICT, place),
        .result = (RbResult)rb_packed_value(packed, RB_FIELD_RESULT, place),
        .gain = rest->gain,
        .success = (rest->flags & SUCCEEDED) != 0,
        .has_points = (rest->flags & POINTED) != 0,
        .points = rest->points,
        .pressured = (rest->flags & PRESSED) != 0,
    };
}

static void fill_grid(const RbPacked *packed, const uint8_t *mask, const Grid *grid)
{
    for (int i = 0; i < packed->n; i++) {
        if (mask[i] == 0 || (packed->rest[i].flags & COUNTED) == 0) {
            continue;
        }
        const int at = rb_packed_code(grid->rows, i) * grid->columns->n_values +
                       rb_packed_code(grid->columns, i);
        const RbDropback row = tallied(packed, i);
        rb_tally_add(&grid->cells[at], &row);
    }
}

/* Sums of a line of the grid, first row and column (unknown) left out. */
static void sum_margins(const Grid *grid, RbPairings *pairings)
{
    const int64_t *concepts = grid->rows->values;
    const int64_t *coverages = grid->columns->values;
    const int n_columns = grid->columns->n_values;
    RbTally *rows = g_new0(RbTally, grid->rows->n_values + 1);
    RbTally *columns = g_new0(RbTally, n_columns + 1);
    for (int i = 0; i < grid->rows->n_values; i++) {
        for (int j = 0; j < n_columns; j++) {
            RbTally *cell = &grid->cells[i * n_columns + j];
            if (i == 0 || j == 0) {
                pairings->untagged += cell->dropbacks;
                continue;
            }
            cell->concept.value = rows[i].concept.value = concepts[i];
            cell->coverage.value = columns[j].coverage.value = coverages[j];
            rb_tally_merge(&rows[i], cell);
            rb_tally_merge(&columns[j], cell);
            rb_tally_merge(&pairings->all, cell);
        }
    }
    pairings->concepts = rows;
    pairings->coverages = columns;
}

/* Drops margins without dropbacks and orders the rest. */
static int settle_margins(RbTally *margins, int n)
{
    int kept = 0;
    for (int i = 1; i < n; i++) {
        if (margins[i].dropbacks > 0) {
            margins[kept++] = margins[i];
        }
    }
    qsort(margins, (size_t)kept, sizeof *margins, rb_tally_compare);
    return kept;
}

static int code_of(const RbPackedColumn *column, int64_t value)
{
    for (int code = 1; code < column->n_values; code++) {
        if (column->values[code] == value) {
            return code;
        }
    }
    g_assert_not_reached();
}

static void pick_cells(const Grid *grid, RbPairings *pairings)
{
    const int n_columns = grid->columns->n_values;
    g_autofree int *columns = g_new(int, pairings->n_coverages + 1);
    for (int j = 0; j < pairings->n_coverages; j++) {
        columns[j] = code_of(grid->columns, pairings->coverages[j].coverage.value);
    }
    pairings->cells = g_new(RbTally, (size_t)grid->rows->n_values * (size_t)n_columns);
    for (int i = 0; i < pairings->n_concepts; i++) {
        const int row = code_of(grid->rows, pairings->concepts[i].concept.value);
        for (int j = 0; j < pairings->n_coverages; j++) {
            const RbTally *cell = &grid->cells[row * n_columns + columns[j]];
            if (cell->dropbacks > 0) {
                pairings->cells[pairings->n_cells++] = *cell;
            }
        }
    }
}

void rb_packed_pairings(const RbPacked *packed, const uint8_t *mask, RbField across,
                        RbPairings *pairings)
{
    memset(pairings, 0, sizeof *pairings);
    const Grid grid = grid_new(packed, across);
    fill_grid(packed, mask, &grid);
    sum_margins(&grid, pairings);
    pairings->n_concepts = settle_margins(pairings->concepts, grid.rows->n_values);
    pairings->n_coverages = settle_margins(pairings->coverages, grid.columns->n_values);
    pick_cells(&grid, pairings);
    g_free(grid.cells);
}

void rb_packed_ladder(const RbPacked *packed, const uint8_t *mask, RbLadder *ladder)
{
    memset(ladder, 0, sizeof *ladder);
    for (int i = 0; i < packed->n; i++) {
        const RbPackedRest *rest = &packed->rest[i];
        if (mask[i] == 0 || (rest->flags & COUNTED) == 0) {
            continue;
        }
        RbLadderCell *cell = &ladder->cells[rb_packed_value(packed, RB_FIELD_READ, i)]
                                           [rb_packed_value(packed, RB_FIELD_STAGE, i)];
        cell->dropbacks++;
        ladder->dropbacks++;
        if ((rest->flags & POINTED) != 0) {
            cell->pointed++;
            cell->points += rest->points;
            ladder->pointed++;
            ladder->points += rest->points;
        }
    }
}
