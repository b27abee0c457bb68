/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/book/playbook.h"

#include "suite.h"

TCase *rb_case_file(void);

static GPtrArray *terms;

static void make_terms(void)
{
    terms = rb_vocabulary_defaults();
}

static void free_terms(void)
{
    g_clear_pointer(&terms, g_ptr_array_unref);
}

static GPtrArray *parse(const char *text)
{
    GPtrArray *concepts = NULL;
    GError *error = NULL;
    rb_book_parse(text, strlen(text), terms, &concepts, &error);
    rb_assert_no_error(error);
    return concepts;
}

START_TEST(test_file__export_import_export_is_byte_equal)
{
    g_autoptr(GPtrArray) starter = rb_book_starter(terms);
    g_autofree char *first = rb_book_print(starter, terms);
    g_autoptr(GPtrArray) again = parse(first);
    g_autofree char *second = rb_book_print(again, terms);
    ck_assert_uint_eq(starter->len, again->len);
    ck_assert_str_eq(first, second);
}
END_TEST

START_TEST(test_file__one_concept_is_a_document_of_its_own)
{
    g_autoptr(GPtrArray) starter = rb_book_starter(terms);
    for (guint i = 0; i < starter->len; i++) {
        const RbConcept *concept = g_ptr_array_index(starter, i);
        g_autofree char *first = rb_book_concept_print(concept, terms);
        GError *error = NULL;
        g_autoptr(RbConcept) again =
            rb_book_concept_parse(first, strlen(first), terms, &error);
        rb_assert_no_error(error);
        g_autofree char *second = rb_book_concept_print(again, terms);
        ck_assert_str_eq(first, second);
        ck_assert(again->id.value == concept->id.value);
    }
}
END_TEST

/* A route drawn freely and a landmark in yards keep every value. */
START_TEST(test_file__drawn_routes_and_landmarks_are_kept)
{
    g_autoptr(RbConcept) concept = rb_concept_new("drawn", "Drawn");
    RbRead *read = rb_read_new(1, RB_ROUTE_DRAWN);
    read->points[0] = (RbDrawnPoint){ 60, 0 };
    read->points[1] = (RbDrawnPoint){ 45, -25 };
    read->points[2] = (RbDrawnPoint){ 45, 80 };
    read->n_points = 3;
    read->landmark = g_strdup("bottom of the numbers");
    read->landmark_from = RB_FROM_NUMBERS;
    read->landmark_tenths = -20;
    g_ptr_array_add(concept->reads, read);
    g_autofree char *first = rb_book_concept_print(concept, terms);
    GError *error = NULL;
    g_autoptr(RbConcept) again =
        rb_book_concept_parse(first, strlen(first), terms, &error);
    rb_assert_no_error(error);
    const RbRead *kept = again->reads->pdata[0];
    ck_assert_int_eq(kept->n_points, 3);
    ck_assert_mem_eq(kept->points, read->points, sizeof read->points);
    ck_assert_int_eq(kept->landmark_from, RB_FROM_NUMBERS);
    ck_assert_int_eq(kept->landmark_tenths, -20);
    ck_assert_str_eq(kept->landmark, "bottom of the numbers");
    g_autofree char *second = rb_book_concept_print(again, terms);
    ck_assert_str_eq(first, second);
}
END_TEST

/* Each kind of clock comes back as it was. */
START_TEST(test_file__clocks_are_kept)
{
    static const RbClock clocks[] = {
        { .kind = RB_CLOCK_UNKNOWN },
        { .kind = RB_CLOCK_SECONDS, .ms = 1850, .tolerance_ms = 250 },
        { .kind = RB_CLOCK_FOOTWORK, .backfield = RB_BACKFIELD_CENTRE, .steps = 5 },
        { .kind = RB_CLOCK_FOOTWORK, .fake = true, .steps = 3, .hitches = 1 },
        { .kind = RB_CLOCK_FOOTWORK, .drop = RB_DROP_BOOT, .hitches = 2 },
        { .kind = RB_CLOCK_FOOTWORK, .drop = RB_DROP_SPRINT, .tolerance_ms = 200 },
    };
    g_autoptr(RbConcept) concept = rb_concept_new("clocks", "Clocks");
    for (guint i = 0; i < G_N_ELEMENTS(clocks); i++) {
        RbRead *read = rb_read_new((int)i + 1, RB_ROUTE_FLAT);
        read->clock = clocks[i];
        g_ptr_array_add(concept->reads, read);
    }
    g_autofree char *text = rb_book_concept_print(concept, terms);
    GError *error = NULL;
    g_autoptr(RbConcept) again = rb_book_concept_parse(text, strlen(text), terms, &error);
    rb_assert_no_error(error);
    for (guint i = 0; i < G_N_ELEMENTS(clocks); i++) {
        const RbClock *kept = &((const RbRead *)again->reads->pdata[i])->clock;
        ck_assert_int_eq(kept->kind, clocks[i].kind);
        ck_assert_int_eq(kept->ms, clocks[i].ms);
        ck_assert_int_eq(kept->drop, clocks[i].drop);
        ck_assert_int_eq(kept->fake, clocks[i].fake);
        ck_assert_int_eq(kept->backfield, clocks[i].backfield);
        ck_assert_int_eq(kept->steps, clocks[i].steps);
        ck_assert_int_eq(kept->hitches, clocks[i].hitches);
        ck_assert_int_eq(kept->tolerance_ms, clocks[i].tolerance_ms);
    }
    g_autofree char *twice = rb_book_concept_print(again, terms);
    ck_assert_str_eq(text, twice);
}
END_TEST

