/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bytes of unknown encoding and layout into heads and lines of UTF-8 text. */
#include "config.h"

#include <csv.h>
#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"
#include "rb/work/error.h"

#include "log-private.h"

enum { CELL_MAX = 4000, HEAD_SEARCH = 12 };

static void free_line(void *data)
{
    RbLogLine *line = data;
    g_strfreev(line->cells);
    g_free(line);
}

void rb_log_table_free(RbLogTable *table)
{
    if (table != NULL) {
        g_clear_pointer(&table->heads, g_ptr_array_unref);
        g_clear_pointer(&table->lines, g_ptr_array_unref);
        g_free(table->encoding);
        g_free(table);
    }
}

static bool refuse(GError **error, const char *name, const char *why)
{
    return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE, _("%s %s"), name, why);
}

/* Encoding. */

/* UTF-16 without a mark: text of our languages has a zero byte in every second place. */
static const char *guess_wide(const uint8_t *data, size_t size)
{
    size_t zeros[2] = { 0, 0 };
    const size_t look = MIN(size, 4096) & ~(size_t)1;
    for (size_t i = 0; i < look; i++) {
        zeros[i & 1] += data[i] == 0;
    }
    if (look >= 4 && zeros[1] * 3 > look && zeros[0] == 0) {
        return "UTF-16LE";
    }
    return look >= 4 && zeros[0] * 3 > look && zeros[1] == 0 ? "UTF-16BE" : NULL;
}

