/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/book/check.h"

#include <string.h>

#include "suite.h"

TCase *rb_case_check(void);

static GPtrArray *terms;
static RbConcept *concept;

/* Three reads in order, with clocks: nothing to find. */
static void make(void)
{
    terms = rb_vocabulary_defaults();
    concept = rb_concept_new("a", "A");
    const RbRoute routes[] = { RB_ROUTE_OUT, RB_ROUTE_DIG, RB_ROUTE_CHECK_DOWN };
    for (int i = 0; i < 3; i++) {
        RbRead *read = rb_read_new(i + 1, routes[i]);
        read->clock = (RbClock){ .kind = RB_CLOCK_SECONDS, .ms = 1500 + 500 * i };
        read->outlet = i == 2;
        g_ptr_array_add(concept->reads, read);
    }
}

static void unmake(void)
{
    g_clear_pointer(&concept, rb_concept_free);
    g_clear_pointer(&terms, g_ptr_array_unref);
}

static RbRead *read_at(int i)
{
    return g_ptr_array_index(concept->reads, i);
}

static RbRule *add_rule(RbActionKind action, int read)
{
    RbRule *rule = rb_rule_new(action, read);
    g_ptr_array_add(concept->rules, rule);
    return rule;
}

static void add_condition(RbRule *rule, RbConditionKind kind, int64_t value, bool negated)
{
    const RbCondition condition = { .kind = kind, .value = value, .negated = negated };
    g_array_append_val(rule->conditions, condition);
}

/* Exactly this one finding, on that rule (-1: none). */
static void expect(RbBookFindingKind kind, int rule)
{
    g_autoptr(GPtrArray) findings = rb_book_check(concept, terms, NULL);
    ck_assert_uint_eq(findings->len, 1);
    const RbBookFinding *finding = g_ptr_array_index(findings, 0);
    ck_assert_msg(finding->kind == kind, "%s", finding->sentence);
    ck_assert_int_eq(finding->rule, rule);
    ck_assert_msg(g_str_has_suffix(finding->sentence, "."), "%s", finding->sentence);
}

static void expect_nothing(void)
{
    g_autoptr(GPtrArray) findings = rb_book_check(concept, terms, NULL);
    if (findings->len > 0) {
        const RbBookFinding *finding = g_ptr_array_index(findings, 0);
        ck_abort_msg("%s", finding->sentence);
    }
}

START_TEST(test_check__a_sound_concept_has_no_findings)
{
    expect_nothing();
}
END_TEST

START_TEST(test_check__numbers)
{
    read_at(1)->number = 1;
    expect(RB_BOOK_NUMBER_TWICE, -1);
    read_at(1)->number = 9;
    expect(RB_BOOK_NUMBER_RANGE, -1);
    read_at(1)->number = 2;
    g_ptr_array_set_size(concept->reads, 0);
    expect(RB_BOOK_NO_READS, -1);
}
END_TEST

START_TEST(test_check__clocks)
{
    read_at(1)->clock.ms = 1400;
    expect(RB_BOOK_CLOCKS_ORDER, -1);
    read_at(1)->clock.kind = RB_CLOCK_UNKNOWN;
    expect(RB_BOOK_NO_CLOCK, -1);
    read_at(1)->clock =
        (RbClock){ .kind = RB_CLOCK_FOOTWORK, .backfield = RB_BACKFIELD_GUN, .steps = 9 };
    expect(RB_BOOK_NO_FOOTWORK, -1);
}
END_TEST

START_TEST(test_check__outlet_and_clear_outs)
{
    read_at(2)->outlet = false;
    read_at(1)->outlet = true;
    expect(RB_BOOK_OUTLET_NOT_LAST, -1);
    read_at(1)->outlet = false;
    for (int i = 0; i < 3; i++) {
        read_at(i)->clear_out = true;
    }
    expect(RB_BOOK_NOTHING_LIVE, -1);
}
END_TEST

START_TEST(test_check__a_rule_that_names_a_missing_read)
{
    add_rule(RB_DO_DROP, 4);
    expect(RB_BOOK_MISSING_READ, 0);
}
END_TEST