#define HEAD "{\"format\": \"readbreak-playbook\", \"version\": 1, \"concepts\": [\n"
#define CONCEPT "{\"token\": \"a\", \"name\": \"A\",\n"
#define READS                                                                            \
    "\"reads\": [\n{\"number\": 1, \"route\": \"out\"},\n"                               \
    "{\"number\": 2, \"route\": \"dig\"}],\n"
#define TAIL "}]}"

/* A file and what must be said of it: the line and a part of the reason. */
static const struct {
    const char *text;
    const char *line;
    const char *part;
} refusals[] = {
    { "", "Line 1: ", "not JSON" },
    { "{\n\"format\":\n}", "Line 3: ", "not JSON" },
    { "{\"format\": \"other\"}", "Line 1: ", "not a playbook" },
    { "[]", "Line 1: ", "not a playbook" },
    { "{\"format\": \"readbreak-playbook\",\n\"version\": 2}", "Line 2: ", "newer" },
    { "{\"format\": \"readbreak-playbook\", \"version\": 1,\n\n\"concept\": []}",
      "Line 3: ", "\"concept\" is not a key of a playbook" },
    { "{\"format\": \"readbreak-playbook\", \"version\": 1}",
      "Line 1: ", "\"concepts\" is missing" },
    { HEAD "{\"name\": \"A\"}"
           "]}",
      "Line 2: ", "\"token\" is missing" },
    { HEAD "{\"token\": \"A b\", \"name\": \"A\"}"
           "]}",
      "Line 2: ", "lower-case" },
    { HEAD CONCEPT "\"reads\": {}" TAIL, "Line 3: ", "list in square brackets" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 9, \"route\": \"out\"}]" TAIL,
      "Line 3: ", "whole number from 1 to 8" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 1.5, \"route\": \"out\"}]" TAIL,
      "Line 3: ", "whole number from 1 to 8" },
    { HEAD CONCEPT
      "\"reads\": [{\"number\": 1, \"route\": \"out\",\n\"points\": []}]" TAIL,
      "Line 4: ", "Only a drawn route" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 1, \"route\": \"drawn\", \"points\": [\n"
                   "{\"deep_tenths\": 60}]}]" TAIL,
      "Line 4: ", "\"out_tenths\" is missing" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 1, \"route\": \"drawn\", \"points\": [\n"
                   "{\"deep_tenths\": 60,\n\"out_tenths\": 1000}]}]" TAIL,
      "Line 5: ", "from -999 to 999" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 1, \"route\": \"out\",\n"
                   "\"landmark_at\": {\"from\": \"sideline\", \"tenths\": -1}}]" TAIL,
      "Line 4: ", "outside the sideline" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 1, \"route\": \"out\",\n"
                   "\"landmark_at\": {\"from\": \"none\", \"tenths\": 1}}]" TAIL,
      "Line 4: ", "from\" the sideline, numbers or hash" },
    { HEAD CONCEPT "\"reads\": [\n{\"number\": 1,\n\"route\": \"zag\"}]" TAIL,
      "Line 5: ", "\"route\" must be" },
    { HEAD CONCEPT
      "\"reads\": [\n{\"number\": 1, \"route\": \"out\",\n\"routee\": 1}]" TAIL,
      "Line 5: ", "\"routee\" is not a key of a read" },
    { HEAD CONCEPT "\"reads\": [\n{\"number\": 1, \"route\": \"out\"},\n"
                   "{\"number\": 1, \"route\": \"dig\"}]" TAIL,
      "Line 5: ", "a read 1 already" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 1, \"route\": \"out\",\n"
                   "\"clock\": {\"ms\": 1000, \"steps\": 3}}]" TAIL,
      "Line 4: ", "either" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 1, \"route\": \"out\",\n"
                   "\"clock\": {\"drop\": \"boot\", \"steps\": 3}}]" TAIL,
      "Line 4: ", "either" },
    { HEAD CONCEPT "\"reads\": [{\"number\": 1, \"route\": \"out\",\n"
                   "\"clock\": {\"fake\": true, \"hitches\": 1}}]" TAIL,
      "Line 4: ", "lacks its \"steps\"" },
    { HEAD CONCEPT READS "\"rules\": [\n{\"do\": \"drop\",\n\"read\": 3}]" TAIL,
      "Line 8: ", "names read 3, which the concept \"a\" does not have" },
    { HEAD CONCEPT READS "\"rules\": [\n{\"do\": \"drop\"}]" TAIL,
      "Line 7: ", "needs \"read\"" },
    { HEAD CONCEPT READS
      "\"rules\": [{\"do\": \"drop\", \"read\": 1, \"route\": \"go\"}]" TAIL,
      "Line 6: ", "has no \"route\"" },
    { HEAD CONCEPT READS "\"rules\": [{\"do\": \"convert\", \"read\": 1,\n"
                         "\"route\": \"drawn\"}]" TAIL,
      "Line 7: ", "cannot convert a read to a drawn route" },
    { HEAD CONCEPT READS "\"rules\": [{\"do\": \"drop\", \"read\": 1, \"if\": [\n"
                         "{\"that\": \"coverage\",\n\"is\": \"cover-9\"}]}]" TAIL,
      "Line 8: ", "no coverage \"cover-9\"" },
    { HEAD CONCEPT READS
      "\"rules\": [{\"do\": \"drop\", \"read\": 1, \"if\": [\n"
      "{\"that\": \"shell\", \"where\": \"left\", \"is\": \"one-high\"}]}]" TAIL,
      "Line 7: ", "has no \"where\"" },
    { HEAD CONCEPT READS "\"rules\": [{\"do\": \"drop\", \"read\": 1, \"if\": [\n"
                         "{\"that\": \"unblocked\", \"is\": \"yes\"}]}]" TAIL,
      "Line 7: ", "has no \"is\"" },
    { HEAD CONCEPT READS "\"rules\": [{\"do\": \"drop\", \"read\": 1, \"if\": [\n"
                         "{\"that\": \"rotation\", \"is\": \"left\"}]}]" TAIL,
      "Line 7: ", "toward or away" },
    { HEAD CONCEPT READS "\"rules\": [{\"do\": \"drop\", \"read\": 1, \"if\": [\n"
                         "{\"that\": \"shell\", \"is\": \"unknown\"}]}]" TAIL,
      "Line 7: ", "cannot ask for \"unknown\"" },
    { HEAD CONCEPT READS "\"picks\": [{\"by\": \"free-access\"}]" TAIL,
      "Line 6: ", "\"cushion_tenths\" is missing" },
    { HEAD CONCEPT READS "\"picks\": [{\"by\": \"field\", \"cushion_tenths\": 3}]" TAIL,
      "Line 6: ", "Only free-access" },
    { HEAD CONCEPT "\"notes\": \"a\\u0001b\"" TAIL, "Line 3: ", "must be a text" },
    { HEAD "{\"token\": \"a\", \"name\": \"A\"},\n{\"token\": \"a\", \"name\": \"B\"}]}",
      "Line 3: ", "concept \"a\" already" },
    { HEAD "{\"token\": \"a\", \"name\": \"A\", \"name\": \"B\"}]}",
      "Line 2: ", "not JSON: duplicate" },
};