static const char *find_encoding(const uint8_t *data, size_t size, size_t *skip)
{
    static const struct {
        const char *mark;
        size_t n;
        const char *encoding;
    } marks[] = {
        { "\xef\xbb\xbf", 3, "UTF-8" },
        { "\xff\xfe\0\0", 4, "UTF-32LE" },
        { "\xff\xfe", 2, "UTF-16LE" },
        { "\xfe\xff", 2, "UTF-16BE" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(marks); i++) {
        if (size >= marks[i].n && memcmp(data, marks[i].mark, marks[i].n) == 0) {
            *skip = marks[i].n;
            return marks[i].encoding;
        }
    }
    *skip = 0;
    const char *wide = guess_wide(data, size);
    if (wide != NULL) {
        return wide;
    }
    return g_utf8_validate((const char *)data, (gssize)size, NULL) ? "UTF-8"
                                                                   : "WINDOWS-1252";
}

/* Returns: (transfer full) (nullable): the text without a zero in it. */
static char *decode(GBytes *bytes, const char *name, char **encoding, GError **error)
{
    gsize size = 0;
    const uint8_t *data = g_bytes_get_data(bytes, &size);
    if (size > RB_LOG_BYTES_MAX) {
        refuse(error, name, _("is too large for a play log (over 32 MB)."));
        return NULL;
    }
    if (size >= 4 && memcmp(data, "PK\x03\x04", 4) == 0) {
        refuse(error, name,
               _("is a spreadsheet itself; save it as CSV from the spreadsheet program "
                 "and import that."));
        return NULL;
    }
    size_t skip = 0;
    const char *from = size > 0 ? find_encoding(data, size, &skip) : "UTF-8";
    gsize written = 0;
    g_autofree char *text =
        g_convert(size > 0 ? (const char *)data + skip : "", (gssize)(size - skip),
                  "UTF-8", from, NULL, &written, NULL);
    if (text == NULL || strlen(text) != written ||
        !g_utf8_validate(text, (gssize)written, NULL)) {
        refuse(
            error, name,
            _("is not text in a known encoding; save it as CSV in UTF-8 and try again."));
        return NULL;
    }
    *encoding = g_strdup(from);
    return g_steal_pointer(&text);
}

/* Cells. */

typedef struct {
    GPtrArray *lines; /* owned, of RbLogLine, ragged */
    GPtrArray *cells; /* owned, of char *: of the line being read */
    int line;         /* of the record being read */
    int newlines;     /* inside the cells of it */
    size_t widest;
    bool too_much;
} Build;

static void on_cell(void *data, size_t size, void *user)
{
    Build *build = user;
    if (build->cells->len > RB_LOG_COLUMNS_MAX || size > CELL_MAX ||
        build->lines->len > RB_LOG_ROWS_MAX + HEAD_SEARCH) {
        build->too_much = true;
        return;
    }
    char *cell = g_strndup(data != NULL ? data : "", size);
    for (const char *at = cell; *at != '\0'; at++) {
        build->newlines += *at == '\n' || (*at == '\r' && at[1] != '\n');
    }
    char *trimmed = g_strdup(rb_log_trim(cell));
    g_free(cell);
    g_ptr_array_add(build->cells, trimmed);
}

static void on_line(int end, void *user)
{
    (void)end;
    Build *build = user;
    bool blank = true;
    for (guint i = 0; i < build->cells->len; i++) {
        blank = blank && *(const char *)build->cells->pdata[i] == '\0';
    }
    if (blank) {
        g_ptr_array_set_size(build->cells, 0);
    } else {
        RbLogLine *line = g_new0(RbLogLine, 1);
        line->line = build->line;
        build->widest = MAX(build->widest, build->cells->len);
        g_ptr_array_add(build->cells, NULL);
        line->cells = (char **)g_ptr_array_free(build->cells, FALSE);
        build->cells = g_ptr_array_new_with_free_func(g_free);
        g_ptr_array_add(build->lines, line);
    }
    build->line += 1 + build->newlines;
    build->newlines = 0;
}

/* libcsv hands over a record at each line end; blank ones too, so that lines are counted. It
 * forgives quotation marks inside a cell; one that is never closed is still open after the last
 * line end. False for that, or when the table is out of bounds. */
static bool split(const char *text, char delimiter, Build *build)
{
    struct csv_parser parser;
    *build = (Build){ g_ptr_array_new_with_free_func(free_line),
                      g_ptr_array_new_with_free_func(g_free),
                      1,
                      0,
                      0,
                      false };
    if (csv_init(&parser, CSV_REPALL_NL) != 0) {
        return false;
    }
    csv_set_delim(&parser, (unsigned char)delimiter);
    const size_t size = strlen(text);
    bool ok = csv_parse(&parser, text, size, on_cell, on_line, build) == size &&
              csv_parse(&parser, "\n", 1, on_cell, on_line, build) == 1 &&
              parser.quoted == 0;
    csv_fini(&parser, on_cell, on_line, build);
    csv_free(&parser);
    return ok && !build->too_much;
}

static void build_clear(Build *build)
{
    g_clear_pointer(&build->lines, g_ptr_array_unref);
    g_clear_pointer(&build->cells, g_ptr_array_unref);
}

/* CR LF is one line end to a person; libcsv reports each of the two. */
static char *plain_line_ends(const char *text)
{
    GString *out = g_string_sized_new(strlen(text));
    for (; *text != '\0'; text++) {
        if (*text == '\r') {
            g_string_append_c(out, '\n');
            text += text[1] == '\n';
        } else {
            g_string_append_c(out, *text);
        }
    }
    return g_string_free(out, FALSE);
}

/* How well a delimiter cuts the text: the lines that have the commonest number of cells. */
static double judge(const Build *build)
{
    g_autofree int *counts = g_new0(int, build->widest + 1);
    for (guint i = 0; i < build->lines->len; i++) {
        const RbLogLine *line = build->lines->pdata[i];
        counts[g_strv_length(line->cells)]++;
    }
    double best = 0.0;
    for (size_t n = 2; n <= build->widest; n++) {
        /* More columns win among equals, but never over regular lines. */
        best = MAX(best, counts[n] + MIN((double)n, 99.0) / 100.0);
    }
    return best;
}

static bool split_best(const char *text, Build *best, char *delimiter)
{
    static const char delimiters[] = ",;\t|";
    double most = 0.0;
    bool found = false;
    for (const char *one = delimiters; *one != '\0'; one++) {
        Build build;
        if (strchr(text, *one) == NULL) {
            continue;
        }
        const bool ok = split(text, *one, &build);
        const double score = ok ? judge(&build) : 0.0;
        if (score > most) {
            if (found) {
                build_clear(best);
            }
            *best = build;
            *delimiter = *one;
            most = score;
            found = true;
        } else {
            build_clear(&build);
        }
    }
    return found;
}

/* Titles may stand above the heads: these are the line that names most columns we know. */
static guint find_heads(const GPtrArray *lines)
{
    guint best = 0;
    int most = 0;
    for (guint i = 0; i < lines->len && i < HEAD_SEARCH; i++) {
        const RbLogLine *line = lines->pdata[i];
        int known = 0;
        for (int j = 0; line->cells[j] != NULL; j++) {
            known += rb_log_name_is_known(line->cells[j]);
        }
        if (known > most) {
            most = known;
            best = i;
        }
    }
    return best;
}

/* A table without heads starts with a play: two numbers are no names. */
static bool has_heads(const RbLogLine *line)
{
    int numbers = 0;
    for (int j = 0; line->cells[j] != NULL; j++) {
        int number = 0;
        numbers += rb_log_cell_number(line->cells[j], &number);
    }
    return numbers < 2;
}

static RbLogLine *copy_line(const RbLogLine *from, guint columns)
{
    RbLogLine *line = g_new0(RbLogLine, 1);
    const guint n = g_strv_length(from->cells);
    line->line = from->line;
    line->n = (int)n;
    line->cells = g_new0(char *, MAX(columns, n) + 1);
    for (guint j = 0; j < MAX(columns, n); j++) {
        line->cells[j] = g_strdup(j < n ? from->cells[j] : "");
    }
    return line;
}

static int find_usual(const GPtrArray *lines)
{
    int counts[RB_LOG_COLUMNS_MAX + 2] = { 0 };
    int usual = 0;
    for (guint i = 0; i < lines->len; i++) {
        const RbLogLine *line = lines->pdata[i];
        const int n = MIN(line->n, RB_LOG_COLUMNS_MAX + 1);
        counts[n]++;
        usual = counts[n] > counts[usual] ? n : usual;
    }
    return usual;
}

static void take_lines(RbLogTable *table, const GPtrArray *lines)
{
    const guint at = find_heads(lines);
    const RbLogLine *head = lines->pdata[at];
    const bool named = has_heads(head);
    guint columns = g_strv_length(head->cells);
    /* Nameless columns at the end are a spreadsheet's habit. */
    while (named && columns > 1 && *head->cells[columns - 1] == '\0') {
        columns--;
    }
    columns = MIN(columns, RB_LOG_COLUMNS_MAX);
    table->heads = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < columns; i++) {
        g_ptr_array_add(table->heads,
                        named ? g_strdup(head->cells[i]) : g_strdup_printf("%u", i + 1));
    }
    table->lines = g_ptr_array_new_with_free_func(free_line);
    for (guint i = named ? at + 1 : at; i < lines->len; i++) {
        g_ptr_array_add(table->lines, copy_line(lines->pdata[i], columns));
    }
    table->usual = find_usual(table->lines);
}

