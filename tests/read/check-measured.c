/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cushions and splits measured on the film: each has its plus or minus. */
#include <string.h>

#include "playbook.h"
#include "suite.h"

TCase *rb_case_measured(void);

static const char playbook[] = "concept hitch\n"
                               "read 1 hitch by=1 clock=1.2 tol=0.2\n"
                               "read 2 flat by=2 clock=1.8 tol=0.2 outlet\n"
                               "rule drop read=1 if cushion-at-most:6\n"
                               "concept quick-out\n"
                               "read 1 quick-out by=1 clock=1.2 tol=0.2\n"
                               "read 2 flat by=2 clock=1.8 tol=0.2 outlet\n"
                               "rule drop read=1 if split-at-least:10\n";

typedef struct {
    GPtrArray *terms;
    GPtrArray *concepts;
    RbSnap *snap;
    RbChart *chart;
    RbReadContext context;
    RbJudgment judgment;
} Play;

static void play_start(Play *play)
{
    play->terms = rb_vocabulary_defaults();
    play->concepts = test_playbook_parse(playbook, play->terms);
    play->snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    play->chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    RbChart *chart = play->chart;
    chart->call.kind = RB_CALL_SINGLE;
    chart->call.first_side = RB_SIDE_LEFT;
    chart->pressure = RB_PRESSURE_NONE;
    chart->contact = RB_CONTACT_NONE;
    chart->fault = RB_FAULT_NONE;
    chart->throw_ = RB_THROW_ON_TARGET;
    chart->catch_ = RB_CATCH_CAUGHT;
    chart->looks[0] = chart->looks[1] = RB_LOOK_OPEN;
    chart->ball = RB_BALL_READ;
    chart->ball_read = 1;
    chart->release_ms = 1250;
    play->context = (RbReadContext){ .snap = play->snap,
                                     .first = test_playbook_find(play->concepts, "hitch"),
                                     .terms = play->terms,
                                     .footwork = rb_footwork_defaults() };
}

static void judge(Play *play, int tenths, int pm_tenths)
{
    play->chart->shown.left.cushion_tenths = tenths;
    play->chart->shown.left.cushion_pm_tenths = pm_tenths;
    rb_judge(&play->context, play->chart, true, NULL, &play->judgment);
}

/* The quick out wants a short split: eight yards (Walsh, staff notes); from ten on this playbook has
 * it dropped. */
static void judge_split(Play *play, int tenths, int pm_tenths)
{
    play->context.first = test_playbook_find(play->concepts, "quick-out");
    play->chart->shown.left.split_tenths = tenths;
    play->chart->shown.left.split_pm_tenths = pm_tenths;
    rb_judge(&play->context, play->chart, true, NULL, &play->judgment);
}

static void play_end(Play *play)
{
    g_ptr_array_unref(play->concepts);
    g_ptr_array_unref(play->terms);
    rb_snap_free(play->snap);
    rb_chart_free(play->chart);
}

static bool says(const Play *play, const char *sentence)
{
    for (int i = 0; i < play->judgment.n_reasons; i++) {
        g_autofree char *text =
            rb_reason_text(&play->context, &play->judgment, &play->judgment.reasons[i]);
        if (strcmp(text, sentence) == 0) {
            return true;
        }
    }
    return false;
}

START_TEST(test_measured__the_verdict_says_the_measure)
{
    Play play;
    play_start(&play);
    judge(&play, 66, 4);
    ck_assert_int_eq(play.judgment.verdict, RB_VERDICT_ON_READ);
    ck_assert(says(&play, "The left corner's cushion was measured 6.6 ± 0.4 yd."));
    judge(&play, 66, 0); /* told by a person, who needs no plus or minus */
    ck_assert_int_eq(play.judgment.verdict, RB_VERDICT_ON_READ);
    ck_assert(!says(&play, "The left corner's cushion was measured 6.6 ± 0.4 yd."));
    play_end(&play);
}
END_TEST

START_TEST(test_measured__a_limit_inside_waits_for_a_person)
{
    Play play;
    play_start(&play);
    judge(&play, 62, 4);
    ck_assert_int_eq(play.judgment.verdict, RB_VERDICT_UNGRADED);
    ck_assert_int_eq(play.judgment.settle.kind, RB_TAG_CUSHION);
    ck_assert_int_eq(play.judgment.settle.side, RB_SIDE_LEFT);
    ck_assert(says(&play,
                   "The left corner's cushion was measured 6.2 ± 0.4 yd, and a limit "
                   "of the playbook lies within that: the verdict waits for a "
                   "person to say."));
    judge(&play, -1, 0); /* not tagged at all is another thing */
    ck_assert(says(&play, "Not enough is tagged: what would settle most is the left "
                          "corner's cushion."));
    play_end(&play);
}
END_TEST

/* Whatever the measure: graded just when every tenth of a yard within it is graded alike. */
START_TEST(test_measured__graded_when_all_of_it_is)
{
    Play play;
    play_start(&play);
    for (int tenths = 0; tenths <= 120; tenths++) {
        for (int pm = 1; pm <= 12; pm++) {
            judge(&play, MAX(tenths - pm, 0), 0);
            const RbVerdict lowest = play.judgment.verdict;
            judge(&play, tenths + pm, 0);
            const bool same = play.judgment.verdict == lowest;
            judge(&play, tenths, pm);
            ck_assert_int_eq(play.judgment.verdict, same ? lowest : RB_VERDICT_UNGRADED);
        }
    }
    play_end(&play);
}
END_TEST