START_TEST(test_file__refusals_name_line_and_reason)
{
    for (size_t i = 0; i < G_N_ELEMENTS(refusals); i++) {
        GPtrArray *concepts = NULL;
        g_autoptr(GError) error = NULL;
        ck_assert_msg(!rb_book_parse(refusals[i].text, strlen(refusals[i].text), terms,
                                     &concepts, &error),
                      "accepted: %s", refusals[i].text);
        ck_assert_ptr_null(concepts);
        ck_assert_msg(g_str_has_prefix(error->message, refusals[i].line) &&
                          strstr(error->message, refusals[i].part) != NULL,
                      "case %zu: %s", i, error->message);
    }
}
END_TEST

START_TEST(test_file__words_of_the_staff_by_token_or_id)
{
    RbTerm *own = rb_term_new(RB_TERM_COVERAGE, "our-zone", "Our zone");
    own->id.value = 77;
    g_ptr_array_add(terms, own);
    g_autoptr(RbConcept) concept = rb_concept_new("a", "A");
    g_ptr_array_add(concept->reads, rb_read_new(1, RB_ROUTE_OUT));
    RbRule *rule = rb_rule_new(RB_DO_DROP, 1);
    const RbCondition ours = { .kind = RB_IF_COVERAGE, .value = 77 };
    const RbCondition gone = { .kind = RB_IF_COVERAGE, .value = 78, .negated = true };
    g_array_append_val(rule->conditions, ours);
    g_array_append_val(rule->conditions, gone);
    g_ptr_array_add(concept->rules, rule);
    g_autofree char *text = rb_book_concept_print(concept, terms);
    ck_assert_ptr_nonnull(strstr(text, "\"our-zone\""));
    ck_assert_ptr_nonnull(strstr(text, "\"#78\""));
    GError *error = NULL;
    g_autoptr(RbConcept) again = rb_book_concept_parse(text, strlen(text), terms, &error);
    rb_assert_no_error(error);
    const RbRule *read_rule = g_ptr_array_index(again->rules, 0);
    ck_assert(g_array_index(read_rule->conditions, RbCondition, 0).value == 77);
    ck_assert(g_array_index(read_rule->conditions, RbCondition, 1).value == 78);
    ck_assert(g_array_index(read_rule->conditions, RbCondition, 1).negated);
}
END_TEST

