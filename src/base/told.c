/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/base/told.h"

#include <glib/gi18n-lib.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#define OPEN '\x02'
#define CLOSE '\x03'
#define KEPT '\x1e'
#define NEXT '\x1f'
#define MARKS "\x02\x03\x1e\x1f"

enum {
    DEPTH_MAX = 10,       /* messages within messages */
    FIELDS_MAX = 32,      /* of one message */
    SHOWN_MAX = 16 << 10, /* bytes of a sentence */
    TOLD_MAX = 64 << 10,  /* bytes of what is read */
};

/* ---- a message filled */

typedef struct {
    int number;   /* of the field it shows, from 1; 0: the next one */
    int decimals; /* -1: not said */
    bool is_long;
    char letter; /* s, d, i, u or f */
    size_t size; /* bytes */
} Place;

/* The place at `text`, which begins with '%'. False: it is none. */
static bool read_place(const char *text, Place *place)
{
    const char *at = text + 1;
    *place = (Place){ .decimals = -1 };
    const size_t digits = strspn(at, "0123456789");
    if (digits > 0 && digits <= 2 && at[digits] == '$') {
        place->number = (int)g_ascii_strtoll(at, NULL, 10);
        at += digits + 1;
        if (place->number == 0) {
            return false;
        }
    }
    if (at[0] == '.' && g_ascii_isdigit(at[1])) {
        place->decimals = at[1] - '0';
        at += 2;
    }
    while (*at == 'l' || *at == 'j' || *at == 'z') {
        place->is_long = true;
        at++;
    }
    place->letter = *at;
    place->size = (size_t)(at + 1 - text);
    return *at != '\0' && strchr("sdiuf", *at) != NULL;
}

/* Returns: (transfer full) (nullable): NULL when there is nothing for a place, or too much. */
static char *fill(const char *message, char *const *fields, int n)
{
    g_autoptr(GString) text = g_string_new(NULL);
    int next = 0;
    for (const char *at = message; *at != '\0';) {
        Place place;
        if (*at != '%' || !(at[1] == '%' || read_place(at, &place))) {
            g_string_append_c(text, *at++);
            continue;
        }
        if (at[1] == '%') {
            g_string_append_c(text, '%');
            at += 2;
            continue;
        }
        const int field = place.number > 0 ? place.number - 1 : next++;
        if (field >= n || text->len > SHOWN_MAX) {
            return NULL;
        }
        g_string_append(text, fields[field]);
        at += place.size;
    }
    return text->len <= SHOWN_MAX ? g_string_free(g_steal_pointer(&text), FALSE) : NULL;
}

/* ---- told text read */

typedef struct {
    const char *at;
    bool translate;
} Reader;

static char *read_text(Reader *reader, int depth);

static char *one_or_many(const Reader *reader, char *const *fields, int n)
{
    guint64 count = 0;
    if (n < 3 || fields[0][0] == '\0' ||
        !g_ascii_string_to_unsigned(fields[2], 10, 0, ULONG_MAX, &count, NULL)) {
        return NULL;
    }
    const char *message = reader->translate ? g_dngettext(GETTEXT_PACKAGE, fields[0],
                                                          fields[1], (gulong)count)
                          : count == 1      ? fields[0]
                                            : fields[1];
    return fill(message, fields + 3, n - 3);
}

/* An empty message is what a catalogue keeps its own head under. */
static char *make_message(const Reader *reader, char kind, char *const *fields, int n)
{
    if (kind == '=' && n >= 1 && fields[0][0] != '\0') {
        return fill(reader->translate ? g_dgettext(GETTEXT_PACKAGE, fields[0])
                                      : fields[0],
                    fields + 1, n - 1);
    }
    if (kind == '@' && n >= 2 && fields[1][0] != '\0') {
        return fill(reader->translate
                        ? g_dpgettext2(GETTEXT_PACKAGE, fields[0], fields[1])
                        : fields[1],
                    fields + 2, n - 2);
    }
    if (kind == '#') {
        return one_or_many(reader, fields, n);
    }
    return kind == '_' && n == 1 ? g_utf8_strdown(fields[0], -1) : NULL;
}

/* Each field is made once, however often the message shows it: the work stays in proportion. */
static char *read_message(Reader *reader, int depth)
{
    g_autoptr(GPtrArray) fields = g_ptr_array_new_with_free_func(g_free);
    const char kind = *++reader->at;
    if (depth >= DEPTH_MAX || kind == '\0' || *++reader->at != NEXT) {
        return NULL;
    }
    while (*reader->at == NEXT) {
        reader->at++;
        char *field = fields->len < FIELDS_MAX ? read_text(reader, depth + 1) : NULL;
        if (field == NULL) {
            return NULL;
        }
        g_ptr_array_add(fields, field);
    }
    if (*reader->at != CLOSE) {
        return NULL;
    }
    reader->at++;
    return make_message(reader, kind, (char *const *)fields->pdata, (int)fields->len);
}

