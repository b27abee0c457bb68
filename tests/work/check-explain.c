/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/decision-try.h"
#include "rb/work/explain.h"
#include "rb/work/snapshot.h"

#include "random-season.h"
#include "sample.h"
#include "suite.h"

TCase *rb_case_explain(void);

static void add_condition(RbRule *rule, RbConditionKind kind, int64_t value)
{
    const RbCondition condition = { .kind = kind, .value = value };
    g_array_append_val(rule->conditions, condition);
}

static RbTermId term(const RbNames *names, RbTermKind kind, const char *token)
{
    const RbTerm *found = rb_names_parse_term(names, kind, token, NULL);
    ck_assert_ptr_nonnull(found);
    return found->id;
}

/* An out, a pivot and an outlet: a squat corner with a half-field safety over him turns the out
 * into a go to clear out (common practice, no source). */
static RbConcept *make_concept(void)
{
    static const RbRoute routes[] = { RB_ROUTE_OUT, RB_ROUTE_PIVOT, RB_ROUTE_CHECK_DOWN };
    RbConcept *concept = rb_concept_new("out-pivot", "Out and pivot");
    for (int i = 0; i < 3; i++) {
        RbRead *read = rb_read_new(i + 1, routes[i]);
        read->clock = (RbClock){ .kind = RB_CLOCK_SECONDS,
                                 .ms = 2400 + 400 * i,
                                 .tolerance_ms = 250 };
        read->outlet = i == 2;
        g_ptr_array_add(concept->reads, read);
    }
    RbRule *squat = rb_rule_new(RB_DO_CONVERT, 1);
    squat->route = RB_ROUTE_GO;
    squat->clear_out = true;
    add_condition(squat, RB_IF_TECHNIQUE, RB_TECHNIQUE_SQUAT);
    add_condition(squat, RB_IF_SAFETY_OVER, RB_YES);
    g_ptr_array_add(concept->rules, squat);
    RbRule *front = rb_rule_new(RB_DO_FRONT, 2);
    add_condition(front, RB_IF_SHELL, RB_SHELL_ONE_HIGH);
    g_ptr_array_add(concept->rules, front);
    return concept;
}

static void free_concept(void *concept)
{
    rb_concept_free(concept);
}

static void free_term(void *data)
{
    rb_term_free(data);
}

static RbNames *names_new(void)
{
    GPtrArray *concepts = g_ptr_array_new_with_free_func(free_concept);
    g_ptr_array_add(concepts, make_concept());
    GPtrArray *none[4];
    for (int i = 0; i < 4; i++) {
        none[i] = g_ptr_array_new_with_free_func(free_term);
    }
    return rb_names_new(rb_vocabulary_defaults(), concepts, none[0], none[1], none[2],
                        none[3]);
}

static const RbStep *step_of(const RbExplanation *explanation, RbStepKind kind, int nth)
{
    for (guint i = 0; i < explanation->steps->len; i++) {
        const RbStep *step = explanation->steps->pdata[i];
        if (step->kind == kind && nth-- == 0) {
            return step;
        }
    }
    return NULL;
}

static const char *text_of(const RbExplanation *explanation, RbStepKind kind, int nth)
{
    const RbStep *step = step_of(explanation, kind, nth);
    ck_assert_ptr_nonnull(step);
    return step->text;
}

typedef struct {
    RbNames *names;
    RbSnap *snap;
    RbChart *chart;
} Try;

static Try try_new(void)
{
    Try made = { .names = names_new() };
    rb_try_new(rb_names_concepts(made.names)->pdata[0], &made.snap, &made.chart);
    return made;
}

static void try_clear(Try *made)
{
    rb_snap_free(made->snap);
    rb_chart_free(made->chart);
    rb_names_unref(made->names);
}

static void set(const Try *made, const char *token, const char *value)
{
    GError *error = NULL;
    const RbTaggable *field = rb_taggable_parse(token, &error);
    rb_assert_no_error(error);
    ck_assert(
        rb_taggable_set(field, made->names, made->snap, made->chart, value, &error));
    rb_assert_no_error(error);
}

static RbExplanation explain(const Try *made)
{
    RbExplanation explanation;
    rb_explain(made->names, made->snap, made->chart, NULL, &explanation);
    return explanation;
}