RbLogTable *rb_log_table_parse(GBytes *bytes, const char *name, GError **error)
{
    g_autofree char *encoding = NULL;
    g_autofree char *decoded = decode(bytes, name, &encoding, error);
    if (decoded == NULL) {
        return NULL;
    }
    g_autofree char *text = plain_line_ends(decoded);
    Build build;
    char delimiter = '\0';
    if (!split_best(text, &build, &delimiter)) {
        refuse(
            error, name,
            _("is no table: its lines do not fall into columns by comma, semicolon, tab "
              "or bar, or a quotation mark is never closed. Save it as CSV and try again."));
        return NULL;
    }
    RbLogTable *table = g_new0(RbLogTable, 1);
    table->encoding = g_steal_pointer(&encoding);
    table->delimiter = delimiter;
    take_lines(table, build.lines);
    build_clear(&build);
    if (table->lines->len == 0 || table->lines->len > RB_LOG_ROWS_MAX) {
        refuse(error, name,
               table->lines->len == 0
                   ? _("has column names, but no plays under them.")
                   : _("has over 20,000 lines; that is no log of a game."));
        g_clear_pointer(&table, rb_log_table_free);
    }
    return table;
}

char *rb_log_table_fingerprint(const RbLogTable *table)
{
    GString *all = g_string_new(NULL);
    for (guint i = 0; i < table->heads->len; i++) {
        g_autofree char *plain = rb_log_plain(table->heads->pdata[i]);
        g_string_append_printf(all, "%s\n", plain);
    }
    const int64_t id = rb_id_from_text("log-source", all->str, NULL);
    g_string_free(all, TRUE);
    return g_strdup_printf("%" G_GINT64_FORMAT, id);
}
