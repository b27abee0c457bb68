/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>
#include <string.h>

#include "boxed-private.h"
#include "clean-private.h"

static const double line_step = 1.15; /* of the size */
/* Words are kept whole rather than large, down to this size. */
static const double whole_words = 5.5;

static bool fits(RbDrawing *drawing, const RbTextStyle *style, const char *text,
                 double width)
{
    return rb_drawing_measure(drawing, style, text) <= width;
}

/* Ends the line and starts the next one. */
static void break_line(GPtrArray *lines, GString *line)
{
    g_ptr_array_add(lines, g_strdup(line->str));
    g_string_truncate(line, 0);
}

/* Ends the line after its last hyphen, if it has one, else after its last letter. */
static void break_word(GPtrArray *lines, GString *line)
{
    const char *hyphen = strrchr(line->str, '-');
    const gsize kept = hyphen != NULL ? (gsize)(hyphen - line->str) + 1 : line->len;
    g_autofree char *rest = g_strdup(line->str + kept);
    g_string_truncate(line, kept);
    break_line(lines, line);
    g_string_append(line, rest);
}

/* Whether it can only be broken inside what stands between its hyphens. */
static bool is_unbreakable(RbDrawing *drawing, const RbTextStyle *style, double width,
                           const char *word)
{
    g_auto(GStrv) parts = g_strsplit(word, "-", -1);
    bool broken = false;
    for (int i = 0; parts[i] != NULL; i++) {
        g_autofree char *part =
            g_strconcat(parts[i], parts[i + 1] != NULL ? "-" : "", NULL);
        broken = broken || !fits(drawing, style, part, width);
    }
    return broken;
}

/* Adds a word that is wider than a line, letter by letter, to an empty line. */
static void add_long_word(RbDrawing *drawing, const RbTextStyle *style, double width,
                          const char *word, GPtrArray *lines, GString *line)
{
    for (const char *at = word; *at != '\0'; at = g_utf8_next_char(at)) {
        const gsize before = line->len;
        g_string_append_unichar(line, g_utf8_get_char(at));
        if (before > 0 && !fits(drawing, style, line->str, width)) {
            g_string_truncate(line, before);
            break_word(lines, line);
            g_string_append_unichar(line, g_utf8_get_char(at));
        }
    }
}

/* broken: (out): a word had to be, elsewhere than at a hyphen. Returns: (transfer full): of char *; at least one. */
static GPtrArray *wrap(RbDrawing *drawing, const RbTextStyle *style, double width,
                       const char *clean, bool *broken)
{
    *broken = false;
    GPtrArray *lines = g_ptr_array_new_with_free_func(g_free);
    g_auto(GStrv) words = g_strsplit(clean, " ", -1);
    g_autoptr(GString) line = g_string_new(NULL);
    for (int i = 0; words[i] != NULL; i++) {
        const gsize before = line->len;
        g_string_append_printf(line, "%s%s", before > 0 ? " " : "", words[i]);
        if (fits(drawing, style, line->str, width)) {
            continue;
        }
        g_string_truncate(line, before);
        if (before > 0) {
            break_line(lines, line);
        }
        *broken = *broken || is_unbreakable(drawing, style, width, words[i]);
        add_long_word(drawing, style, width, words[i], lines, line);
    }
    break_line(lines, line);
    return lines;
}

int rb_drawing_lines(RbDrawing *drawing, const RbTextStyle *style, double width,
                     const char *text)
{
    g_autofree char *clean = rb_text_clean(text);
    bool broken = false;
    g_autoptr(GPtrArray) lines = wrap(drawing, style, width, clean, &broken);
    return (int)lines->len;
}

/* Keeps the first `n` lines; what is left out is told by an ellipsis. */
static void cut(GPtrArray *lines, guint n)
{
    if (lines->len <= n) {
        return;
    }
    char *last = lines->pdata[n - 1];
    const glong length = g_utf8_strlen(last, -1);
    g_autofree char *kept = g_utf8_substring(last, 0, MAX(length - 1, 0));
    lines->pdata[n - 1] = g_strconcat(kept, "\u2026", NULL);
    g_free(last);
    g_ptr_array_set_size(lines, (int)n);
}

void rb_drawing_boxed(RbDrawing *drawing, const RbTextBox *box, const RbTextStyle *style,
                      const char *text)
{
    g_autofree char *clean = rb_text_clean(text);
    RbTextStyle fitted = *style;
    bool broken = false;
    g_autoptr(GPtrArray) lines = wrap(drawing, &fitted, box->box.width, clean, &broken);
    while (fitted.size > box->least &&
           (lines->len * fitted.size * line_step > box->box.height ||
            (broken && fitted.size > whole_words))) {
        fitted.size = MAX(box->least, fitted.size - 0.5);
        g_ptr_array_unref(lines);
        lines = wrap(drawing, &fitted, box->box.width, clean, &broken);
    }
    const double step = fitted.size * line_step;
    cut(lines, MAX(1u, (guint)(box->box.height / step)));
    const double x = box->box.x + (style->anchor == RB_ANCHOR_END ? box->box.width : 0.0);
    const double first = box->from_top ? box->box.y + fitted.size * 0.9
                                       : box->box.y + box->box.height -
                                             (lines->len - 1) * step - fitted.size * 0.2;
    for (guint i = 0; i < lines->len; i++) {
        rb_drawing_text(drawing, x, first + i * step, &fitted, lines->pdata[i]);
    }
}