START_TEST(test_measured__a_split_is_said_and_waits_likewise)
{
    Play play;
    play_start(&play);
    judge_split(&play, 86, 4);
    ck_assert_int_eq(play.judgment.verdict, RB_VERDICT_ON_READ);
    ck_assert(says(&play, "The split of the outside receiver on the left was measured "
                          "8.6 ± 0.4 yd."));
    judge_split(&play, 108, 4);
    ck_assert_int_eq(play.judgment.verdict, RB_VERDICT_FORCED);
    judge_split(&play, 98, 4);
    ck_assert_int_eq(play.judgment.verdict, RB_VERDICT_UNGRADED);
    ck_assert_int_eq(play.judgment.settle.kind, RB_TAG_SPLIT);
    ck_assert_int_eq(play.judgment.settle.side, RB_SIDE_LEFT);
    ck_assert(says(&play, "The split of the outside receiver on the left was measured "
                          "9.8 ± 0.4 yd, and a limit of the playbook lies within that: "
                          "the verdict waits for a person to say."));
    judge_split(&play, 98, 0); /* the person says */
    ck_assert_int_eq(play.judgment.verdict, RB_VERDICT_ON_READ);
    judge_split(&play, -1, 0);
    ck_assert(says(&play, "Not enough is tagged: what would settle most is the split of "
                          "the outside receiver on the left."));
    play_end(&play);
}
END_TEST

/* Who works the right is asked for the right receiver, and a split no rule asks for is not said. */
START_TEST(test_measured__a_split_of_the_side_that_is_asked)
{
    Play play;
    play_start(&play);
    play.chart->call.first_side = RB_SIDE_RIGHT;
    play.chart->shown.right.split_tenths = 98;
    play.chart->shown.right.split_pm_tenths = 4;
    judge_split(&play, 40, 3);
    ck_assert_int_eq(play.judgment.settle.kind, RB_TAG_SPLIT);
    ck_assert_int_eq(play.judgment.settle.side, RB_SIDE_RIGHT);
    ck_assert(says(&play, "The split of the outside receiver on the left was measured "
                          "4.0 ± 0.3 yd."));
    ck_assert(says(&play, "The split of the outside receiver on the right was measured "
                          "9.8 ± 0.4 yd, and a limit of the playbook lies within that: "
                          "the verdict waits for a person to say."));
    play.context.first = test_playbook_find(play.concepts, "hitch");
    judge(&play, 66, 4);
    ck_assert(!says(&play, "The split of the outside receiver on the left was measured "
                           "4.0 ± 0.3 yd."));
    play_end(&play);
}
END_TEST

START_TEST(test_measured__a_split_is_graded_when_all_of_it_is)
{
    Play play;
    play_start(&play);
    for (int tenths = 60; tenths <= 140; tenths++) {
        for (int pm = 1; pm <= 12; pm++) {
            judge_split(&play, tenths - pm, 0);
            const RbVerdict lowest = play.judgment.verdict;
            judge_split(&play, tenths + pm, 0);
            const bool same = play.judgment.verdict == lowest;
            judge_split(&play, tenths, pm);
            ck_assert_int_eq(play.judgment.verdict, same ? lowest : RB_VERDICT_UNGRADED);
        }
    }
    play_end(&play);
}
END_TEST

static bool is_open(Play *play, RbTagKind kind)
{
    RbTag tags[RB_OPEN_TAGS_MAX];
    const int n = rb_judge_open_tags(&play->context, play->chart, true, NULL, tags);
    for (int i = 0; i < n; i++) {
        if (tags[i].kind == kind) {
            return true;
        }
    }
    return false;
}

/* Clear of every limit it needs no person, whatever else is still open. */
START_TEST(test_measured__asked_for_only_in_doubt)
{
    Play play;
    play_start(&play);
    play.chart->release_ms = -1;
    judge(&play, 62, 4);
    ck_assert(is_open(&play, RB_TAG_CUSHION));
    judge(&play, 70, 4);
    ck_assert(!is_open(&play, RB_TAG_CUSHION));
    judge_split(&play, 98, 4);
    ck_assert(is_open(&play, RB_TAG_SPLIT));
    judge_split(&play, 80, 4);
    ck_assert(!is_open(&play, RB_TAG_SPLIT));
    ck_assert(is_open(&play, RB_TAG_RELEASE));
    judge_split(&play, -1, 0);
    ck_assert(is_open(&play, RB_TAG_SPLIT));
    play_end(&play);
}
END_TEST

TCase *rb_case_measured(void)
{
    TCase *tcase = rb_case_new("measured");
    tcase_add_test(tcase, test_measured__the_verdict_says_the_measure);
    tcase_add_test(tcase, test_measured__a_limit_inside_waits_for_a_person);
    tcase_add_test(tcase, test_measured__graded_when_all_of_it_is);
    tcase_add_test(tcase, test_measured__asked_for_only_in_doubt);
    tcase_add_test(tcase, test_measured__a_split_is_said_and_waits_likewise);
    tcase_add_test(tcase, test_measured__a_split_of_the_side_that_is_asked);
    tcase_add_test(tcase, test_measured__a_split_is_graded_when_all_of_it_is);
    return tcase;
}
