/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "rb/read/verdict.h"
#include "rb/work/rail.h"

#include "rail-driver.h"
#include "suite.h"

TCase *rb_case_rail(void);

enum { DROPBACKS = 40 };

/* Dropbacks of one game, learned. before: (inout). */
static void learn_game(RbLikely *likely, const RbNames *names, const RbSeasonGame *game)
{
    const RbChart *before = NULL;
    for (guint i = 0; i < game->snaps->len; i++) {
        const RbSeasonSnap *entry = game->snaps->pdata[i];
        if (entry->chart != NULL) {
            rb_likely_learn(likely, names, entry->snap, entry->chart, before);
            before = entry->chart;
        }
    }
}

static int compare_ints(const void *a, const void *b)
{
    return *(const int *)a - *(const int *)b;
}

static int median(GArray *values)
{
    qsort(values->data, values->len, sizeof(int), compare_ints);
    return g_array_index(values, int, values->len / 2);
}

static void judge(const RbNames *names, const RbSnap *snap, const RbChart *chart,
                  RbJudgment *judgment)
{
    const RbReadContext context = {
        .snap = snap,
        .first = rb_names_find_concept(names, chart->call.first),
        .second = rb_names_find_concept(names, chart->call.second),
        .terms = rb_names_terms(names),
        .footwork = rb_footwork_defaults(),
    };
    const RbReadSettings settings = rb_read_settings_default();
    rb_judge(&context, chart, true, &settings, judgment);
}

/* Whatever was asked is as it is in truth, and the verdict is the truth's. */
static void check_against_truth(const RbRail *rail, const RbRailView *view,
                                const RbSeasonSnap *truth)
{
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        g_autofree char *have =
            rb_taggable_get(&fields[i], view->names, view->snap, view->chart);
        g_autofree char *want =
            rb_taggable_get(&fields[i], view->names, truth->snap, truth->chart);
        if (have[0] != '\0' && !fields[i].is_fact) {
            ck_assert_msg(strcmp(have, want) == 0, "%s of snap %d: %s, not %s",
                          fields[i].token, view->snap->number, have, want);
        }
    }
    g_autoptr(GPtrArray) missing = rb_rail_missing(rail, view);
    ck_assert_msg(missing->len == 0, "snap %d lacks %s", view->snap->number,
                  missing->len > 0 ? ((const RbTaggable *)missing->pdata[0])->token : "");
    RbJudgment got;
    RbJudgment due;
    judge(view->names, view->snap, view->chart, &got);
    judge(view->names, truth->snap, truth->chart, &due);
    ck_assert_int_eq(got.verdict, due.verdict);
}

/* Forty dropbacks of the last games of a season nobody tuned for, likelihoods from the games
 * before. */
static void tag_season(uint64_t seed, GArray *answers, DriverKeys *sum)
{
    g_autoptr(RbSeason) season = rb_season_new(seed);
    g_autoptr(RbNames) names = driver_names_new(season);
    g_autoptr(RbLikely) likely = rb_likely_new();
    g_autoptr(RbRail) rail = rb_rail_new(NULL);
    const guint first = season->games->len - 2;
    const char *verbose = g_getenv("RB_RAIL_LOG");
    for (guint g = 0; g < first; g++) {
        learn_game(likely, names, season->games->pdata[g]);
    }
    int done = 0;
    for (guint g = first; g < season->games->len; g++) {
        const RbSeasonGame *game = season->games->pdata[g];
        const RbChart *last = NULL;
        for (guint i = 0; i < game->snaps->len && done < DROPBACKS; i++) {
            const RbSeasonSnap *truth = game->snaps->pdata[i];
            if (truth->chart == NULL || !rb_snap_is_dropback(truth->snap)) {
                continue;
            }
            DriverKeys keys = { 0 };
            g_autoptr(RbSnap) snap = rb_snap_copy(truth->snap);
            g_autoptr(RbChart) chart = driver_empty_chart(truth);
            g_autoptr(GString) log = g_string_new(NULL);
            RbRailView view = { .names = names, .likely = likely, .last_chart = last };
            driver_tag(rail, &view, snap, chart, truth, &keys, log);
            check_against_truth(rail, &view, truth);
            if (verbose != NULL) {
                g_print("%d %d+%d:%s\n", snap->number, keys.answer_keys, keys.film_keys,
                        log->str);
            }
            g_array_append_val(answers, keys.answer_keys);
            sum->answer_keys += keys.answer_keys;
            sum->film_keys += keys.film_keys;
            sum->enters += keys.enters;
            sum->shifts += keys.shifts;
            sum->questions += keys.questions;
            sum->skipped += keys.skipped;
            last = truth->chart;
            done++;
        }
    }
    ck_assert_int_eq(done, DROPBACKS);
}

