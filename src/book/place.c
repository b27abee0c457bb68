/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "place.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/book/playbook.h"

typedef struct {
    const char *at;
    const char *end;
    int line;
} Scan;

static void skip_space(Scan *scan)
{
    while (scan->at < scan->end && strchr(" \t\r\n", *scan->at) != NULL) {
        scan->line += *scan->at == '\n' ? 1 : 0;
        scan->at++;
    }
}

static void skip_string(Scan *scan)
{
    scan->at++;
    while (scan->at < scan->end && *scan->at != '"') {
        scan->at += *scan->at == '\\' ? 2 : 1;
    }
    scan->at++;
}

static bool is_at(const Scan *scan, char c)
{
    return scan->at < scan->end && *scan->at == c;
}

static RbPlaceTree *scan_value(Scan *scan);

/* The members of an object or the items of an array, after the opening bracket. */
static void scan_children(Scan *scan, bool is_object, RbPlaceTree *tree)
{
    tree->children = g_ptr_array_new_with_free_func((GDestroyNotify)rb_place_tree_free);
    skip_space(scan);
    while (scan->at < scan->end && *scan->at != '}' && *scan->at != ']') {
        int key_line = scan->line;
        if (is_object) {
            key_line = scan->line;
            skip_string(scan);
            skip_space(scan);
            scan->at++; /* the colon */
            skip_space(scan);
        }
        RbPlaceTree *child = scan_value(scan);
        child->key_line = key_line;
        g_ptr_array_add(tree->children, child);
        skip_space(scan);
        if (is_at(scan, ',')) {
            scan->at++;
            skip_space(scan);
        }
    }
    scan->at++;
}

static RbPlaceTree *scan_value(Scan *scan)
{
    RbPlaceTree *tree = g_new0(RbPlaceTree, 1);
    tree->line = scan->line;
    tree->key_line = scan->line;
    if (is_at(scan, '{') || is_at(scan, '[')) {
        const bool is_object = *scan->at == '{';
        scan->at++;
        scan_children(scan, is_object, tree);
    } else if (is_at(scan, '"')) {
        skip_string(scan);
    } else {
        while (scan->at < scan->end && strchr(" \t\r\n,]}", *scan->at) == NULL) {
            scan->at++;
        }
    }
    return tree;
}

RbPlaceTree *rb_place_tree_new(const char *text, size_t length)
{
    Scan scan = { text, text + length, 1 };
    skip_space(&scan);
    return scan_value(&scan);
}

void rb_place_tree_free(RbPlaceTree *tree)
{
    if (tree != NULL) {
        g_clear_pointer(&tree->children, g_ptr_array_unref);
        g_free(tree);
    }
}

static bool refuse_at(int line, GError **error, const char *format, va_list args)
{
    g_autofree char *what = g_strdup_vprintf(g_dgettext(GETTEXT_PACKAGE, format), args);
    g_set_error(error, RB_BOOK_ERROR, RB_BOOK_ERROR_CONTENT, _("Line %d: %s"), line,
                what);
    return false;
}

bool rb_node_refuse(const RbNode *node, GError **error, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    refuse_at(node->place->line, error, format, args);
    va_end(args);
    return false;
}

static bool refuse_key(int line, GError **error, const char *format, ...)
    G_GNUC_PRINTF(3, 4);
static bool refuse_key(int line, GError **error, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    refuse_at(line, error, format, args);
    va_end(args);
    return false;
}

static const RbPlaceTree *place_of(const RbNode *parent, size_t index)
{
    return g_ptr_array_index(parent->place->children, index);
}

bool rb_node_is_object(const RbNode *node, const RbKeys *keys, GError **error)
{
    if (!json_is_object(node->json)) {
        return rb_node_refuse(node, error, "%s must be an object in braces.",
                              _(keys->what));
    }
    const char *key = NULL;
    json_t *value = NULL;
    size_t index = 0;
    json_object_foreach(node->json, key, value)
    {
        if (!g_strv_contains(keys->keys, key)) {
            g_autofree char *known = g_strjoinv(", ", (char **)keys->keys);
            return refuse_key(place_of(node, index)->key_line, error,
                              _("\"%s\" is not a key of %s; the keys are %s."), key,
                              _(keys->what), known);
        }
        index++;
    }
    return true;
}

