/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/text.h"

#include <glib/gi18n-lib.h>
#include <stdbool.h>

#include "rb/stats/measure.h"

#include "clean-private.h"
#include "table-private.h"
#include "words-private.h"

enum {
    GAP = 2,
    NAME_WIDTH = 24, /* longest name shown whole */
    BAR_WIDTH = 20,
};

struct RbTextTable {
    int n_columns;
    RbAlign *aligns; /* owned */
    GPtrArray *rows; /* owned, of char ** with n_columns texts; NULL is a rule */
};

static int char_width(gunichar c)
{
    if (g_unichar_iszerowidth(c)) {
        return 0;
    }
    return g_unichar_iswide(c) ? 2 : 1;
}

static int clean_width(const char *clean)
{
    int width = 0;
    for (const char *at = clean; *at != '\0'; at = g_utf8_next_char(at)) {
        width += char_width(g_utf8_get_char(at));
    }
    return width;
}

int rb_text_width(const char *text)
{
    g_autofree char *clean = rb_text_clean(text);
    return clean_width(clean);
}

/* What fits in `width` places with the ellipsis. Returns: (transfer full). */
static char *cut(const char *clean, int width)
{
    if (width <= 0 || clean_width(clean) <= width) {
        return g_strdup(clean);
    }
    const char *end = clean;
    int used = 1; /* the ellipsis */
    while (*end != '\0' && used + char_width(g_utf8_get_char(end)) <= width) {
        used += char_width(g_utf8_get_char(end));
        end = g_utf8_next_char(end);
    }
    g_autofree char *head = g_strndup(clean, (gsize)(end - clean));
    return g_strconcat(g_strchomp(head), "…", NULL);
}

static void row_free(void *row)
{
    g_strfreev(row);
}

RbTextTable *rb_text_table_new(int n_columns, const RbAlign *aligns)
{
    g_assert(n_columns > 0);
    RbTextTable *table = g_new0(RbTextTable, 1);
    table->n_columns = n_columns;
    table->aligns = g_memdup2(aligns, (gsize)n_columns * sizeof *aligns);
    table->rows = g_ptr_array_new_with_free_func(row_free);
    return table;
}

void rb_text_table_free(RbTextTable *table)
{
    if (table == NULL) {
        return;
    }
    g_free(table->aligns);
    g_ptr_array_unref(table->rows);
    g_free(table);
}

void rb_text_table_row(RbTextTable *table, const char *const *cells)
{
    char **row = g_new0(char *, table->n_columns + 1);
    for (int i = 0; i < table->n_columns; i++) {
        row[i] = rb_text_clean(cells[i]);
    }
    g_ptr_array_add(table->rows, row);
}

void rb_text_table_rule(RbTextTable *table)
{
    g_ptr_array_add(table->rows, NULL);
}

static int column_width(const RbTextTable *table, int column, int max_width)
{
    int widest = 0;
    for (guint i = 0; i < table->rows->len; i++) {
        char **row = table->rows->pdata[i];
        if (row != NULL) {
            widest = MAX(widest, clean_width(row[column]));
        }
    }
    return max_width > 0 ? MIN(widest, max_width) : widest;
}

static void append_repeated(GString *out, const char *what, int n)
{
    for (int i = 0; i < n; i++) {
        g_string_append(out, what);
    }
}

static void trim_line(GString *line)
{
    while (line->len > 0 && line->str[line->len - 1] == ' ') {
        g_string_truncate(line, line->len - 1);
    }
}

static void print_row(const RbTextTable *table, char **row, const int *widths,
                      GString *out)
{
    g_autoptr(GString) line = g_string_new(NULL);
    for (int i = 0; i < table->n_columns; i++) {
        g_autofree char *cell = cut(row[i], widths[i]);
        const int room = widths[i] - clean_width(cell);
        append_repeated(line, " ", i > 0 ? GAP : 0);
        append_repeated(line, " ", table->aligns[i] == RB_ALIGN_RIGHT ? room : 0);
        g_string_append(line, cell);
        append_repeated(line, " ", table->aligns[i] == RB_ALIGN_LEFT ? room : 0);
    }
    trim_line(line);
    g_string_append_printf(out, "%s\n", line->str);
}

char *rb_text_table_print(const RbTextTable *table, int max_width)
{
    g_autofree int *widths = g_new(int, table->n_columns);
    int total = GAP * (table->n_columns - 1);
    for (int i = 0; i < table->n_columns; i++) {
        widths[i] = column_width(table, i, max_width);
        total += widths[i];
    }
    GString *out = g_string_new(NULL);
    for (guint i = 0; i < table->rows->len; i++) {
        char **row = table->rows->pdata[i];
        if (row != NULL) {
            print_row(table, row, widths, out);
        } else {
            append_repeated(out, "─", total);
            g_string_append_c(out, '\n');
        }
    }
    return g_string_free(out, FALSE);
}