START_TEST(test_rail__forty_dropbacks_take_fourteen_keys_at_the_median)
{
    static const uint64_t seeds[] = { 501, 502, 503, 504, 505, 506 };
    for (size_t i = 0; i < G_N_ELEMENTS(seeds); i++) {
        g_autoptr(GArray) answers = g_array_new(FALSE, FALSE, sizeof(int));
        DriverKeys sum = { 0 };
        tag_season(seeds[i], answers, &sum);
        const int middle = median(answers);
        g_print("rail, seed %d: median %d answer keys a dropback, %.1f on average, "
                "%.0f %% Enter, %.1f film keys, %d capitals, %d left open\n",
                (int)seeds[i], middle, (double)sum.answer_keys / DROPBACKS,
                100.0 * sum.enters / sum.answer_keys, (double)sum.film_keys / DROPBACKS,
                sum.shifts, sum.skipped);
        ck_assert_int_le(middle, 14);
    }
}
END_TEST

/* One dropback of a season, nothing tagged. */
typedef struct {
    RbSeason *season;
    RbNames *names;
    RbLikely *likely;
    RbRail *rail;
    const RbSeasonSnap *truth;
    RbSnap *snap;
    RbChart *chart;
    RbRailView view;
} Bench;

static Bench bench_new(void)
{
    Bench bench = { .season = rb_season_new(77) };
    bench.names = driver_names_new(bench.season);
    bench.likely = rb_likely_new();
    bench.rail = rb_rail_new(NULL);
    learn_game(bench.likely, bench.names, bench.season->games->pdata[0]);
    const RbSeasonGame *game = bench.season->games->pdata[1];
    for (guint i = 0; bench.truth == NULL; i++) {
        const RbSeasonSnap *entry = game->snaps->pdata[i];
        bench.truth =
            entry->chart != NULL && rb_snap_is_dropback(entry->snap) ? entry : NULL;
    }
    bench.snap = rb_snap_copy(bench.truth->snap);
    bench.chart = driver_empty_chart(bench.truth);
    bench.view = (RbRailView){ .names = bench.names,
                               .snap = bench.snap,
                               .chart = bench.chart,
                               .likely = bench.likely };
    return bench;
}

static void bench_clear(Bench *bench)
{
    rb_rail_free(bench->rail);
    rb_likely_free(bench->likely);
    rb_snap_free(bench->snap);
    rb_chart_free(bench->chart);
    rb_names_unref(bench->names);
    rb_season_free(bench->season);
}

static void put(const Bench *bench, const char *field, const char *value)
{
    GError *error = NULL;
    rb_taggable_set(rb_taggable_parse(field, NULL), bench->names, bench->snap,
                    bench->chart, value, &error);
    rb_assert_no_error(error);
}

static void put_option(const Bench *bench, const RbOption *option)
{
    for (guint i = 0; i + 1 < option->tags->len; i += 2) {
        put(bench, option->tags->pdata[i], option->tags->pdata[i + 1]);
    }
}

static void assert_asks(const Bench *bench, const char *token)
{
    g_autoptr(RbQuestion) question = rb_rail_ask(bench->rail, &bench->view);
    if (token == NULL) {
        ck_assert_ptr_null(question);
    } else {
        ck_assert_ptr_nonnull(question);
        ck_assert_str_eq(question->token, token);
    }
}

