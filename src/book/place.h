/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <jansson.h>
#include <stdbool.h>

#include "rb/model/words.h"

/* Where the values of a JSON text stand: jansson keeps no positions, and a refusal must name
 * the line. The tree of places has the shape of the tree of values: the children of an array
 * or object in the order of the text. It is built in a pass of its own over text that jansson
 * has already found to be valid JSON without repeated keys, whose objects keep that order. */
typedef struct RbPlaceTree RbPlaceTree;
struct RbPlaceTree {
    int line;            /* of the value's first byte, from 1 */
    int key_line;        /* of its key; the same as line outside objects */
    GPtrArray *children; /* owned, nullable: of RbPlaceTree */
};

RbPlaceTree *rb_place_tree_new(const char *text, size_t length);
void rb_place_tree_free(RbPlaceTree *tree);

/* A value together with its place. Both borrowed; `json` is NULL where there is no value. */
typedef struct {
    json_t *json;
    const RbPlaceTree *place;
} RbNode;

/* "Line 12: " and the text. Always returns false. */
bool rb_node_refuse(const RbNode *node, GError **error, const char *format, ...)
    G_GNUC_PRINTF(3, 4);

/* Keys an object may have. what: "a read". */
typedef struct {
    const char *what;
    const char *const *keys; /* NULL-terminated */
} RbKeys;

/* Refuses what is no object and keys that are not listed. */
bool rb_node_is_object(const RbNode *node, const RbKeys *keys, GError **error);
bool rb_node_is_array(const RbNode *node, const char *what, size_t most, GError **error);
RbNode rb_node_member(const RbNode *object, const char *key); /* json NULL: not there */
size_t rb_node_size(const RbNode *array);
RbNode rb_node_item(const RbNode *array, size_t index);

/* Members of simple kinds. A missing one leaves *value as it is and is refused only when
 * `needed`. Text is copied and must be without control characters. */
typedef struct {
    const char *key;
    bool needed;
    int low; /* of a number, or of a text's length in bytes */
    int high;
    bool lines; /* a text may have several */
} RbMember;
bool rb_node_take_int(const RbNode *object, const RbMember *member, int *value,
                      GError **error);
bool rb_node_take_bool(const RbNode *object, const char *key, bool *value,
                       GError **error);
bool rb_node_take_text(const RbNode *object, const RbMember *member, char **value,
                       GError **error);
/* One of a fixed set of words; a missing one is left alone, or refused. */
bool rb_node_take_word(const RbNode *object, const char *key, const RbWords *words,
                       int *value, GError **error);
bool rb_node_need_word(const RbNode *object, const char *key, const RbWords *words,
                       int *value, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbPlaceTree, rb_place_tree_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(json_t, json_decref)
