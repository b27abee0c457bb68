/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Concepts made at random: a file gives back all of them, and each change of one shows in it. */
#include <string.h>

#include "rb/base/random.h"
#include "rb/book/condition.h"
#include "rb/book/playbook.h"

#include "suite.h"

TCase *rb_case_random_books(void);

enum { BOOKS = 300, CHANGES = 3000 };

static GPtrArray *terms;
static RbRandom dice;

static void make(void)
{
    terms = rb_vocabulary_defaults();
    rb_random_seed(&dice, rb_test_seed(43));
}

static void unmake(void)
{
    g_clear_pointer(&terms, g_ptr_array_unref);
}

static int roll(int low, int high)
{
    return rb_random_int(&dice, low, high);
}

static bool coin(void)
{
    return roll(0, 1) == 1;
}

/* Text with what JSON must escape, and letters of more than one byte. */
static char *some_text(void)
{
    static const char *const pieces[] = {
        "out", "\"", "\\", "Zoë", " ", "{", "7½", "\t"
    };
    g_autoptr(GString) text = g_string_new("a");
    for (int n = roll(0, 6); n > 0; n--) {
        const char *piece = pieces[roll(0, (int)G_N_ELEMENTS(pieces) - 2)];
        g_string_append(text, piece);
    }
    g_string_append_c(text, 'z'); /* no space at an end */
    return g_strdup(text->str);
}

static RbClock some_clock(void)
{
    RbClock clock = { .kind = (RbClockKind)roll(0, 2) };
    clock.tolerance_ms = coin() ? 50 * roll(0, 12) : 0;
    if (clock.kind == RB_CLOCK_SECONDS) {
        clock.ms = roll(0, 20000);
    } else if (clock.kind == RB_CLOCK_FOOTWORK) {
        clock.drop = (RbDrop)roll(RB_DROP_STRAIGHT, RB_DROP_SPRINT);
        clock.hitches = roll(0, 9);
        if (clock.drop == RB_DROP_STRAIGHT) {
            clock.backfield = (RbBackfield)roll(0, 1);
            clock.steps = roll(1, 9);
            clock.fake = coin();
        }
    }
    return clock;
}

static RbRead *some_read(int number)
{
    RbRead *read = rb_read_new(number, (RbRoute)roll(1, rb_route_words.n - 1));
    read->runner = (RbRunner)roll(0, rb_runner_words.n - 1);
    read->side = (RbReadSide)roll(0, 1);
    read->depth_yd = roll(0, 99);
    read->landmark = coin() ? some_text() : NULL;
    read->key = coin() ? some_text() : NULL;
    read->landmark_from = (RbLandmarkFrom)roll(RB_FROM_NONE, RB_FROM_HASH);
    if (read->landmark_from != RB_FROM_NONE) {
        read->landmark_tenths =
            roll(read->landmark_from == RB_FROM_SIDELINE ? 0 : -999, 999);
    }
    if (read->route == RB_ROUTE_DRAWN) {
        read->n_points = roll(1, RB_POINTS_MAX);
        for (int i = 0; i < read->n_points; i++) {
            read->points[i] = (RbDrawnPoint){ roll(-999, 999), roll(-999, 999) };
        }
    }
    read->clear_out = coin();
    read->outlet = coin();
    read->clock = some_clock();
    return read;
}

static int64_t some_term(RbTermKind kind)
{
    for (;;) {
        const RbTerm *term = terms->pdata[roll(0, (int)terms->len - 1)];
        if (term->kind == kind) {
            return term->id.value;
        }
    }
}

static RbCondition some_condition(void)
{
    const RbConditionKind kind = (RbConditionKind)roll(0, rb_condition_words.n - 1);
    const RbConditionForm *form = rb_book_condition_form(kind);
    RbCondition condition = { .kind = kind, .negated = coin() };
    condition.where = form->sided ? (RbWhere)roll(0, 3) : RB_WHERE_READ_SIDE;
    switch (form->form) {
    case RB_FORM_WORD:
        condition.value = roll(1, form->words->n - 1);
        break;
    case RB_FORM_TERM:
        condition.value = some_term(form->term);
        break;
    case RB_FORM_NUMBER:
        condition.value = roll(form->low, form->high);
        break;
    case RB_FORM_FLAG:
        condition.value = roll(0, 1);
        break;
    case RB_FORM_NONE:
        break;
    }
    return condition;
}

