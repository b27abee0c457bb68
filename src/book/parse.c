/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "parse.h"

#include <glib/gi18n-lib.h>
#include <string.h>

G_DEFINE_QUARK(rb - book - error - quark, rb_book_error)

enum {
    CLOCK_MAX_MS = 20000,
    DEPTH_MAX_YD = 99,
    CUSHION_MAX = 500, /* tenths of a yard */
    REACH_MAX = 999,   /* the same */
};

static bool has(const RbNode *node, const char *key)
{
    return rb_node_member(node, key).json != NULL;
}

/* Seconds, or a boot or sprint, or steps; else nothing at all. */
static bool parse_clock_kind(const RbNode *node, RbClock *clock, GError **error)
{
    const bool moves = clock->drop != RB_DROP_STRAIGHT;
    const bool has_ms = has(node, "ms");
    const bool has_steps = has(node, "steps");
    const bool of_steps = has(node, "backfield") || has(node, "fake");
    const bool has_more = of_steps || has(node, "hitches") || has(node, "drop");
    if (has_ms ? has_steps || has_more : moves && (has_steps || of_steps)) {
        return rb_node_refuse(
            node, error,
            "A clock is either \"ms\", or \"steps\" with \"backfield\", "
            "\"hitches\" and \"fake\", or a \"drop\" of boot or sprint "
            "with \"hitches\".");
    }
    if (!has_ms && !has_steps && !moves && has_more) {
        return rb_node_refuse(node, error, "This clock lacks its \"steps\".");
    }
    clock->kind = has_ms               ? RB_CLOCK_SECONDS
                  : has_steps || moves ? RB_CLOCK_FOOTWORK
                                       : RB_CLOCK_UNKNOWN;
    return true;
}

static bool parse_clock(const RbNode *node, RbClock *clock, GError **error)
{
    static const char *const keys[] = { "ms",   "drop",    "backfield",    "steps",
                                        "fake", "hitches", "tolerance_ms", NULL };
    int drop = RB_DROP_STRAIGHT;
    if (!rb_node_is_object(node, &(RbKeys){ N_("a clock"), keys }, error) ||
        !rb_node_take_int(node, &(RbMember){ "tolerance_ms", false, 0, CLOCK_MAX_MS },
                          &clock->tolerance_ms, error)) {
        return false;
    }
    if (!rb_node_take_word(node, "drop", &rb_drop_words, &drop, error)) {
        return false;
    }
    clock->drop = (RbDrop)drop;
    if (!parse_clock_kind(node, clock, error)) {
        return false;
    }
    int backfield = RB_BACKFIELD_GUN;
    if (!rb_node_take_int(node, &(RbMember){ "ms", false, 0, CLOCK_MAX_MS }, &clock->ms,
                          error) ||
        !rb_node_take_int(node, &(RbMember){ "steps", false, 1, 9 }, &clock->steps,
                          error) ||
        !rb_node_take_int(node, &(RbMember){ "hitches", false, 0, 9 }, &clock->hitches,
                          error) ||
        !rb_node_take_bool(node, "fake", &clock->fake, error) ||
        !rb_node_take_word(node, "backfield", &rb_backfield_words, &backfield, error)) {
        return false;
    }
    clock->backfield = (RbBackfield)backfield;
    return true;
}

/* {"from": "numbers", "tenths": -20} */
static bool parse_landmark(const RbNode *node, RbRead *read, GError **error)
{
    static const char *const keys[] = { "from", "tenths", NULL };
    int from = RB_FROM_NONE;
    if (!rb_node_is_object(node, &(RbKeys){ N_("a landmark in yards"), keys }, error) ||
        !rb_node_need_word(node, "from", &rb_landmark_words, &from, error) ||
        !rb_node_take_int(node, &(RbMember){ "tenths", true, -REACH_MAX, REACH_MAX },
                          &read->landmark_tenths, error)) {
        return false;
    }
    read->landmark_from = (RbLandmarkFrom)from;
    if (from == RB_FROM_NONE) {
        return rb_node_refuse(node, error,
                              "A landmark in yards is \"from\" the sideline, numbers or "
                              "hash.");
    }
    if (from == RB_FROM_SIDELINE && read->landmark_tenths < 0) {
        return rb_node_refuse(node, error, "A landmark cannot be outside the sideline.");
    }
    return true;
}

