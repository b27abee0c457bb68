/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdarg.h>
#include <string.h>
#include <unistd.h>

#include "cli.h"

struct CliTable {
    int columns;
    bool is_number[16];
    int width[16];
    GPtrArray *cells; /* owned, of char *: row by row, heads first */
};

/* Columns of a terminal that a text takes. */
static int text_width(const char *text)
{
    int width = 0;
    for (const char *c = text; *c != '\0'; c = g_utf8_next_char(c)) {
        const gunichar character = g_utf8_get_char(c);
        width += g_unichar_iszerowidth(character) ? 0
                 : g_unichar_iswide(character)    ? 2
                                                  : 1;
    }
    return width;
}

static void add_cell(CliTable *table, char *text)
{
    const int column = (int)table->cells->len % table->columns;
    table->width[column] = MAX(table->width[column], text_width(text));
    g_ptr_array_add(table->cells, text);
}

CliTable *cli_table_new(const char *const *heads)
{
    CliTable *table = g_new0(CliTable, 1);
    table->cells = g_ptr_array_new_with_free_func(g_free);
    table->columns = (int)g_strv_length((char **)heads);
    g_assert(table->columns <= (int)G_N_ELEMENTS(table->width));
    for (int i = 0; i < table->columns; i++) {
        table->is_number[i] = heads[i][0] == '>';
        add_cell(table, g_strdup(heads[i] + (table->is_number[i] ? 1 : 0)));
    }
    return table;
}

void cli_table_add(CliTable *table, ...)
{
    va_list texts;
    va_start(texts, table);
    for (int i = 0; i < table->columns; i++) {
        /* A terminal obeys control characters; a name from a file must not speak to it. */
        char *text = g_utf8_make_valid(va_arg(texts, char *), -1);
        for (char *c = text; *c != '\0'; c++) {
            *c = g_ascii_iscntrl(*c) ? ' ' : *c;
        }
        add_cell(table, text);
    }
    va_end(texts);
}

void cli_table_print(CliTable *table, FILE *out)
{
    for (guint i = 0; i < table->cells->len; i++) {
        const int column = (int)i % table->columns;
        const char *text = table->cells->pdata[i];
        const int gap = table->width[column] - text_width(text);
        const bool is_last = column + 1 == table->columns;
        if (table->is_number[column]) {
            fprintf(out, "%*s%s", gap, "", text);
        } else {
            fprintf(out, "%s%*s", text, is_last ? 0 : gap, "");
        }
        fputs(is_last ? "\n" : "  ", out);
        if (is_last && (int)i + 1 == table->columns) {
            for (int j = 0; j < table->columns; j++) {
                for (int k = 0; k < table->width[j]; k++) {
                    fputc('-', out);
                }
                fputs(j + 1 == table->columns ? "\n" : "  ", out);
            }
        }
    }
    g_ptr_array_unref(table->cells);
    g_free(table);
}

void cli_print_json(json_t *root)
{
    json_dumpf(root, stdout, JSON_INDENT(2));
    putchar('\n');
    json_decref(root);
}

char *cli_points(double points, bool has_points)
{
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    if (!has_points) {
        return g_strdup("-");
    }
    /* What rounds to nothing has no sign. */
    const double shown = fabs(points) < 0.005 ? 0.0 : points;
    return g_strdup(g_ascii_formatd(text, sizeof text, "%+.2f", shown));
}

char *cli_percent(int part, int n)
{
    if (n == 0) {
        return g_strdup("-");
    }
    return g_strdup_printf("%d %%", (200 * part + n) / (2 * n));
}

static void on_progress(double fraction, const char *what, void *data)
{
    int *shown = data;
    const int percent = fraction < 0 ? -1 : (int)(fraction * 100.0);
    if (percent == *shown) {
        return;
    }
    *shown = percent;
    fprintf(stderr, "\r\033[K%3d %%  %s", MAX(percent, 0), what != NULL ? what : "");
    fflush(stderr);
}

/* One program shows one progress at a time. */
static int percent_shown = -2;

RbProgress *cli_progress_new(void)
{
    return isatty(STDERR_FILENO) ? rb_progress_new(on_progress, &percent_shown) : NULL;
}

void cli_progress_end(RbProgress *progress)
{
    if (progress != NULL) {
        fputs("\r\033[K", stderr);
        rb_progress_free(progress);
    }
}