START_TEST(test_explain__tells_the_order_rule_by_rule)
{
    Try made = try_new();
    set(&made, "shell", "two-high");
    set(&made, "coverage", "cover-2");
    set(&made, "right-technique", "squat");
    set(&made, "safety-right", "yes");
    set(&made, "read-2", "open");
    set(&made, "ball", "read-2");
    set(&made, "release", "2.7");
    rb_try_fill_played(made.chart);
    RbExplanation told = explain(&made);
    ck_assert_int_eq(told.judgment.verdict, RB_VERDICT_ON_READ);
    ck_assert_str_eq(text_of(&told, RB_STEP_CALL, 0),
                     "Out and pivot, mirrored, worked to the right.");
    ck_assert_str_eq(text_of(&told, RB_STEP_WRITTEN, 0),
                     "Read 1 out, then 2 pivot, then 3 check-down.");
    ck_assert_ptr_nonnull(
        strstr(text_of(&told, RB_STEP_PLAYED, 0), "Right corner, played: Squat"));
    const RbStep *rule = step_of(&told, RB_STEP_RULE, 0);
    ck_assert_ptr_nonnull(rule);
    ck_assert_int_eq(rule->rule, 1);
    ck_assert_str_eq(rule->owner, "out-pivot");
    ck_assert_ptr_nonnull(strstr(rule->text, "Read 1 becomes a go"));
    ck_assert(rule->has_order);
    ck_assert_int_eq(rule->order.rungs[0].slot, 2);
    ck_assert_ptr_null(step_of(&told, RB_STEP_RULE, 1));
    ck_assert_str_eq(text_of(&told, RB_STEP_ORDER, 0),
                     "Read 2 pivot, then 3 check-down. Not read: 1 go.");
    ck_assert_str_eq(text_of(&told, RB_STEP_READ, 0),
                     "2 pivot: open; leaves by 2.80 s, late after 3.05 s.");
    ck_assert_str_eq(text_of(&told, RB_STEP_READ, 2),
                     "1 go: not to be thrown against this picture.");
    ck_assert_str_eq(text_of(&told, RB_STEP_RIGHT, 0), "Read 2.");
    ck_assert_str_eq(text_of(&told, RB_STEP_BALL, 0), "Read 2 at 2.70 s.");
    ck_assert_str_eq(text_of(&told, RB_STEP_PRESSURE, 0), "None.");
    ck_assert(g_str_has_prefix(text_of(&told, RB_STEP_VERDICT, 0), "On the read"));
    ck_assert_str_eq(text_of(&told, RB_STEP_SETTLE, 0),
                     "Where it ended needs the throw.");
    rb_explanation_clear(&told);
    set(&made, "throw", "not-catchable");
    told = explain(&made);
    ck_assert_str_eq(text_of(&told, RB_STEP_VERDICT, 0),
                     "On the read; the stage is throw, at read 2.");
    ck_assert_ptr_null(step_of(&told, RB_STEP_SETTLE, 0));
    rb_explanation_clear(&told);
    try_clear(&made);
}
END_TEST

START_TEST(test_explain__two_rules_are_two_steps)
{
    Try made = try_new();
    set(&made, "shell", "one-high");
    set(&made, "right-technique-played", "squat");
    set(&made, "safety-right", "yes");
    RbExplanation told = explain(&made);
    const RbStep *first = step_of(&told, RB_STEP_RULE, 0);
    const RbStep *second = step_of(&told, RB_STEP_RULE, 1);
    ck_assert_ptr_nonnull(second);
    ck_assert_int_eq(first->rule, 1);
    ck_assert_int_eq(second->rule, 2);
    ck_assert_uint_eq(first->order.matched, 1);
    ck_assert_uint_eq(second->order.matched, 3);
    rb_explanation_clear(&told);
    try_clear(&made);
}
END_TEST