START_TEST(test_rail__skips_and_goes_back)
{
    Bench bench = bench_new();
    assert_asks(&bench, "call");
    ck_assert(!rb_rail_back(bench.rail));
    g_autoptr(RbQuestion) call = rb_rail_ask(bench.rail, &bench.view);
    const RbOption *smash = NULL;
    for (guint i = 0; i < call->options->len; i++) {
        const RbOption *option = call->options->pdata[i];
        smash = strcmp(rb_option_value(option, "concept"), "smash") == 0 && smash == NULL
                    ? option
                    : smash;
    }
    put_option(&bench, smash);
    rb_rail_answered(bench.rail, call);
    assert_asks(&bench, "shell");
    g_autoptr(RbQuestion) shell = rb_rail_ask(bench.rail, &bench.view);
    rb_rail_skip(bench.rail, shell);
    g_autoptr(RbQuestion) next = rb_rail_ask(bench.rail, &bench.view);
    ck_assert_str_ne(next->token, "shell");
    ck_assert(rb_rail_back(bench.rail));
    assert_asks(&bench, "shell");
    ck_assert(rb_rail_back(bench.rail));
    g_autoptr(RbQuestion) again = rb_rail_ask(bench.rail, &bench.view);
    ck_assert_str_eq(again->token, "call");
    const RbOption *first = again->options->pdata[0];
    ck_assert(first->now);
    ck_assert_str_eq(rb_option_value(first, "concept"), "smash");
    bench_clear(&bench);
}
END_TEST

START_TEST(test_rail__the_picture_alone_in_the_first_pass)
{
    Bench bench = bench_new();
    DriverKeys keys = { 0 };
    rb_rail_set_pass(bench.rail, RB_ASK_PICTURE);
    driver_tag(bench.rail, &bench.view, bench.snap, bench.chart, bench.truth, &keys,
               NULL);
    ck_assert_int_ne(bench.chart->played.coverage.value, 0);
    ck_assert_int_eq(bench.chart->ball, RB_BALL_UNKNOWN);
    assert_asks(&bench, NULL);
    rb_rail_set_pass(bench.rail, RB_ASK_DECISION);
    assert_asks(&bench, "ball");
    bench_clear(&bench);
}
END_TEST

START_TEST(test_rail__sides_that_differ_are_asked_one_by_one)
{
    Bench bench = bench_new();
    rb_rail_set_required(bench.rail, "left-technique, right-technique");
    put(&bench, "concept", "smash");
    g_autoptr(RbQuestion) both = rb_rail_ask(bench.rail, &bench.view);
    ck_assert_str_eq(both->token, "corners");
    ck_assert(both->can_split);
    const RbOption *press = rb_question_find_key(both, 'p');
    ck_assert_str_eq(rb_option_value(press, "left-technique"), "press");
    ck_assert_str_eq(rb_option_value(press, "right-technique"), "press");
    rb_rail_split(bench.rail, both);
    g_autoptr(RbQuestion) left = rb_rail_ask(bench.rail, &bench.view);
    ck_assert_str_eq(left->label, "Left corner");
    put_option(&bench, rb_question_find_key(left, 'o'));
    rb_rail_answered(bench.rail, left);
    g_autoptr(RbQuestion) right = rb_rail_ask(bench.rail, &bench.view);
    ck_assert_str_eq(right->label, "Right corner");
    ck_assert_int_eq(bench.chart->shown.left.technique, RB_TECHNIQUE_OFF);
    ck_assert_int_eq(bench.chart->shown.right.technique, RB_TECHNIQUE_UNKNOWN);
    bench_clear(&bench);
}
END_TEST

/* Whether it comes, now or when those before it are skipped. */
static bool is_asked(const Bench *bench, const char *token)
{
    RbRail *rail = rb_rail_new(NULL);
    RbQuestion *question = rb_rail_ask(rail, &bench->view);
    while (question != NULL && strcmp(question->token, token) != 0) {
        rb_rail_skip(rail, question);
        rb_question_free(question);
        question = rb_rail_ask(rail, &bench->view);
    }
    const bool found = question != NULL;
    rb_question_free(question);
    rb_rail_free(rail);
    return found;
}