/* Every kind of condition and action, with every value that its form allows, survives. */
static void add_conditions(RbRule *rule, RbConditionKind kind, int64_t low, int64_t high)
{
    for (int64_t value = low; value <= high && rule->conditions->len < 16; value++) {
        const RbCondition condition = { kind, (RbWhere)(value % 4), value % 2 == 0,
                                        value };
        g_array_append_val(rule->conditions, condition);
    }
}

START_TEST(test_file__every_condition_survives)
{
    static const struct {
        RbConditionKind kind;
        int low;
        int high;
    } rows[] = {
        { RB_IF_SHELL, 1, 5 },         { RB_IF_FAMILY, 1, 3 },
        { RB_IF_TECHNIQUE, 1, 5 },     { RB_IF_CUSHION_AT_MOST, 0, 9 },
        { RB_IF_LEVERAGE, 1, 3 },      { RB_IF_CUSHION_AT_LEAST, 490, 500 },
        { RB_IF_SPLIT_AT_MOST, 0, 9 }, { RB_IF_SPLIT_AT_LEAST, 490, 500 },
        { RB_IF_SAFETY_OVER, 1, 2 },   { RB_IF_ROTATION, 0, 1 },
        { RB_IF_UNBLOCKED, 0, 0 },     { RB_IF_RUSHERS_AT_LEAST, 0, 11 },
        { RB_IF_HASH, 1, 3 },          { RB_IF_FIELD_SIDE, 0, 1 },
        { RB_IF_DOWN, 1, 4 },          { RB_IF_DISTANCE_AT_MOST, 1, 9 },
        { RB_IF_WIDTH, 1, 3 },         { RB_IF_DISTANCE_AT_LEAST, 90, 99 },
        { RB_IF_STRONG_SIDE, 0, 1 },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(RbConcept) concept = rb_concept_new("a", "A");
        g_ptr_array_add(concept->reads, rb_read_new(1, RB_ROUTE_OUT));
        RbRule *rule = rb_rule_new(RB_DO_HOT, 1);
        add_conditions(rule, rows[i].kind, rows[i].low, rows[i].high);
        g_ptr_array_add(concept->rules, rule);
        g_autofree char *first = rb_book_concept_print(concept, terms);
        GError *error = NULL;
        g_autoptr(RbConcept) again =
            rb_book_concept_parse(first, strlen(first), terms, &error);
        rb_assert_no_error(error);
        const RbRule *found = g_ptr_array_index(again->rules, 0);
        ck_assert_uint_eq(found->conditions->len, rule->conditions->len);
        for (guint k = 0; k < rule->conditions->len; k++) {
            const RbCondition *a = &g_array_index(rule->conditions, RbCondition, k);
            const RbCondition *b = &g_array_index(found->conditions, RbCondition, k);
            ck_assert(a->kind == b->kind && a->value == b->value &&
                      a->negated == b->negated);
        }
    }
}
END_TEST

TCase *rb_case_file(void)
{
    TCase *tcase = rb_case_new("file");
    tcase_add_checked_fixture(tcase, make_terms, free_terms);
    tcase_add_test(tcase, test_file__export_import_export_is_byte_equal);
    tcase_add_test(tcase, test_file__one_concept_is_a_document_of_its_own);
    tcase_add_test(tcase, test_file__drawn_routes_and_landmarks_are_kept);
    tcase_add_test(tcase, test_file__clocks_are_kept);
    tcase_add_test(tcase, test_file__refusals_name_line_and_reason);
    tcase_add_test(tcase, test_file__words_of_the_staff_by_token_or_id);
    tcase_add_test(tcase, test_file__every_condition_survives);
    return tcase;
}