static RbRule *some_rule(int reads)
{
    const RbActionKind action = (RbActionKind)roll(0, rb_action_words.n - 1);
    RbRule *rule = rb_rule_new(action, action == RB_DO_SIDE ? 0 : roll(1, reads));
    if (coin()) {
        g_free(rule->name);
        rule->name = some_text();
    }
    rule->route = action == RB_DO_CONVERT ? (RbRoute)roll(1, RB_ROUTE_CHECK_DOWN) : 0;
    rule->clear_out = action == RB_DO_CONVERT && coin();
    rule->runner = action == RB_DO_RUNNER ? (RbRunner)roll(1, RB_RUNNER_BACK) : 0;
    rule->where = action == RB_DO_SIDE ? (RbWhere)roll(0, 3) : 0;
    if (action == RB_DO_REQUIRE_ADJUSTMENT) {
        rule->adjustment.value = some_term(RB_TERM_ADJUSTMENT);
        rule->read = coin() ? rule->read : 0;
    }
    for (int n = roll(0, 4); n > 0; n--) {
        const RbCondition condition = some_condition();
        g_array_append_val(rule->conditions, condition);
    }
    return rule;
}

static RbConcept *some_concept(int index)
{
    g_autofree char *token = g_strdup_printf("concept-%d", index);
    g_autofree char *name = some_text();
    RbConcept *concept = rb_concept_new(token, name);
    concept->notes = coin() ? some_text() : NULL;
    concept->full_field = coin();
    concept->hidden = coin();
    const int reads = roll(1, RB_READS_MAX);
    for (int i = 1; i <= reads; i++) {
        g_ptr_array_add(concept->reads, some_read(i));
    }
    for (int n = roll(0, 5); n > 0; n--) {
        g_ptr_array_add(concept->rules, some_rule(reads));
    }
    for (int n = roll(0, 3); n > 0; n--) {
        RbPick pick = { .kind = (RbPickKind)roll(0, RB_PICK_BOUNDARY) };
        pick.cushion_tenths = pick.kind == RB_PICK_FREE_ACCESS ? roll(0, 500) : 0;
        g_array_append_val(concept->picks, pick);
    }
    return concept;
}

START_TEST(test_random_books__export_import_export)
{
    for (int i = 0; i < BOOKS; i++) {
        g_autoptr(GPtrArray) book =
            g_ptr_array_new_with_free_func((GDestroyNotify)rb_concept_free);
        for (int n = roll(0, 5); n > 0; n--) {
            g_ptr_array_add(book, some_concept(n));
        }
        g_autofree char *first = rb_book_print(book, terms);
        GPtrArray *read = NULL;
        GError *error = NULL;
        rb_book_parse(first, strlen(first), terms, &read, &error);
        rb_assert_no_error(error);
        ck_assert_uint_eq(read->len, book->len);
        g_autofree char *second = rb_book_print(read, terms);
        ck_assert_str_eq(first, second);
        g_ptr_array_unref(read);
    }
}
END_TEST

/* Takes one field that is in force and gives it another value. Returns what was changed. */
static const char *change_read(RbRead *read)
{
    switch (roll(0, 8)) {
    case 0:
        read->runner = (RbRunner)((read->runner + 1) % rb_runner_words.n);
        return "who runs it";
    case 1:
        read->side =
            read->side == RB_READ_SIDE_SAME ? RB_READ_SIDE_OTHER : RB_READ_SIDE_SAME;
        return "its side";
    case 2:
        read->depth_yd = (read->depth_yd + 1) % 100;
        return "its depth";
    case 3:
        read->clear_out = !read->clear_out;
        return "whether it only clears out";
    case 4:
        read->outlet = !read->outlet;
        return "whether it is the outlet";
    case 5:
        read->clock.tolerance_ms += 10;
        return "its tolerance";
    case 6:
        if (read->clock.kind == RB_CLOCK_FOOTWORK) {
            read->clock.hitches = (read->clock.hitches + 1) % 10;
            return "its hitches";
        }
        read->clock = (RbClock){ .kind = RB_CLOCK_SECONDS, .ms = read->clock.ms + 1 };
        return "its time";
    case 7:
        if (read->n_points > 0) {
            read->points[read->n_points - 1].out_tenths ^= 1;
            return "its last point";
        }
        g_free(read->key);
        read->key = g_strdup("somebody else");
        return "its key";
    default:
        g_free(read->landmark);
        read->landmark = g_strdup("somewhere else");
        return "its landmark";
    }
}