/* The lines of a cell in the table. */
enum { CELL_LINES = 3 };

/* The table with the estimate of each cell. */
typedef struct {
    const RbPairings *pairings;
    const RbReportNames *names;
    const RbMeasured *figures; /* of the cells, in their order */
} Estimated;

/* Each owned, nullable. Margins are plain rates: they rest on enough to need no help. */
static void cell_lines(const Estimated *table, const RbTally *tally,
                       char *lines[CELL_LINES])
{
    RbCellText text;
    const RbMeasured *figure = rb_table_figure(table->pairings, table->figures, tally);
    rb_cell_text_init(&text, tally, figure);
    const bool few = text.rate != NULL && text.interval == NULL;
    lines[0] = few || text.rate == NULL
                   ? g_strdup(text.rate)
                   : g_strdup_printf(_("%s of %d"), text.rate, tally->dropbacks);
    lines[1] = few ? g_strdup(_("too few")) : g_steal_pointer(&text.interval);
    lines[2] = g_steal_pointer(&text.points);
    rb_cell_text_clear(&text);
}

static void free_lines(char *lines[CELL_LINES])
{
    for (int line = 0; line < CELL_LINES; line++) {
        g_free(lines[line]);
    }
}

/* Places that one column of the pairing table takes. */
static int pairing_column_width(const Estimated *estimated, int coverage)
{
    const RbPairings *pairings = estimated->pairings;
    int widest =
        MIN(NAME_WIDTH,
            rb_text_width(rb_table_column_name(pairings, estimated->names, coverage)));
    for (int concept = 0; concept <= pairings->n_concepts; concept ++) {
        char *lines[CELL_LINES];
        cell_lines(estimated, rb_table_tally(pairings, concept, coverage), lines);
        for (int line = 0; line < CELL_LINES; line++) {
            widest = MAX(widest, lines[line] != NULL ? clean_width(lines[line]) : 0);
        }
        free_lines(lines);
    }
    return widest;
}

static void add_concept(RbTextTable *table, const Estimated *estimated, int concept,
                        int from, int to)
{
    const RbPairings *pairings = estimated->pairings;
    typedef char *CellLines[CELL_LINES];
    g_autofree CellLines *cells = g_new0(CellLines, to - from);
    g_autofree const char **row = g_new0(const char *, to - from + 1);
    for (int coverage = from; coverage < to; coverage++) {
        cell_lines(estimated, rb_table_tally(pairings, concept, coverage),
                   cells[coverage - from]);
    }
    for (int line = 0; line < CELL_LINES; line++) {
        row[0] =
            line == 0 ? rb_table_row_name(pairings, estimated->names, concept) : NULL;
        for (int i = 0; i < to - from; i++) {
            row[i + 1] = cells[i][line];
        }
        rb_text_table_row(table, row);
    }
    for (int i = 0; i < to - from; i++) {
        free_lines(cells[i]);
    }
}

/* Coverages `from` up to, not including, `to`. */
static void print_block(const Estimated *estimated, int from, int to, GString *out)
{
    const RbPairings *pairings = estimated->pairings;
    const int n_columns = to - from + 1;
    g_autofree RbAlign *aligns = g_new(RbAlign, n_columns);
    g_autofree const char **head = g_new0(const char *, n_columns);
    g_autofree const char **blank = g_new0(const char *, n_columns);
    aligns[0] = RB_ALIGN_LEFT;
    for (int i = 1; i < n_columns; i++) {
        aligns[i] = RB_ALIGN_RIGHT;
        head[i] = rb_table_column_name(pairings, estimated->names, from + i - 1);
    }
    g_autoptr(RbTextTable) table = rb_text_table_new(n_columns, aligns);
    rb_text_table_row(table, head);
    rb_text_table_rule(table);
    for (int concept = 0; concept <= pairings->n_concepts; concept ++) {
        if (concept == pairings->n_concepts) {
            rb_text_table_rule(table);
        } else if (concept > 0) {
            rb_text_table_row(table, blank);
        }
        add_concept(table, estimated, concept, from, to);
    }
    g_autofree char *text = rb_text_table_print(table, NAME_WIDTH);
    g_string_append(out, text);
}