/* Asked for only where a rule needs it; one measured, only while a limit lies within it. */
START_TEST(test_rail__a_split_in_doubt_is_asked_for)
{
    Bench bench = bench_new();
    put(&bench, "concept", "smash");
    put(&bench, "call", "single");
    put(&bench, "concept-side", "left");
    ck_assert(!is_asked(&bench, "left-split"));
    RbRule *rule = rb_rule_new(RB_DO_DROP, 1);
    const RbCondition wide = { RB_IF_SPLIT_AT_LEAST, RB_WHERE_READ_SIDE, false, 100 };
    g_array_append_val(rule->conditions, wide);
    const RbConcept *smash = rb_names_find_concept(bench.names, bench.chart->call.first);
    g_ptr_array_add(smash->rules, rule);
    ck_assert(is_asked(&bench, "left-split"));
    ck_assert(!is_asked(&bench, "right-split"));
    put(&bench, "left-split", "12");
    put(&bench, "left-split-error", "0.4");
    ck_assert(!is_asked(&bench, "left-split"));
    put(&bench, "left-split", "9.8");
    ck_assert(!is_asked(&bench, "left-split")); /* a person said so */
    put(&bench, "left-split-error", "0.4");
    ck_assert(is_asked(&bench, "left-split"));
    bench_clear(&bench);
}
END_TEST

/* A sack is neither thrown nor caught, and says so itself; a ball caught is a completion. */
START_TEST(test_rail__what_follows_comes_with_the_answer)
{
    Bench bench = bench_new();
    bench.snap->result = RB_RESULT_UNKNOWN;
    rb_rail_set_required(bench.rail, "ball,throw,catch,result");
    put(&bench, "concept", "smash");
    put(&bench, "side-worked", "left");
    g_autoptr(RbQuestion) ball = NULL;
    for (int i = 0; i < 30; i++) {
        g_clear_pointer(&ball, rb_question_free);
        ball = rb_rail_ask(bench.rail, &bench.view);
        if (strcmp(ball->token, "ball") == 0) {
            break;
        }
        rb_rail_skip(bench.rail, ball);
    }
    g_autoptr(GPtrArray) sacks = rb_question_narrow(ball, "sack");
    const RbOption *sack = sacks->pdata[0];
    ck_assert_str_eq(rb_option_value(sack, "throw"), "none");
    ck_assert_str_eq(rb_option_value(sack, "catch"), "none");
    ck_assert_str_eq(rb_option_value(sack, "contact"), "sacked");
    ck_assert_str_eq(rb_option_value(sack, "result"), "sack");
    put(&bench, "ball", "read-1");
    put(&bench, "throw", "on-target");
    g_autoptr(RbQuestion) caught = rb_rail_ask(bench.rail, &bench.view);
    ck_assert_str_eq(caught->token, "catch");
    g_autoptr(GPtrArray) named = rb_question_narrow(caught, "caught");
    const RbOption *yes = named->pdata[0];
    ck_assert_str_eq(rb_option_value(yes, "result"), "complete");
    bench_clear(&bench);
}
END_TEST

/* Down, distance and spot follow from the snap before: proposed, not set. 2nd and 8 after a gain
 * of 2 from the own 25: common practice, no source. */
START_TEST(test_rail__proposes_the_situation_that_follows)
{
    Bench bench = bench_new();
    g_autoptr(RbSnap) last = rb_snap_new((RbSnapId){ 5 }, bench.snap->game, 1);
    last->situation.down = 1;
    last->situation.distance = 10;
    last->situation.yards_to_goal = 75;
    last->play = RB_PLAY_RUN;
    last->result = RB_RESULT_RUN;
    last->has_gain = RB_YES;
    last->gain = 2;
    bench.snap->situation = rb_situation_unknown();
    bench.view.last_snap = last;
    rb_rail_set_required(bench.rail, "down,distance,spot");
    g_autoptr(RbQuestion) question = rb_rail_ask(bench.rail, &bench.view);
    ck_assert_str_eq(question->token, "situation");
    ck_assert(question->follows);
    ck_assert_int_eq(bench.snap->situation.down, 0);
    put_option(&bench, question->options->pdata[0]);
    ck_assert_int_eq(bench.snap->situation.down, 2);
    ck_assert_int_eq(bench.snap->situation.distance, 8);
    ck_assert_int_eq(bench.snap->situation.yards_to_goal, 73);
    bench_clear(&bench);
}
END_TEST

