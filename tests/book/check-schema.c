/* SPDX-License-Identifier: GPL-3.0-or-later */
/* schema/playbook.schema.json says what the parser does: its words are the program's. */
#include <jansson.h>
#include <string.h>

#include "rb/book/playbook.h"

#include "suite.h"

TCase *rb_case_schema(void);

static json_t *load_schema(void)
{
    json_error_t fault;
    json_t *schema =
        json_load_file(g_getenv("RB_TEST_SCHEMA"), JSON_REJECT_DUPLICATES, &fault);
    ck_assert_msg(schema != NULL, "line %d: %s", fault.line, fault.text);
    return schema;
}

static void check_words(const json_t *list, const RbWords *words, bool with_unknown)
{
    ck_assert_ptr_nonnull(list);
    size_t wanted = 0;
    for (int i = 0; i < words->n; i++) {
        const char *token = rb_words_token(words, i);
        bool found = false;
        for (size_t k = 0; k < json_array_size(list); k++) {
            found =
                found || strcmp(json_string_value(json_array_get(list, k)), token) == 0;
        }
        const bool want = with_unknown || strcmp(token, "unknown") != 0;
        ck_assert_msg(found == want, "%s: %s", words->name, token);
        wanted += want ? 1 : 0;
    }
    ck_assert_uint_eq(json_array_size(list), wanted);
}

START_TEST(test_schema__words_are_the_programs)
{
    json_t *schema = load_schema();
    const json_t *defs = json_object_get(schema, "$defs");
    static const struct {
        const char *name;
        const RbWords *words;
    } rows[] = {
        { "where", &rb_where_words },         { "shell", &rb_shell_words },
        { "family", &rb_family_words },       { "technique", &rb_technique_words },
        { "leverage", &rb_leverage_words },   { "hash", &rb_hash_words },
        { "width", &rb_width_words },         { "backfield", &rb_backfield_words },
        { "read_side", &rb_read_side_words },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        check_words(json_object_get(json_object_get(defs, rows[i].name), "enum"),
                    rows[i].words, false);
    }
    const json_t *read = json_object_get(json_object_get(defs, "read"), "properties");
    check_words(json_object_get(json_object_get(read, "route"), "enum"), &rb_route_words,
                true);
    check_words(json_object_get(json_object_get(read, "runner"), "enum"),
                &rb_runner_words, true);
    json_decref(schema);
}
END_TEST

/* Words that one member of a list of alternatives has, as one word or as several. */
static void collect(const json_t *alternatives, const char *key, GHashTable *found)
{
    for (size_t i = 0; i < json_array_size(alternatives); i++) {
        const json_t *properties =
            json_object_get(json_array_get(alternatives, i), "properties");
        const json_t *member = json_object_get(properties, key);
        const json_t *list = json_object_get(member, "enum");
        const char *one = json_string_value(json_object_get(member, "const"));
        if (one != NULL) {
            g_hash_table_add(found, g_strdup(one));
        }
        for (size_t k = 0; k < json_array_size(list); k++) {
            g_hash_table_add(found, g_strdup(json_string_value(json_array_get(list, k))));
        }
    }
}

static void check_all(const json_t *defs, const char *name, const char *key,
                      const RbWords *words)
{
    g_autoptr(GHashTable) found =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    collect(json_object_get(json_object_get(defs, name), "oneOf"), key, found);
    for (int i = 0; i < words->n; i++) {
        ck_assert_msg(g_hash_table_contains(found, rb_words_token(words, i)), "%s",
                      rb_words_token(words, i));
    }
    ck_assert_uint_eq(g_hash_table_size(found), (guint)words->n);
}

/* What the parser refuses the schema does too: a rule has no points to draw a route with. */
START_TEST(test_schema__a_rule_converts_to_a_route_of_the_list)
{
    json_t *schema = load_schema();
    const json_t *rules = json_object_get(
        json_object_get(json_object_get(schema, "$defs"), "rule"), "oneOf");
    size_t lists = 0;
    for (size_t i = 0; i < json_array_size(rules); i++) {
        const json_t *rule = json_object_get(json_array_get(rules, i), "properties");
        const json_t *routes = json_object_get(json_object_get(rule, "route"), "enum");
        for (size_t k = 0; k < json_array_size(routes); k++) {
            ck_assert_str_ne(json_string_value(json_array_get(routes, k)), "drawn");
        }
        if (routes != NULL) {
            ck_assert_uint_eq(json_array_size(routes), (size_t)rb_route_words.n - 1);
            lists++;
        }
    }
    ck_assert_uint_eq(lists, 1);
    json_decref(schema);
}
END_TEST

START_TEST(test_schema__every_condition_action_and_pick_is_described)
{
    json_t *schema = load_schema();
    const json_t *defs = json_object_get(schema, "$defs");
    check_all(defs, "condition", "that", &rb_condition_words);
    check_all(defs, "rule", "do", &rb_action_words);
    check_all(defs, "pick", "by", &rb_pick_words);
    json_decref(schema);
}
END_TEST

TCase *rb_case_schema(void)
{
    TCase *tcase = rb_case_new("schema");
    tcase_add_test(tcase, test_schema__words_are_the_programs);
    tcase_add_test(tcase, test_schema__a_rule_converts_to_a_route_of_the_list);
    tcase_add_test(tcase, test_schema__every_condition_action_and_pick_is_described);
    return tcase;
}