START_TEST(test_explain__names_the_tag_to_set)
{
    Try made = try_new();
    set(&made, "shell", "two-high");
    set(&made, "right-technique", "off");
    set(&made, "safety-right", "no");
    set(&made, "ball", "read-2");
    set(&made, "release", "2.7");
    set(&made, "read-2", "open");
    rb_try_fill_played(made.chart);
    RbExplanation told = explain(&made);
    ck_assert_int_eq(told.judgment.verdict, RB_VERDICT_UNGRADED);
    ck_assert_str_eq(text_of(&told, RB_STEP_SETTLE, 0), "Tag whether read 1 was open.");
    ck_assert_str_eq(text_of(&told, RB_STEP_VERDICT, 0), "Ungraded.");
    rb_explanation_clear(&told);
    set(&made, "read-1", "open");
    told = explain(&made);
    ck_assert_int_eq(told.judgment.verdict, RB_VERDICT_PASSED_UP);
    ck_assert_str_eq(text_of(&told, RB_STEP_RIGHT, 0), "Read 1.");
    rb_explanation_clear(&told);
    try_clear(&made);
}
END_TEST

START_TEST(test_explain__adjustment_made_and_not_made)
{
    Try made = try_new();
    RbConcept *concept = rb_names_concepts(made.names)->pdata[0];
    const RbTermId wanted =
        ((const RbTerm *)rb_names_terms(made.names)->pdata[0])->id; /* any word serves */
    RbRule *rule = rb_rule_new(RB_DO_REQUIRE_ADJUSTMENT, 0);
    rule->adjustment = wanted;
    g_ptr_array_add(concept->rules, rule);
    set(&made, "shell", "two-high");
    RbExplanation told = explain(&made);
    ck_assert_ptr_nonnull(
        strstr(text_of(&told, RB_STEP_ADJUSTMENT, 0), "what was made is not tagged"));
    rb_explanation_clear(&told);
    made.chart->adjusted = RB_NO;
    told = explain(&made);
    ck_assert_ptr_nonnull(
        strstr(text_of(&told, RB_STEP_ADJUSTMENT, 0), "which was not made"));
    rb_explanation_clear(&told);
    made.chart->adjusted = RB_YES;
    made.chart->adjustment = wanted;
    told = explain(&made);
    ck_assert_ptr_nonnull(
        strstr(text_of(&told, RB_STEP_ADJUSTMENT, 0), ", which was made"));
    rb_explanation_clear(&told);
    made.chart->adjustment = term(made.names, RB_TERM_COVERAGE, "cover-2");
    told = explain(&made);
    ck_assert_ptr_nonnull(
        strstr(text_of(&told, RB_STEP_ADJUSTMENT, 0), "another one was made"));
    rb_explanation_clear(&told);
    try_clear(&made);
}
END_TEST

/* Every judgment of a season is told as it was judged, with one step for each rule that
 * matched. */
START_TEST(test_explain__agrees_with_the_season)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(71));
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_build(
        season.names, season.snaps, season.charts, season.clips, NULL, NULL, NULL);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    ck_assert_int_gt(n, 20);
    for (int i = 0; i < n; i++) {
        const RbJudgment *judgment = rb_snapshot_find_judgment(snapshot, rows[i].snap);
        RbExplanation told;
        rb_explain(season.names, rb_snapshot_find_snap(snapshot, rows[i].snap),
                   rb_snapshot_find_chart(snapshot, rows[i].snap), NULL, &told);
        ck_assert(told.judged);
        ck_assert_int_eq(told.judgment.verdict, judgment->verdict);
        ck_assert_int_eq(told.judgment.stage, judgment->stage);
        int matched = 0;
        for (uint64_t bits = judgment->order.matched; bits != 0; bits &= bits - 1) {
            matched++;
        }
        if (matched > 0) {
            const RbStep *last = step_of(&told, RB_STEP_RULE, matched - 1);
            ck_assert_ptr_nonnull(last);
            ck_assert_ptr_null(step_of(&told, RB_STEP_RULE, matched));
        }
        rb_explanation_clear(&told);
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_explain__json_says_the_same)
{
    Try made = try_new();
    set(&made, "right-technique-played", "squat");
    set(&made, "safety-right", "yes");
    set(&made, "shell", "two-high");
    RbExplanation told = explain(&made);
    json_t *root = rb_json_explanation(&told);
    const json_t *steps = json_object_get(root, "steps");
    ck_assert_uint_eq(json_array_size(steps), told.steps->len);
    size_t rules = 0;
    size_t i = 0;
    const json_t *step = NULL;
    json_array_foreach(steps, i, step)
    {
        const RbStep *own = told.steps->pdata[i];
        ck_assert_str_eq(json_string_value(json_object_get(step, "step")),
                         rb_words_token(&rb_step_words, (int)own->kind));
        ck_assert_str_eq(json_string_value(json_object_get(step, "text")), own->text);
        ck_assert_uint_eq(json_array_size(json_object_get(step, "order")),
                          own->has_order ? (size_t)own->order.n : 0);
        rules += json_object_get(step, "rule") != NULL;
    }
    ck_assert_uint_eq(rules, 1);
    const json_t *first = json_array_get(json_object_get(root, "order"), 0);
    ck_assert_int_eq(json_integer_value(json_object_get(first, "read")), 2);
    ck_assert_str_eq(json_string_value(json_object_get(first, "route")), "pivot");
    ck_assert_str_eq(json_string_value(json_object_get(root, "verdict")), "ungraded");
    ck_assert_uint_eq(json_array_size(json_object_get(root, "settle")), 1);
    json_decref(root);
    rb_explanation_clear(&told);
    made.snap->play = RB_PLAY_RUN;
    told = explain(&made);
    root = rb_json_explanation(&told);
    ck_assert(json_is_false(json_object_get(root, "judged")));
    ck_assert_ptr_null(json_object_get(root, "verdict"));
    json_decref(root);
    rb_explanation_clear(&told);
    try_clear(&made);
}
END_TEST