bool rb_node_is_array(const RbNode *node, const char *what, size_t most, GError **error)
{
    if (!json_is_array(node->json)) {
        return rb_node_refuse(node, error, "%s must be a list in square brackets.", what);
    }
    if (json_array_size(node->json) > most) {
        return rb_node_refuse(node, error,
                              "%s holds %zu entries; at most %zu are allowed.", what,
                              json_array_size(node->json), most);
    }
    return true;
}

RbNode rb_node_member(const RbNode *object, const char *key)
{
    const char *name = NULL;
    json_t *value = NULL;
    size_t index = 0;
    json_object_foreach(object->json, name, value)
    {
        if (strcmp(name, key) == 0) {
            return (RbNode){ value, place_of(object, index) };
        }
        index++;
    }
    return (RbNode){ NULL, object->place };
}

size_t rb_node_size(const RbNode *array)
{
    return json_array_size(array->json);
}

RbNode rb_node_item(const RbNode *array, size_t index)
{
    return (RbNode){ json_array_get(array->json, index), place_of(array, index) };
}

static bool is_missing(const RbNode *object, const RbMember *member, const RbNode *found,
                       bool *ok, GError **error)
{
    *ok = true;
    if (found->json != NULL) {
        return false;
    }
    if (member->needed) {
        *ok = rb_node_refuse(object, error, "\"%s\" is missing.", member->key);
    }
    return true;
}

bool rb_node_take_int(const RbNode *object, const RbMember *member, int *value,
                      GError **error)
{
    const RbNode found = rb_node_member(object, member->key);
    bool ok = true;
    if (is_missing(object, member, &found, &ok, error)) {
        return ok;
    }
    const json_int_t number = json_integer_value(found.json);
    if (!json_is_integer(found.json) || number < member->low || number > member->high) {
        return rb_node_refuse(&found, error,
                              "\"%s\" must be a whole number from %d to %d.", member->key,
                              member->low, member->high);
    }
    *value = (int)number;
    return true;
}

bool rb_node_take_bool(const RbNode *object, const char *key, bool *value, GError **error)
{
    const RbNode found = rb_node_member(object, key);
    if (found.json == NULL) {
        return true;
    }
    if (!json_is_boolean(found.json)) {
        return rb_node_refuse(&found, error, "\"%s\" must be true or false.", key);
    }
    *value = json_is_true(found.json);
    return true;
}

static bool has_control(const char *text, bool lines)
{
    for (; *text != '\0'; text++) {
        if ((unsigned char)*text < 0x20 && !(lines && *text == '\n')) {
            return true;
        }
    }
    return false;
}

bool rb_node_take_text(const RbNode *object, const RbMember *member, char **value,
                       GError **error)
{
    const RbNode found = rb_node_member(object, member->key);
    bool ok = true;
    if (is_missing(object, member, &found, &ok, error)) {
        return ok;
    }
    const char *text = json_string_value(found.json);
    const size_t length = json_string_length(found.json);
    if (text == NULL || length < (size_t)member->low || length > (size_t)member->high ||
        has_control(text, member->lines)) {
        return rb_node_refuse(&found, error, "\"%s\" must be a text of %d to %d bytes.",
                              member->key, member->low, member->high);
    }
    g_free(*value);
    *value = g_strdup(text);
    return true;
}

bool rb_node_take_word(const RbNode *object, const char *key, const RbWords *words,
                       int *value, GError **error)
{
    const RbNode found = rb_node_member(object, key);
    if (found.json == NULL) {
        return true;
    }
    const char *token = json_string_value(found.json);
    if (!rb_words_parse(words, token, value)) {
        g_autofree char *list = rb_words_list(words);
        return rb_node_refuse(&found, error, "\"%s\" must be %s.", key, list);
    }
    return true;
}

bool rb_node_need_word(const RbNode *object, const char *key, const RbWords *words,
                       int *value, GError **error)
{
    if (rb_node_member(object, key).json == NULL) {
        return rb_node_refuse(object, error, "\"%s\" is missing.", key);
    }
    return rb_node_take_word(object, key, words, value, error);
}
