/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdarg.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "rb/report/words.h"

#include "cli.h"

enum { COLUMNS_MAX = 16 };

CliTable cli_table(const char *aligns, const char *const *heads)
{
    RbAlign columns_align[COLUMNS_MAX];
    const int columns = (int)g_strv_length((char **)heads);
    g_assert(columns <= COLUMNS_MAX && (int)strlen(aligns) == columns);
    for (int i = 0; i < columns; i++) {
        columns_align[i] = aligns[i] == '>' ? RB_ALIGN_RIGHT : RB_ALIGN_LEFT;
    }
    const CliTable table = { rb_text_table_new(columns, columns_align), columns };
    rb_text_table_row(table.text, heads);
    rb_text_table_rule(table.text);
    return table;
}

void cli_table_add(const CliTable *table, ...)
{
    char *texts[COLUMNS_MAX];
    va_list arguments;
    va_start(arguments, table);
    for (int i = 0; i < table->columns; i++) {
        texts[i] = va_arg(arguments, char *);
    }
    va_end(arguments);
    rb_text_table_row(table->text, (const char *const *)texts);
    for (int i = 0; i < table->columns; i++) {
        g_free(texts[i]);
    }
}

void cli_table_drop(CliTable *table)
{
    rb_text_table_free(table->text);
}

void cli_table_print(CliTable *table)
{
    g_autofree char *text = rb_text_table_print(table->text, 0);
    fputs(text, stdout);
    g_clear_pointer(&table->text, rb_text_table_free);
}

char *cli_pad(const char *text, int width)
{
    const int room = MAX(0, width - rb_text_width(text));
    return g_strdup_printf("%s%*s", text, room, "");
}

int cli_width(void)
{
    struct winsize size;
    if (!isatty(STDOUT_FILENO) || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0) {
        return 0;
    }
    return size.ws_col;
}

void cli_print_json(json_t *root)
{
    json_dumpf(root, stdout, JSON_INDENT(2));
    putchar('\n');
    json_decref(root);
}

char *cli_points(double points, bool has_points)
{
    return has_points ? rb_points_text(points, 2) : g_strdup("-");
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