static bool parse_point(const RbNode *node, RbDrawnPoint *point, GError **error)
{
    static const char *const keys[] = { "deep_tenths", "out_tenths", NULL };
    return rb_node_is_object(node, &(RbKeys){ N_("a point"), keys }, error) &&
           rb_node_take_int(node,
                            &(RbMember){ "deep_tenths", true, -REACH_MAX, REACH_MAX },
                            &point->deep_tenths, error) &&
           rb_node_take_int(node,
                            &(RbMember){ "out_tenths", true, -REACH_MAX, REACH_MAX },
                            &point->out_tenths, error);
}

static bool parse_points(const RbNode *list, RbRead *read, GError **error)
{
    if (read->route != RB_ROUTE_DRAWN) {
        return rb_node_refuse(list, error, "Only a drawn route has \"points\".");
    }
    if (!rb_node_is_array(list, "\"points\"", RB_POINTS_MAX, error)) {
        return false;
    }
    for (size_t i = 0; i < rb_node_size(list); i++) {
        const RbNode entry = rb_node_item(list, i);
        if (!parse_point(&entry, &read->points[i], error)) {
            return false;
        }
        read->n_points++;
    }
    return true;
}

/* What of a read is written as objects and lists of its own. */
static bool parse_read_parts(const RbNode *node, RbRead *read, GError **error)
{
    const RbNode landmark = rb_node_member(node, "landmark_at");
    const RbNode points = rb_node_member(node, "points");
    const RbNode clock = rb_node_member(node, "clock");
    return (landmark.json == NULL || parse_landmark(&landmark, read, error)) &&
           (points.json == NULL || parse_points(&points, read, error)) &&
           (clock.json == NULL || parse_clock(&clock, &read->clock, error));
}

static bool parse_read_body(const RbNode *node, RbRead *read, GError **error)
{
    const RbMember number = { "number", true, 1, RB_READS_MAX };
    const RbMember depth = { "depth_yd", false, 0, DEPTH_MAX_YD };
    const RbMember landmark = { "landmark", false, 1, RB_BOOK_NAME_MAX };
    const RbMember key = { "key", false, 1, RB_BOOK_NAME_MAX };
    int route = RB_ROUTE_UNKNOWN;
    int runner = RB_RUNNER_UNKNOWN;
    int side = RB_READ_SIDE_SAME;
    if (!rb_node_take_int(node, &number, &read->number, error) ||
        !rb_node_need_word(node, "route", &rb_route_words, &route, error) ||
        !rb_node_take_word(node, "runner", &rb_runner_words, &runner, error) ||
        !rb_node_take_word(node, "side", &rb_read_side_words, &side, error) ||
        !rb_node_take_int(node, &depth, &read->depth_yd, error) ||
        !rb_node_take_text(node, &landmark, &read->landmark, error) ||
        !rb_node_take_text(node, &key, &read->key, error) ||
        !rb_node_take_bool(node, "clear_out", &read->clear_out, error) ||
        !rb_node_take_bool(node, "outlet", &read->outlet, error)) {
        return false;
    }
    read->route = (RbRoute)route;
    read->runner = (RbRunner)runner;
    read->side = (RbReadSide)side;
    return parse_read_parts(node, read, error);
}

static bool parse_read(const RbNode *node, RbConcept *concept, GError **error)
{
    static const char *const keys[] = { "number",   "route", "runner",      "side",
                                        "depth_yd", "key",   "landmark",    "clear_out",
                                        "outlet",   "clock", "landmark_at", "points",
                                        NULL };
    if (!rb_node_is_object(node, &(RbKeys){ N_("a read"), keys }, error)) {
        return false;
    }
    g_autoptr(RbRead) read = rb_read_new(0, RB_ROUTE_UNKNOWN);
    if (!parse_read_body(node, read, error)) {
        return false;
    }
    if (rb_concept_find_read(concept, read->number) != NULL) {
        return rb_node_refuse(node, error, "The concept has a read %d already.",
                              read->number);
    }
    g_ptr_array_add(concept->reads, g_steal_pointer(&read));
    return true;
}

