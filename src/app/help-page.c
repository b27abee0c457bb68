/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "help-page.h"

#include <string.h>

typedef struct {
    GPtrArray *blocks; /* owned */
    GString *text;     /* owned, nullable: what is being read */
    bool in_body;
    bool plain; /* pre: blanks count */
    int next;   /* number of the next item; 0: not numbered */
} Reading;

static const struct {
    const char *element;
    const char *begin;
    const char *end;
} spans[] = {
    { "em", "<i>", "</i>" },
    { "strong", "<b>", "</b>" },
    { "code", "<tt>", "</tt>" },
    { "kbd", "<b>", "</b>" },
};

static void block_free(void *data)
{
    RbHelpBlock *block = data;
    g_free(block->id);
    g_ptr_array_unref(block->texts);
    g_free(block);
}

static RbHelpBlock *add_block(Reading *reading, RbHelpKind kind, const char *id)
{
    RbHelpBlock *block = g_new0(RbHelpBlock, 1);
    block->kind = kind;
    block->id = g_strdup(id);
    block->texts = g_ptr_array_new_with_free_func(g_free);
    g_ptr_array_add(reading->blocks, block);
    return block;
}

static RbHelpBlock *last_block(const Reading *reading)
{
    const guint n = reading->blocks->len;
    return n > 0 ? reading->blocks->pdata[n - 1] : NULL;
}

static const char *attribute(const char **names, const char **values, const char *name)
{
    for (int i = 0; names[i] != NULL; i++) {
        if (strcmp(names[i], name) == 0) {
            return values[i];
        }
    }
    return NULL;
}

static bool is_one_of(const char *element, const char *const *names)
{
    return g_strv_contains(names, element);
}

static const char *const frames[] = { "html", "head", "title", "body", "table", NULL };
static const char *const lists[] = { "ul", "ol", NULL };
static const char *const cells[] = { "th", "td", NULL };
static const char *const headings[] = { "h1", "h2", "h3", NULL };

/* An element that text is in. False for another one. */
static bool begin_text(Reading *reading, const char *element, const char *id)
{
    if (is_one_of(element, headings)) {
        add_block(reading, RB_HELP_HEADING, id)->level = element[1] - '0';
    } else if (strcmp(element, "p") == 0) {
        add_block(reading, RB_HELP_TEXT, id);
    } else if (strcmp(element, "li") == 0) {
        add_block(reading, RB_HELP_ITEM, id)->number = reading->next;
        reading->next += reading->next > 0;
    } else if (strcmp(element, "pre") == 0) {
        add_block(reading, RB_HELP_CODE, id);
        reading->plain = true;
    } else if (is_one_of(element, cells) && last_block(reading) != NULL &&
               last_block(reading)->kind == RB_HELP_ROW) {
        last_block(reading)->head = element[1] == 'h';
    } else {
        return false;
    }
    reading->text = g_string_new(NULL);
    return true;
}

static bool begin_span(Reading *reading, const char *element, const char *target)
{
    if (strcmp(element, "a") == 0 && target != NULL) {
        g_autofree char *escaped = g_markup_escape_text(target, -1);
        g_string_append_printf(reading->text, "<a href=\"%s\">", escaped);
        return true;
    }
    for (size_t i = 0; i < G_N_ELEMENTS(spans); i++) {
        if (strcmp(element, spans[i].element) == 0) {
            g_string_append(reading->text, spans[i].begin);
            return true;
        }
    }
    return false;
}

static void on_start(GMarkupParseContext *context, const char *element,
                     const char **names, const char **values, gpointer data,
                     GError **error)
{
    (void)context;
    Reading *reading = data;
    bool known = is_one_of(element, frames);
    reading->in_body = reading->in_body || strcmp(element, "body") == 0;
    if (reading->text != NULL) {
        known = begin_span(reading, element, attribute(names, values, "href"));
    } else if (is_one_of(element, lists)) {
        reading->next = element[0] == 'o';
        known = true;
    } else if (strcmp(element, "tr") == 0) {
        add_block(reading, RB_HELP_ROW, NULL);
        known = true;
    } else if (!known) {
        known = begin_text(reading, element, attribute(names, values, "id"));
    }
    if (!known) {
        g_set_error(error, G_MARKUP_ERROR, G_MARKUP_ERROR_UNKNOWN_ELEMENT,
                    "The help has no element %s in this place.", element);
    }
}

static void end_text(Reading *reading)
{
    GString *text = g_steal_pointer(&reading->text);
    g_ptr_array_add(last_block(reading)->texts, g_strstrip(g_string_free(text, FALSE)));
    reading->plain = false;
}

static bool holds_text(const char *element)
{
    static const char *const others[] = { "p", "li", "pre", NULL };
    return is_one_of(element, others) || is_one_of(element, headings) ||
           is_one_of(element, cells);
}

static void on_end(GMarkupParseContext *context, const char *element, gpointer data,
                   GError **error)
{
    (void)context;
    (void)error;
    Reading *reading = data;
    if (reading->text == NULL) {
        return;
    }
    if (holds_text(element)) {
        end_text(reading);
        return;
    }
    if (strcmp(element, "a") == 0) {
        g_string_append(reading->text, "</a>");
    }
    for (size_t i = 0; i < G_N_ELEMENTS(spans); i++) {
        if (strcmp(element, spans[i].element) == 0) {
            g_string_append(reading->text, spans[i].end);
        }
    }
}

/* Blanks and line ends in a row are one blank, as in a browser. */
static void on_text(GMarkupParseContext *context, const char *text, gsize size,
                    gpointer data, GError **error)
{
    (void)context;
    (void)error;
    Reading *reading = data;
    if (reading->text == NULL || !reading->in_body) {
        return;
    }
    g_autofree char *escaped = g_markup_escape_text(text, (gssize)size);
    for (const char *at = escaped; *at != '\0'; at++) {
        const bool blank = g_ascii_isspace(*at) && !reading->plain;
        const gsize length = reading->text->len;
        if (!blank) {
            g_string_append_c(reading->text, *at);
        } else if (length == 0 || reading->text->str[length - 1] != ' ') {
            g_string_append_c(reading->text, ' ');
        }
    }
}

GPtrArray *rb_help_page_parse(const char *text, gssize size, GError **error)
{
    static const GMarkupParser parser = { on_start, on_end, on_text, NULL, NULL };
    Reading reading = { .blocks = g_ptr_array_new_with_free_func(block_free) };
    GMarkupParseContext *context =
        g_markup_parse_context_new(&parser, G_MARKUP_DEFAULT_FLAGS, &reading, NULL);
    const bool ok = g_markup_parse_context_parse(context, text, size, error) &&
                    g_markup_parse_context_end_parse(context, error);
    g_markup_parse_context_free(context);
    if (reading.text != NULL) {
        g_string_free(reading.text, TRUE);
    }
    if (!ok) {
        g_clear_pointer(&reading.blocks, g_ptr_array_unref);
    }
    return reading.blocks;
}

int rb_help_page_find(const GPtrArray *blocks, const char *id)
{
    for (guint i = 0; i < blocks->len; i++) {
        const RbHelpBlock *block = blocks->pdata[i];
        if (g_strcmp0(block->id, id) == 0) {
            return (int)i;
        }
    }
    return -1;
}