static const char *change_rule(RbRule *rule)
{
    if (rule->conditions->len > 0 && coin()) {
        RbCondition *condition = &g_array_index(rule->conditions, RbCondition,
                                                roll(0, (int)rule->conditions->len - 1));
        condition->negated = !condition->negated;
        return "a condition";
    }
    switch (rule->action) {
    case RB_DO_CONVERT:
        rule->clear_out = !rule->clear_out;
        return "what it converts to";
    case RB_DO_RUNNER:
        rule->runner = rule->runner == RB_RUNNER_BACK ? RB_RUNNER_1 : RB_RUNNER_BACK;
        return "who runs it then";
    case RB_DO_SIDE:
        rule->where = (RbWhere)((rule->where + 1) % 4);
        return "the side it names";
    case RB_DO_DROP:
        rule->action = RB_DO_HOT;
        return "what it does";
    case RB_DO_FRONT:
    case RB_DO_HOT:
        rule->action = RB_DO_DROP;
        return "what it does";
    case RB_DO_REQUIRE_ADJUSTMENT:
        break;
    }
    rule->adjustment.value ^= 1;
    return "the adjustment";
}

static const char *change(RbConcept *concept)
{
    const int way = roll(0, 9);
    if (way == 0) {
        concept->full_field = !concept->full_field;
        return "whether it is of the full field";
    }
    if (way == 1) {
        concept->hidden = !concept->hidden;
        return "whether it is hidden";
    }
    if (way == 2 && concept->picks->len > 0) {
        g_array_remove_index(concept->picks, concept->picks->len - 1);
        return "how the side is picked";
    }
    if (way <= 5 && concept->rules->len > 0) {
        return change_rule(concept->rules->pdata[roll(0, (int)concept->rules->len - 1)]);
    }
    return change_read(concept->reads->pdata[roll(0, (int)concept->reads->len - 1)]);
}

/* Nothing of a concept is left out of its document, or written the same for two values. */
START_TEST(test_random_books__each_change_is_written)
{
    for (int i = 0; i < CHANGES; i++) {
        g_autoptr(RbConcept) concept = some_concept(i);
        g_autofree char *before = rb_book_concept_print(concept, terms);
        g_autoptr(RbConcept) twin = rb_concept_copy(concept);
        g_autofree char *same = rb_book_concept_print(twin, terms);
        ck_assert_str_eq(before, same);
        const char *what = change(twin);
        g_autofree char *after = rb_book_concept_print(twin, terms);
        ck_assert_msg(strcmp(before, after) != 0, "%s is not written:\n%s", what, after);
        GError *error = NULL;
        g_autoptr(RbConcept) read =
            rb_book_concept_parse(after, strlen(after), terms, &error);
        rb_assert_no_error(error);
        g_autofree char *again = rb_book_concept_print(read, terms);
        ck_assert_str_eq(after, again);
        g_autofree char *untouched = rb_book_concept_print(concept, terms);
        ck_assert_str_eq(before, untouched);
    }
}
END_TEST

TCase *rb_case_random_books(void)
{
    TCase *tcase = rb_case_new("random");
    tcase_add_checked_fixture(tcase, make, unmake);
    tcase_add_test(tcase, test_random_books__export_import_export);
    tcase_add_test(tcase, test_random_books__each_change_is_written);
    return tcase;
}