static bool parse_pick(const RbNode *node, RbConcept *concept, GError **error)
{
    static const char *const keys[] = { "by", "cushion_tenths", NULL };
    int kind = 0;
    RbPick pick = { 0 };
    if (!rb_node_is_object(node, &(RbKeys){ N_("a way to pick the side"), keys },
                           error) ||
        !rb_node_need_word(node, "by", &rb_pick_words, &kind, error)) {
        return false;
    }
    pick.kind = (RbPickKind)kind;
    const RbNode cushion = rb_node_member(node, "cushion_tenths");
    const bool is_free_access = pick.kind == RB_PICK_FREE_ACCESS;
    if (cushion.json != NULL && !is_free_access) {
        return rb_node_refuse(&cushion, error,
                              "Only free-access has \"cushion_tenths\".");
    }
    const RbMember member = { "cushion_tenths", is_free_access, 0, CUSHION_MAX };
    if (!rb_node_take_int(node, &member, &pick.cushion_tenths, error)) {
        return false;
    }
    g_array_append_val(concept->picks, pick);
    return true;
}

typedef bool (*ParseItem)(const RbNode *node, const GPtrArray *terms, RbConcept *concept,
                          GError **error);

static bool parse_read_item(const RbNode *node, const GPtrArray *terms,
                            RbConcept *concept, GError **error)
{
    (void)terms;
    return parse_read(node, concept, error);
}

static bool parse_pick_item(const RbNode *node, const GPtrArray *terms,
                            RbConcept *concept, GError **error)
{
    (void)terms;
    return parse_pick(node, concept, error);
}

static bool parse_list(const RbNode *object, const char *key, size_t most, ParseItem item,
                       const GPtrArray *terms, RbConcept *concept, GError **error)
{
    const RbNode list = rb_node_member(object, key);
    if (list.json == NULL) {
        return true;
    }
    g_autofree char *what = g_strdup_printf("\"%s\"", key);
    if (!rb_node_is_array(&list, what, most, error)) {
        return false;
    }
    for (size_t i = 0; i < rb_node_size(&list); i++) {
        const RbNode entry = rb_node_item(&list, i);
        if (!item(&entry, terms, concept, error)) {
            return false;
        }
    }
    return true;
}

static bool is_token(const char *text)
{
    if (text[0] == '\0' || text[0] == '-') {
        return false;
    }
    return strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-") == strlen(text);
}

static bool take_token(const RbNode *node, char **token, GError **error)
{
    if (!rb_node_take_text(node, &(RbMember){ "token", true, 1, RB_BOOK_TOKEN_MAX },
                           token, error)) {
        return false;
    }
    if (!is_token(*token)) {
        const RbNode found = rb_node_member(node, "token");
        return rb_node_refuse(
            &found, error, "\"token\" must be lower-case letters, digits and hyphens.");
    }
    return true;
}

static RbConcept *parse_concept(const RbNode *node, const GPtrArray *terms,
                                GError **error)
{
    static const char *const keys[] = { "token", "name",  "notes", "full_field", "hidden",
                                        "reads", "picks", "rules", NULL };
    g_autofree char *token = NULL;
    g_autofree char *name = NULL;
    if (!rb_node_is_object(node, &(RbKeys){ N_("a concept"), keys }, error) ||
        !take_token(node, &token, error) ||
        !rb_node_take_text(node, &(RbMember){ "name", true, 1, RB_BOOK_NAME_MAX }, &name,
                           error)) {
        return NULL;
    }
    g_autoptr(RbConcept) concept = rb_concept_new(token, name);
    if (!rb_node_take_text(node,
                           &(RbMember){ "notes", false, 1, RB_BOOK_NOTES_MAX, true },
                           &concept->notes, error) ||
        !rb_node_take_bool(node, "full_field", &concept->full_field, error) ||
        !rb_node_take_bool(node, "hidden", &concept->hidden, error) ||
        !parse_list(node, "reads", RB_READS_MAX, parse_read_item, terms, concept,
                    error) ||
        !parse_list(node, "picks", 8, parse_pick_item, terms, concept, error) ||
        !parse_list(node, "rules", RB_BOOK_RULES_MAX, rb_book_parse_rule, terms, concept,
                    error)) {
        return NULL;
    }
    return g_steal_pointer(&concept);
}

static bool set_syntax_error(const json_error_t *fault, GError **error)
{
    g_set_error(error, RB_BOOK_ERROR, RB_BOOK_ERROR_SYNTAX,
                _("Line %d: this is not JSON: %s."), MAX(fault->line, 1), fault->text);
    return false;
}