static bool take(const Try *made, const char *text, GError **error)
{
    json_t *root = json_loads(text, JSON_DECODE_ANY, NULL);
    ck_assert_ptr_nonnull(root);
    const bool ok = rb_try_take_json(made->names, root, "picture.json", made->snap,
                                     made->chart, error);
    json_decref(root);
    return ok;
}

START_TEST(test_explain__tags_from_json)
{
    Try made = try_new();
    ck_assert(take(&made,
                   "{\"coverage\": \"cover-2\", \"release\": 2.45, \"down\": 3,"
                   " \"read-1\": \"covered\"}",
                   NULL));
    ck_assert_int_eq(made.chart->release_ms, 2450);
    ck_assert_int_eq(made.snap->situation.down, 3);
    ck_assert_int_eq(made.chart->looks[0], RB_LOOK_COVERED);
    ck_assert(take(&made, "{\"snap\": \"1\", \"tags\": {\"read-2\": \"open\"}}", NULL));
    ck_assert_int_eq(made.chart->looks[1], RB_LOOK_OPEN);
    static const struct {
        const char *text;
        const char *says;
    } refused[] = {
        { "[1]", "picture.json holds no object of tags" },
        { "{\"tags\": 4}", "picture.json holds no object of tags" },
        { "{\"colour\": \"red\"}", "A snap has no tag \"colour\"" },
        { "{\"coverage\": \"cover-99\"}", "picture.json: " },
        { "{\"down\": 9}", "picture.json: " },
        { "{\"down\": [1]}", "\"down\" must be a text or a number" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(refused); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert(!take(&made, refused[i].text, &error));
        ck_assert_msg(strstr(error->message, refused[i].says) != NULL, "%s",
                      error->message);
    }
    try_clear(&made);
}
END_TEST

START_TEST(test_explain__what_is_shown_is_played_unless_said)
{
    Try made = try_new();
    set(&made, "left-technique", "press");
    set(&made, "right-technique", "off");
    set(&made, "right-technique-played", "bail");
    set(&made, "rotation-shown", "left");
    rb_try_fill_played(made.chart);
    ck_assert_int_eq(made.chart->played.left, RB_TECHNIQUE_PRESS);
    ck_assert_int_eq(made.chart->played.right, RB_TECHNIQUE_BAIL);
    ck_assert_int_eq(made.chart->played.rotation, RB_ROTATION_LEFT);
    try_clear(&made);
}
END_TEST

TCase *rb_case_explain(void)
{
    TCase *tests = tcase_create("explain");
    tcase_add_test(tests, test_explain__tells_the_order_rule_by_rule);
    tcase_add_test(tests, test_explain__two_rules_are_two_steps);
    tcase_add_test(tests, test_explain__names_the_tag_to_set);
    tcase_add_test(tests, test_explain__adjustment_made_and_not_made);
    tcase_add_test(tests, test_explain__agrees_with_the_season);
    tcase_add_test(tests, test_explain__json_says_the_same);
    tcase_add_test(tests, test_explain__tags_from_json);
    tcase_add_test(tests, test_explain__what_is_shown_is_played_unless_said);
    return tests;
}