char *rb_pairings_text(const RbPairings *pairings, const RbReportNames *names, int width)
{
    GString *out = g_string_new(NULL);
    g_autofree RbMeasured *figures = g_new0(RbMeasured, pairings->n_cells + 1);
    rb_pairings_measure(pairings, RB_MEASURE_SUCCESS, figures);
    const Estimated estimated = { pairings, names, figures };
    int names_width = rb_text_width(_("All"));
    for (int i = 0; i < pairings->n_concepts; i++) {
        names_width =
            MAX(names_width, rb_text_width(rb_table_row_name(pairings, names, i)));
    }
    names_width = MIN(names_width, NAME_WIDTH);
    int from = 0;
    while (pairings->n_cells > 0 && from <= pairings->n_coverages) {
        int to = from;
        int used = names_width;
        while (to <= pairings->n_coverages) {
            used += GAP + pairing_column_width(&estimated, to);
            if (width > 0 && used > width && to > from) {
                break;
            }
            to++;
        }
        print_block(&estimated, from, to, out);
        g_string_append_c(out, '\n');
        from = to;
    }
    if (pairings->n_cells == 0) {
        g_string_append_printf(out, "%s\n",
                               _("No dropbacks with both a concept and a coverage."));
    } else {
        g_string_append_printf(
            out,
            _("Each cell: its success rate drawn towards what its concept and coverage do "
              "elsewhere,\nwith its dropbacks and 80 %% interval; points a dropback. All: plain "
              "rates, 95 %%.\n"
              "Under %d dropbacks only the count. Points compare this team with itself.\n"),
            RB_PAIRING_MIN);
    }
    if (pairings->untagged > 0) {
        g_autofree char *count = rb_dropbacks_text(pairings->untagged);
        g_string_append_printf(out, _("Left out: %s without a concept or a coverage."),
                               count);
        g_string_append_c(out, '\n');
    }
    return g_string_free(out, FALSE);
}

/* "2  Pivot", "No read". Returns: (transfer full). */
static char *rung_text(int read, const char *const *reads)
{
    if (read == 0) {
        return g_strdup(_("No read"));
    }
    const char *name = reads != NULL && reads[read] != NULL ? reads[read] : "";
    return g_strdup_printf("%d  %s", read, name);
}

static void add_part(RbTextTable *table, const RbLadder *ladder, const RbBreak *found,
                     const RbLadderPart *part, const char *rung, int most)
{
    const RbLadderCell *cell = &ladder->cells[part->read][part->stage];
    g_autofree char *count = g_strdup_printf("%d", cell->dropbacks);
    g_autofree char *points =
        cell->pointed > 0 ? rb_points_text(cell->points, 1) : g_strdup("");
    g_autoptr(GString) bar = g_string_new(NULL);
    const int scale = MAX(most, BAR_WIDTH);
    append_repeated(bar, "█", MAX(1, cell->dropbacks * BAR_WIDTH / scale));
    const bool here = rb_break_is_shown(found) && found->read == part->read &&
                      found->stage == part->stage;
    const char *const row[] = { rung,   rb_stage_phrase(part->stage),
                                count,  bar->str,
                                points, here ? rb_break_mark(found) : NULL };
    rb_text_table_row(table, row);
}

static int most_of(const RbLadder *ladder, const RbLadderPart *parts, int n)
{
    int most = 1;
    for (int i = 0; i < n; i++) {
        most = MAX(most, ladder->cells[parts[i].read][parts[i].stage].dropbacks);
    }
    return most;
}

char *rb_ladder_text(const RbLadder *ladder, const RbBreak *found,
                     const char *const *reads)
{
    static const RbAlign aligns[] = { RB_ALIGN_LEFT, RB_ALIGN_LEFT,  RB_ALIGN_RIGHT,
                                      RB_ALIGN_LEFT, RB_ALIGN_RIGHT, RB_ALIGN_LEFT };
    const char *const head[] = { _("Read"), _("Ended at"), _("Dropbacks"),
                                 NULL,      _("Points"),   NULL };
    enum { PARTS_MAX = (RB_READS_MAX + 1) * RB_STAGES };
    RbLadderPart parts[PARTS_MAX];
    const int n = rb_ladder_parts(ladder, parts, PARTS_MAX);
    g_autoptr(RbTextTable) table = rb_text_table_new(G_N_ELEMENTS(aligns), aligns);
    rb_text_table_row(table, head);
    rb_text_table_rule(table);
    const int most = most_of(ladder, parts, n);
    for (int i = 0; i < n; i++) {
        const bool first = i == 0 || parts[i - 1].read != parts[i].read;
        g_autofree char *rung = first ? rung_text(parts[i].read, reads) : g_strdup("");
        add_part(table, ladder, found, &parts[i], rung, most);
    }
    g_autofree char *total = g_strdup_printf("%d", ladder->dropbacks);
    g_autofree char *points =
        ladder->pointed > 0 ? rb_points_text(ladder->points, 1) : g_strdup("");
    const char *const foot[] = { _("All"), NULL, total, NULL, points, NULL };
    rb_text_table_rule(table);
    rb_text_table_row(table, foot);
    g_autofree char *text = rb_text_table_print(table, NAME_WIDTH);
    if (found == NULL) {
        return g_steal_pointer(&text);
    }
    g_autofree char *sentence = rb_break_text(found, ladder);
    return g_strconcat(text, sentence, "\n", NULL);
}
