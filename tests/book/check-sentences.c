/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every condition and every action as a coach would say it, plain and denied. */
#include <string.h>

#include "rb/book/check.h"
#include "rb/book/condition.h"

#include "suite.h"

TCase *rb_case_sentences(void);

typedef struct {
    RbConditionKind kind;
    RbWhere where;
    int64_t value; /* of a term: index in `tokens` */
    const char *plain;
    const char *denied;
} Row;

static const char *const coverage = "cover-3";
static const char *const formation = "bunch-left";

/* clang-format off */
static const Row rows[] = {
    { RB_IF_SHELL, 0, RB_SHELL_TWO_HIGH,
      "the shell shown is two high", "the shell shown is not two high" },
    { RB_IF_COVERAGE, 0, 0, "the coverage is Cover 3", "the coverage is not Cover 3" },
    { RB_IF_FAMILY, 0, RB_FAMILY_MAN, "the coverage is man", "the coverage is not man" },
    { RB_IF_TECHNIQUE, RB_WHERE_READ_SIDE, RB_TECHNIQUE_PRESS,
      "the corner on its side plays press", "the corner on its side does not play press" },
    { RB_IF_TECHNIQUE, RB_WHERE_OTHER_SIDE, RB_TECHNIQUE_OFF,
      "the corner on the other side plays off",
      "the corner on the other side does not play off" },
    { RB_IF_CUSHION_AT_MOST, RB_WHERE_LEFT, 50,
      "the cushion on the left is at most 5 yards",
      "the cushion on the left is not at most 5 yards" },
    { RB_IF_CUSHION_AT_LEAST, RB_WHERE_RIGHT, 75,
      "the cushion on the right is at least 7.5 yards",
      "the cushion on the right is not at least 7.5 yards" },
    { RB_IF_SPLIT_AT_MOST, RB_WHERE_READ_SIDE, 80,
      "the split on its side is at most 8 yards",
      "the split on its side is not at most 8 yards" },
    { RB_IF_SPLIT_AT_LEAST, RB_WHERE_OTHER_SIDE, 125,
      "the split on the other side is at least 12.5 yards",
      "the split on the other side is not at least 12.5 yards" },
    { RB_IF_LEVERAGE, RB_WHERE_READ_SIDE, RB_LEVERAGE_INSIDE,
      "the corner on its side stands inside", "the corner on its side does not stand inside" },
    { RB_IF_SAFETY_OVER, RB_WHERE_READ_SIDE, RB_YES,
      "a half-field safety is over its side", "no half-field safety is over its side" },
    { RB_IF_SAFETY_OVER, RB_WHERE_LEFT, RB_NO,
      "no half-field safety is over the left", "a half-field safety is over the left" },
    { RB_IF_ROTATION, RB_WHERE_READ_SIDE, 1,
      "the secondary rotates toward its side", "the secondary does not rotate toward its side" },
    { RB_IF_ROTATION, RB_WHERE_RIGHT, 0,
      "the secondary rotates away from the right",
      "the secondary does not rotate away from the right" },
    { RB_IF_RUSHERS_AT_LEAST, 0, 5, "at least 5 rush", "fewer than 5 rush" },
    { RB_IF_UNBLOCKED, RB_WHERE_OTHER_SIDE, 0,
      "a rusher comes free on the other side", "no rusher comes free on the other side" },
    { RB_IF_HASH, 0, RB_HASH_LEFT,
      "the ball is on the left hash", "the ball is not on the left hash" },
    { RB_IF_HASH, 0, RB_HASH_MIDDLE,
      "the ball is in the middle", "the ball is not in the middle" },
    { RB_IF_FIELD_SIDE, RB_WHERE_READ_SIDE, 1, "its side is the field", "its side is not the field" },
    { RB_IF_FIELD_SIDE, RB_WHERE_LEFT, 0, "the left is the boundary", "the left is not the boundary" },
    { RB_IF_DOWN, 0, 3, "the down is 3", "the down is not 3" },
    { RB_IF_DISTANCE_AT_MOST, 0, 6, "the distance is at most 6", "the distance is not at most 6" },
    { RB_IF_DISTANCE_AT_LEAST, 0, 7, "the distance is at least 7", "the distance is not at least 7" },
    { RB_IF_FORMATION, 0, 0, "the formation is Bunch left", "the formation is not Bunch left" },
    { RB_IF_STRONG_SIDE, RB_WHERE_READ_SIDE, 1,
      "its side is the one with more receivers", "its side is not the one with more receivers" },
    { RB_IF_STRONG_SIDE, RB_WHERE_RIGHT, 0,
      "the right is the one with fewer receivers",
      "the right is not the one with fewer receivers" },
};
/* clang-format on */

static RbCondition condition_of(const Row *row, bool negated)
{
    RbCondition condition = { row->kind, row->where, negated, row->value };
    const RbConditionForm *form = rb_book_condition_form(row->kind);
    if (form->form == RB_FORM_TERM) {
        condition.value =
            rb_term_id(form->term, row->kind == RB_IF_COVERAGE ? coverage : formation)
                .value;
    }
    return condition;
}

START_TEST(test_sentences__every_condition)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        for (int negated = 0; negated < 2; negated++) {
            const RbCondition condition = condition_of(&rows[i], negated);
            g_autofree char *text = rb_book_condition_text(&condition, terms);
            ck_assert_str_eq(text, negated ? rows[i].denied : rows[i].plain);
        }
    }
}
END_TEST