/* Loads and measures. root: borrowed by node. */
static bool load(const char *text, size_t length, json_t **root, RbPlaceTree **places,
                 GError **error)
{
    if (length > RB_BOOK_BYTES_MAX) {
        g_set_error(error, RB_BOOK_ERROR, RB_BOOK_ERROR_SYNTAX,
                    _("Line 1: the text is %zu bytes long; a playbook is at most %d."),
                    length, RB_BOOK_BYTES_MAX);
        return false;
    }
    json_error_t fault;
    *root = json_loadb(text, length, JSON_REJECT_DUPLICATES, &fault);
    if (*root == NULL) {
        return set_syntax_error(&fault, error);
    }
    *places = rb_place_tree_new(text, length);
    return true;
}

static bool check_format(const RbNode *root, GError **error)
{
    const RbNode format = rb_node_member(root, "format");
    const RbNode version = rb_node_member(root, "version");
    if (g_strcmp0(json_string_value(format.json), "readbreak-playbook") != 0) {
        g_set_error(error, RB_BOOK_ERROR, RB_BOOK_ERROR_FORMAT,
                    _("Line %d: this is not a playbook; its \"format\" must be "
                      "\"readbreak-playbook\"."),
                    format.place->line);
        return false;
    }
    if (json_integer_value(version.json) != 1) {
        g_set_error(
            error, RB_BOOK_ERROR, RB_BOOK_ERROR_FORMAT,
            _("Line %d: the playbook's \"version\" must be 1; a newer one needs a "
              "newer Readbreak."),
            version.place->line);
        return false;
    }
    return true;
}

static bool add_concept(const RbNode *node, const GPtrArray *terms, GPtrArray *concepts,
                        GError **error)
{
    RbConcept *concept = parse_concept(node, terms, error);
    if (concept == NULL) {
        return false;
    }
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *other = g_ptr_array_index(concepts, i);
        if (strcmp(other->token, concept->token) == 0) {
            rb_node_refuse(node, error, "There is a concept \"%s\" already.",
                           concept->token);
            rb_concept_free(concept);
            return false;
        }
    }
    g_ptr_array_add(concepts, concept);
    return true;
}

static bool parse_book(const RbNode *root, const GPtrArray *terms, GPtrArray *concepts,
                       GError **error)
{
    static const char *const keys[] = { "format", "version", "about", "concepts", NULL };
    const RbNode list = rb_node_member(root, "concepts");
    g_autofree char *about = NULL;
    if (!check_format(root, error) ||
        !rb_node_is_object(root, &(RbKeys){ N_("a playbook"), keys }, error) ||
        !rb_node_take_text(root,
                           &(RbMember){ "about", false, 1, RB_BOOK_NOTES_MAX, true },
                           &about, error)) {
        return false;
    }
    if (list.json == NULL) {
        return rb_node_refuse(root, error, "\"concepts\" is missing.");
    }
    if (!rb_node_is_array(&list, "\"concepts\"", RB_BOOK_CONCEPTS_MAX, error)) {
        return false;
    }
    for (size_t i = 0; i < rb_node_size(&list); i++) {
        const RbNode item = rb_node_item(&list, i);
        if (!add_concept(&item, terms, concepts, error)) {
            return false;
        }
    }
    return true;
}

bool rb_book_parse(const char *text, size_t length, const GPtrArray *terms,
                   GPtrArray **concepts, GError **error)
{
    g_autoptr(json_t) root = NULL;
    g_autoptr(RbPlaceTree) places = NULL;
    if (!load(text, length, &root, &places, error)) {
        return false;
    }
    g_autoptr(GPtrArray) found =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_concept_free);
    if (!parse_book(&(RbNode){ root, places }, terms, found, error)) {
        return false;
    }
    *concepts = g_steal_pointer(&found);
    return true;
}

RbConcept *rb_book_concept_parse(const char *text, size_t length, const GPtrArray *terms,
                                 GError **error)
{
    g_autoptr(json_t) root = NULL;
    g_autoptr(RbPlaceTree) places = NULL;
    if (!load(text, length, &root, &places, error)) {
        return NULL;
    }
    return parse_concept(&(RbNode){ root, places }, terms, error);
}