/* Up to where the field ends. Returns: (transfer full) (nullable): NULL when it makes no sense. */
static char *read_text(Reader *reader, int depth)
{
    g_autoptr(GString) text = g_string_new(NULL);
    while (*reader->at != '\0' && *reader->at != NEXT && *reader->at != CLOSE) {
        if (*reader->at == OPEN) {
            g_autofree char *message = read_message(reader, depth);
            if (message == NULL) {
                return NULL;
            }
            g_string_append(text, message);
        } else {
            const size_t plain = strcspn(reader->at, MARKS);
            if (plain == 0) {
                return NULL;
            }
            g_string_append_len(text, reader->at, (gssize)plain);
            reader->at += plain;
        }
        if (text->len > SHOWN_MAX) {
            return NULL;
        }
    }
    return g_string_free(g_steal_pointer(&text), FALSE);
}

/* told: valid UTF-8. */
static char *read_whole(const char *told, bool translate)
{
    Reader reader = { told, translate };
    g_autofree char *text = strlen(told) <= TOLD_MAX ? read_text(&reader, 0) : NULL;
    return text != NULL && *reader.at == '\0' ? g_steal_pointer(&text) : NULL;
}

static char *without_marks(const char *text)
{
    GString *plain = g_string_new(NULL);
    for (const char *at = text; *at != '\0'; at++) {
        if (strchr(MARKS, *at) == NULL) {
            g_string_append_c(plain, *at);
        }
    }
    return g_string_free(plain, FALSE);
}

char *rb_told_show(const char *text)
{
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    char *kept = strchr(valid, KEPT);
    const char *told = kept != NULL ? kept + 1 : valid;
    if (kept == NULL && strpbrk(valid, MARKS) == NULL) {
        return g_steal_pointer(&valid);
    }
    char *shown = read_whole(told, true);
    if (shown != NULL && *shown != '\0') {
        return shown;
    }
    g_free(shown);
    if (kept != NULL) {
        *kept = '\0';
    }
    return without_marks(valid);
}

char *rb_told_to_keep(const char *told)
{
    g_autofree char *valid = g_utf8_make_valid(told, -1);
    if (strpbrk(valid, MARKS) == NULL || strchr(valid, KEPT) != NULL) {
        return g_steal_pointer(&valid);
    }
    g_autofree char *english = read_whole(valid, false);
    return english != NULL ? g_strdup_printf("%s%c%s", english, KEPT, valid)
                           : without_marks(valid);
}

/* ---- told text written */

/* What is no told text must not look like it. */
static void put_field(GString *told, const char *field)
{
    g_autofree char *valid = g_utf8_make_valid(field != NULL ? field : "", -1);
    if (strpbrk(valid, MARKS) != NULL) {
        g_autofree char *read = read_whole(valid, false);
        if (read == NULL) {
            g_autofree char *plain = without_marks(valid);
            g_string_append(told, plain);
            return;
        }
    }
    g_string_append(told, valid);
}

static void put_number(GString *told, const Place *place, va_list *args)
{
    char number[G_ASCII_DTOSTR_BUF_SIZE * 10];
    if (place->letter == 'f') {
        char format[] = "%.0f";
        format[2] = (char)('0' + (place->decimals < 0 ? 6 : place->decimals));
        g_string_append(
            told, g_ascii_formatd(number, sizeof number, format, va_arg(*args, double)));
    } else if (place->letter == 'u') {
        g_string_append_printf(told, "%lu",
                               place->is_long ? va_arg(*args, unsigned long)
                                              : va_arg(*args, unsigned int));
    } else {
        g_string_append_printf(told, "%ld",
                               place->is_long ? va_arg(*args, long) : va_arg(*args, int));
    }
}

/* What stands in the places of `message`. */
static void put_fields(GString *told, const char *message, va_list *args)
{
    for (const char *at = message; (at = strchr(at, '%')) != NULL;) {
        Place place;
        if (at[1] == '%') {
            at += 2;
            continue;
        }
        const bool known = read_place(at, &place) && place.number == 0;
        g_assert(known);
        g_string_append_c(told, NEXT);
        if (place.letter == 's') {
            put_field(told, va_arg(*args, const char *));
        } else {
            put_number(told, &place, args);
        }
        at += place.size;
    }
}

static GString *start(char kind, const char *first)
{
    GString *told = g_string_new(NULL);
    g_string_append_printf(told, "%c%c%c%s", OPEN, kind, NEXT, first);
    return told;
}

static char *end(GString *told)
{
    g_string_append_c(told, CLOSE);
    return g_string_free(told, FALSE);
}

char *rb_told(const char *message, ...)
{
    GString *told = start('=', message);
    va_list args;
    va_start(args, message);
    put_fields(told, message, &args);
    va_end(args);
    return end(told);
}

char *rb_told_in(const char *context, const char *message, ...)
{
    GString *told = start('@', context);
    g_string_append_printf(told, "%c%s", NEXT, message);
    va_list args;
    va_start(args, message);
    put_fields(told, message, &args);
    va_end(args);
    return end(told);
}

char *rb_told_many(const char *one, const char *many, unsigned long count, ...)
{
    GString *told = start('#', one);
    g_string_append_printf(told, "%c%s%c%lu", NEXT, many, NEXT, count);
    va_list args;
    va_start(args, count);
    put_fields(told, one, &args);
    va_end(args);
    return end(told);
}

char *rb_told_word(const char *word)
{
    return end(start('=', word));
}

char *rb_told_lower(const char *told)
{
    GString *lower = start('_', "");
    put_field(lower, told);
    return end(lower);
}

void rb_told_list(GString *told, const char *next)
{
    if (told->len > 0) {
        g_string_append(told, ", ");
    }
    put_field(told, next);
}