/* A kind added to the model is put in words here too. */
START_TEST(test_sentences__no_condition_is_left_out)
{
    for (int kind = 0; kind <= RB_IF_STRONG_SIDE; kind++) {
        bool found = kind == RB_IF_WIDTH; /* below, in all its values */
        for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
            found = found || rows[i].kind == (RbConditionKind)kind;
        }
        ck_assert_msg(found, "%s", rb_words_token(&rb_condition_words, kind));
    }
}
END_TEST

/* Two values of a condition never read alike: a coach could not tell them apart. */
START_TEST(test_sentences__values_are_told_apart)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    for (int kind = 0; kind <= RB_IF_STRONG_SIDE; kind++) {
        const RbConditionForm *form = rb_book_condition_form((RbConditionKind)kind);
        if (form->form != RB_FORM_WORD) {
            continue;
        }
        /* "not no safety" is the same as "a safety" */
        const int denials = kind == RB_IF_SAFETY_OVER ? 1 : 2;
        g_autoptr(GHashTable) seen =
            g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
        for (int value = 1; value < form->words->n; value++) {
            for (int where = 0; where <= (form->sided ? RB_WHERE_RIGHT : 0); where++) {
                for (int negated = 0; negated < denials; negated++) {
                    const RbCondition condition = { (RbConditionKind)kind, (RbWhere)where,
                                                    negated, value };
                    char *text = rb_book_condition_text(&condition, terms);
                    ck_assert_ptr_null(strstr(text, "(null)"));
                    ck_assert_msg(g_hash_table_add(seen, text), "%s", text);
                }
            }
        }
    }
}
END_TEST

START_TEST(test_sentences__every_action)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    const RbTermId signal = rb_term_id(RB_TERM_ADJUSTMENT, "route-signal");
    const struct {
        RbRule rule;
        const char *text;
    } actions[] = {
        { { .read = 2, .action = RB_DO_DROP }, "Read 2 is dropped." },
        { { .read = 1, .action = RB_DO_CONVERT, .route = RB_ROUTE_FADE },
          "Read 1 becomes a fade." },
        { { .read = 1, .action = RB_DO_CONVERT, .route = RB_ROUTE_GO, .clear_out = true },
          "Read 1 becomes a go, only to clear out." },
        { { .read = 3, .action = RB_DO_FRONT }, "Read 3 comes first." },
        { { .action = RB_DO_REQUIRE_ADJUSTMENT, .adjustment = signal },
          "The adjustment \"Route signal\" must be made." },
        { { .read = 1, .action = RB_DO_REQUIRE_ADJUSTMENT, .adjustment = signal },
          "The adjustment \"Route signal\" must be made for read 1." },
        { { .read = 2, .action = RB_DO_RUNNER, .runner = RB_RUNNER_BACK },
          "Read 2 is run by the back." },
        { { .read = 2, .action = RB_DO_RUNNER, .runner = RB_RUNNER_3 },
          "Read 2 is run by #3." },
        { { .read = 1, .action = RB_DO_CONVERT, .route = RB_ROUTE_QUICK_OUT },
          "Read 1 becomes a quick out." },
        { { .read = 1, .action = RB_DO_CONVERT, .route = RB_ROUTE_OUT },
          "Read 1 becomes an out." },
        { { .action = RB_DO_SIDE, .where = RB_WHERE_READ_SIDE },
          "Work the strong side." },
        { { .action = RB_DO_SIDE, .where = RB_WHERE_OTHER_SIDE }, "Work the weak side." },
        { { .action = RB_DO_SIDE, .where = RB_WHERE_LEFT }, "Work the left." },
        { { .action = RB_DO_SIDE, .where = RB_WHERE_RIGHT }, "Work the right." },
        { { .read = 2, .action = RB_DO_HOT }, "Read 2 is hot against a free rusher." },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(actions); i++) {
        RbRule rule = actions[i].rule;
        rule.conditions = g_array_new(FALSE, FALSE, sizeof(RbCondition));
        g_autofree char *text = rb_book_rule_text(&rule, terms);
        ck_assert_str_eq(text, actions[i].text);
        g_array_unref(rule.conditions);
    }
}
END_TEST

/* One: "if a". Two: "if a and b". Three: "if a, b and c". */
START_TEST(test_sentences__conditions_are_joined)
{
    static const char *const want[] = {
        "Read 1 is dropped.",
        "Read 1 is dropped, if the down is 1.",
        "Read 1 is dropped, if the down is 1 and the down is 2.",
        "Read 1 is dropped, if the down is 1, the down is 2 and the down is 3.",
    };
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    g_autoptr(RbRule) rule = rb_rule_new(RB_DO_DROP, 1);
    for (int n = 0; n < (int)G_N_ELEMENTS(want); n++) {
        if (n > 0) {
            const RbCondition condition = { .kind = RB_IF_DOWN, .value = n };
            g_array_append_val(rule->conditions, condition);
        }
        g_autofree char *text = rb_book_rule_text(rule, terms);
        ck_assert_str_eq(text, want[n]);
    }
}
END_TEST

TCase *rb_case_sentences(void)
{
    TCase *tcase = rb_case_new("sentences");
    tcase_add_test(tcase, test_sentences__every_condition);
    tcase_add_test(tcase, test_sentences__no_condition_is_left_out);
    tcase_add_test(tcase, test_sentences__values_are_told_apart);
    tcase_add_test(tcase, test_sentences__every_action);
    tcase_add_test(tcase, test_sentences__conditions_are_joined);
    return tcase;
}