START_TEST(test_check__a_rule_that_names_no_read)
{
    add_rule(RB_DO_DROP, 0);
    expect(RB_BOOK_MISSING_READ, 0);
}
END_TEST

START_TEST(test_check__a_front_rule_cannot_wait_for_the_coverage)
{
    RbRule *rule = add_rule(RB_DO_FRONT, 2);
    add_condition(rule, RB_IF_FAMILY, RB_FAMILY_MAN, false);
    expect(RB_BOOK_NEVER_MATCHES, 0);
}
END_TEST

START_TEST(test_check__conditions_that_exclude_each_other)
{
    static const struct {
        RbCondition a;
        RbCondition b;
        bool excludes;
    } rows[] = {
        { { RB_IF_SHELL, 0, false, 2 }, { RB_IF_SHELL, 0, false, 3 }, true },
        { { RB_IF_SHELL, 0, false, 2 }, { RB_IF_SHELL, 0, true, 2 }, true },
        { { RB_IF_SHELL, 0, false, 2 }, { RB_IF_SHELL, 0, true, 3 }, false },
        { { RB_IF_TECHNIQUE, RB_WHERE_LEFT, false, 1 },
          { RB_IF_TECHNIQUE, RB_WHERE_RIGHT, false, 2 },
          false },
        { { RB_IF_CUSHION_AT_MOST, 0, false, 50 },
          { RB_IF_CUSHION_AT_LEAST, 0, false, 51 },
          true },
        { { RB_IF_CUSHION_AT_MOST, 0, false, 50 },
          { RB_IF_CUSHION_AT_LEAST, 0, false, 50 },
          false },
        { { RB_IF_CUSHION_AT_MOST, 0, false, 50 },
          { RB_IF_CUSHION_AT_LEAST, 0, true, 50 },
          false },
        { { RB_IF_SPLIT_AT_MOST, 0, false, 80 },
          { RB_IF_SPLIT_AT_LEAST, 0, false, 81 },
          true },
        { { RB_IF_SPLIT_AT_MOST, RB_WHERE_LEFT, false, 80 },
          { RB_IF_SPLIT_AT_LEAST, RB_WHERE_RIGHT, false, 81 },
          false },
        { { RB_IF_SPLIT_AT_MOST, 0, false, 50 },
          { RB_IF_CUSHION_AT_LEAST, 0, false, 81 },
          false },
        { { RB_IF_RUSHERS_AT_LEAST, 0, false, 5 },
          { RB_IF_RUSHERS_AT_LEAST, 0, true, 5 },
          true },
        { { RB_IF_ROTATION, 0, false, 1 }, { RB_IF_ROTATION, 0, false, 0 }, true },
        { { RB_IF_ROTATION, 0, true, 1 }, { RB_IF_ROTATION, 0, true, 0 }, false },
        { { RB_IF_DISTANCE_AT_LEAST, 0, false, 7 },
          { RB_IF_DISTANCE_AT_MOST, 0, false, 6 },
          true },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_ptr_array_set_size(concept->rules, 0);
        RbRule *rule = add_rule(RB_DO_DROP, 1);
        g_array_append_val(rule->conditions, rows[i].a);
        g_array_append_val(rule->conditions, rows[i].b);
        if (rows[i].excludes) {
            expect(RB_BOOK_NEVER_MATCHES, 0);
        } else {
            expect_nothing();
        }
    }
}
END_TEST

START_TEST(test_check__a_coverage_is_of_one_family)
{
    const int64_t cover_3 = rb_term_id(RB_TERM_COVERAGE, "cover-3").value;
    RbRule *rule = add_rule(RB_DO_DROP, 1);
    add_condition(rule, RB_IF_COVERAGE, cover_3, false);
    add_condition(rule, RB_IF_FAMILY, RB_FAMILY_ZONE, false);
    expect_nothing();
    add_condition(rule, RB_IF_FAMILY, RB_FAMILY_MAN, false);
    expect(RB_BOOK_NEVER_MATCHES, 0);
}
END_TEST