/* No two options of a question share a key, and none takes a key of the film. */
START_TEST(test_rail__keys_are_told_apart)
{
    Bench bench = bench_new();
    for (int i = 0; i < 60; i++) {
        g_autoptr(RbQuestion) question = rb_rail_ask(bench.rail, &bench.view);
        if (question == NULL) {
            break;
        }
        for (guint k = 0; k < question->options->len; k++) {
            const RbOption *option = question->options->pdata[k];
            if (option->key != 0) {
                ck_assert_ptr_eq(rb_question_find_key(question, option->key), option);
                ck_assert_ptr_null(strchr("jkl", (int)option->key));
            }
        }
        if (question->options->len > 0) {
            put_option(&bench, question->options->pdata[0]);
            rb_rail_answered(bench.rail, question);
        } else {
            rb_rail_skip(bench.rail, question);
        }
    }
    bench_clear(&bench);
}
END_TEST

START_TEST(test_rail__required_tags_are_checked)
{
    GError *error = NULL;
    ck_assert(rb_required_check(rb_required_default, &error));
    ck_assert(!rb_required_check("coverage,weather", &error));
    ck_assert_ptr_nonnull(strstr(error->message, "weather"));
    g_clear_error(&error);
}
END_TEST

/* Counted by hand: of five snaps three were Cover 2, all of them from the one shell. Without circumstances the shares are (n + 1/2) / (N + 1/2 k): 3.5 / 6 and 2.5 / 6. */
START_TEST(test_likely__orders_by_counts)
{
    Bench bench = bench_new();
    g_autoptr(RbLikely) likely = rb_likely_new();
    static const struct {
        const char *shell;
        const char *coverage;
    } seen[] = { { "two-high", "cover-2" },
                 { "two-high", "cover-2" },
                 { "two-high", "cover-2" },
                 { "two-high", "cover-3" },
                 { "one-high", "cover-3" } };
    for (size_t i = 0; i < G_N_ELEMENTS(seen); i++) {
        g_autoptr(RbSnap) snap =
            rb_snap_new((RbSnapId){ 1000 + (int)i }, bench.snap->game, 1);
        g_autoptr(RbChart) chart = rb_chart_new(snap->id, (RbPersonId){ 1 });
        bench.snap->situation = rb_situation_unknown();
        rb_taggable_set(rb_taggable_parse("shell", NULL), bench.names, snap, chart,
                        seen[i].shell, NULL);
        rb_taggable_set(rb_taggable_parse("coverage", NULL), bench.names, snap, chart,
                        seen[i].coverage, NULL);
        rb_likely_learn(likely, bench.names, snap, chart, NULL);
        rb_likely_learn(likely, bench.names, snap, chart, NULL); /* again: no more */
    }
    ck_assert_int_eq(rb_likely_count(likely), 5);
    const RbLikelyFields asked = { { rb_taggable_parse("coverage", NULL) }, 1 };
    g_autoptr(GPtrArray) plain =
        rb_likely_rank(likely, bench.names, bench.snap, bench.chart, NULL, &asked);
    const RbLikelyValue *best = plain->pdata[0];
    ck_assert_str_eq(best->values[0], "cover-2");
    ck_assert_double_eq_tol(best->share, 3.5 / 6.0, 1e-12);
    bench.chart->shown.shell = RB_SHELL_ONE_HIGH;
    g_autoptr(GPtrArray) after =
        rb_likely_rank(likely, bench.names, bench.snap, bench.chart, NULL, &asked);
    ck_assert_str_eq(((RbLikelyValue *)after->pdata[0])->values[0], "cover-3");
    bench_clear(&bench);
}
END_TEST

TCase *rb_case_rail(void)
{
    TCase *tcase = rb_case_new("rail");
    tcase_add_test(tcase, test_rail__skips_and_goes_back);
    tcase_add_test(tcase, test_rail__the_picture_alone_in_the_first_pass);
    tcase_add_test(tcase, test_rail__sides_that_differ_are_asked_one_by_one);
    tcase_add_test(tcase, test_rail__a_split_in_doubt_is_asked_for);
    tcase_add_test(tcase, test_rail__what_follows_comes_with_the_answer);
    tcase_add_test(tcase, test_rail__proposes_the_situation_that_follows);
    tcase_add_test(tcase, test_rail__keys_are_told_apart);
    tcase_add_test(tcase, test_rail__required_tags_are_checked);
    tcase_add_test(tcase, test_likely__orders_by_counts);
    tcase_add_test(tcase, test_rail__forty_dropbacks_take_fourteen_keys_at_the_median);
    return tcase;
}