START_TEST(test_check__a_rule_shadowed_by_a_later_one)
{
    RbRule *narrow = add_rule(RB_DO_CONVERT, 1);
    narrow->route = RB_ROUTE_GO;
    add_condition(narrow, RB_IF_TECHNIQUE, RB_TECHNIQUE_SQUAT, false);
    add_condition(narrow, RB_IF_SAFETY_OVER, RB_YES, false);
    RbRule *wide = add_rule(RB_DO_CONVERT, 1);
    wide->route = RB_ROUTE_FADE;
    add_condition(wide, RB_IF_TECHNIQUE, RB_TECHNIQUE_SQUAT, false);
    expect(RB_BOOK_SHADOWED, 0);
    /* The other way round it is a rule and its exception. */
    concept->rules->pdata[0] = wide;
    concept->rules->pdata[1] = narrow;
    expect_nothing();
}
END_TEST

START_TEST(test_check__rules_in_conflict)
{
    RbRule *one = add_rule(RB_DO_CONVERT, 1);
    one->route = RB_ROUTE_GO;
    add_condition(one, RB_IF_TECHNIQUE, RB_TECHNIQUE_SQUAT, false);
    RbRule *two = add_rule(RB_DO_CONVERT, 1);
    two->route = RB_ROUTE_FADE;
    add_condition(two, RB_IF_FAMILY, RB_FAMILY_MAN, false);
    expect(RB_BOOK_CONFLICT, 0);
    add_condition(two, RB_IF_TECHNIQUE, RB_TECHNIQUE_PRESS, false);
    expect_nothing();
}
END_TEST

START_TEST(test_check__rules_without_effect)
{
    RbRule *rule = add_rule(RB_DO_CONVERT, 1);
    rule->route = RB_ROUTE_OUT;
    expect(RB_BOOK_NO_EFFECT, 0);
    rule->action = RB_DO_FRONT;
    rule->read = 3;
    expect(RB_BOOK_NO_EFFECT, 0);
    rule->action = RB_DO_REQUIRE_ADJUSTMENT;
    expect(RB_BOOK_NO_EFFECT, 0);
    rule->adjustment.value = 12345;
    expect(RB_BOOK_TERM_UNKNOWN, 0);
}
END_TEST

START_TEST(test_check__rules_as_sentences)
{
    RbRule *rule = add_rule(RB_DO_CONVERT, 1);
    rule->route = RB_ROUTE_GO;
    rule->clear_out = true;
    add_condition(rule, RB_IF_TECHNIQUE, RB_TECHNIQUE_SQUAT, false);
    add_condition(rule, RB_IF_SAFETY_OVER, RB_YES, false);
    g_autofree char *text = rb_book_rule_text(rule, terms);
    ck_assert_str_eq(text, "Read 1 becomes a go, only to clear out, if the corner on its "
                           "side plays squat and a half-field safety is over its side.");
    RbRule *side = add_rule(RB_DO_SIDE, 0);
    side->where = RB_WHERE_READ_SIDE;
    add_condition(side, RB_IF_CUSHION_AT_LEAST, 65, true);
    g_autofree char *side_text = rb_book_rule_text(side, terms);
    ck_assert_str_eq(side_text, "Work the strong side, if the cushion on its side is not "
                                "at least 6.5 yards.");
}
END_TEST

TCase *rb_case_check(void)
{
    TCase *tcase = rb_case_new("check");
    tcase_add_checked_fixture(tcase, make, unmake);
    tcase_add_test(tcase, test_check__a_sound_concept_has_no_findings);
    tcase_add_test(tcase, test_check__numbers);
    tcase_add_test(tcase, test_check__clocks);
    tcase_add_test(tcase, test_check__outlet_and_clear_outs);
    tcase_add_test(tcase, test_check__a_rule_that_names_a_missing_read);
    tcase_add_test(tcase, test_check__a_rule_that_names_no_read);
    tcase_add_test(tcase, test_check__a_front_rule_cannot_wait_for_the_coverage);
    tcase_add_test(tcase, test_check__conditions_that_exclude_each_other);
    tcase_add_test(tcase, test_check__a_coverage_is_of_one_family);
    tcase_add_test(tcase, test_check__a_rule_shadowed_by_a_later_one);
    tcase_add_test(tcase, test_check__rules_in_conflict);
    tcase_add_test(tcase, test_check__rules_without_effect);
    tcase_add_test(tcase, test_check__rules_as_sentences);
    return tcase;
}
