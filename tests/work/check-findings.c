/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the check of a concept says of its rules is true of the engine that applies them: over
 * random concepts and pictures in which everything is known. */
#include "rb/book/check.h"
#include "rb/read/order.h"

#include "suite.h"
#include "world.h"

TCase *rb_case_findings(void);

enum { SHORT_RUN = 20000, LONG_RUN = 400000, PICTURES = 6 };

/* What a dead read would have been does not matter. */
static bool is_same_rung(const RbRung *a, const RbRung *b)
{
    const bool same_man = a->route == b->route && a->runner == b->runner;
    return a->slot == b->slot && a->side == b->side && a->dead == b->dead &&
           a->outlet == b->outlet && (a->dead || same_man);
}

static bool is_same_order(const RbOrder *a, const RbOrder *b)
{
    if (a->n != b->n || a->live != b->live || a->hot_slot != b->hot_slot ||
        a->required.value != b->required.value || a->required_side != b->required_side) {
        return false;
    }
    for (int i = 0; i < a->n; i++) {
        if (!is_same_rung(&a->rungs[i], &b->rungs[i])) {
            return false;
        }
    }
    return true;
}

static RbOrder order_of(const World *world, const RbConcept *concept)
{
    RbReadContext context = world->context;
    RbOrder order = { 0 };
    context.first = concept;
    ck_assert(rb_order_in_force(&context, world->chart, &order));
    return order;
}

/* Another snap, chart and picture for the same concept. */
static void change_picture(World *world, RbRandom *random)
{
    World other;
    do {
        world_make(&other, random);
        if (other.chart->call.kind == RB_CALL_SINGLE) {
            RbSnap *snap = world->snap;
            RbChart *chart = world->chart;
            world->snap = other.snap;
            world->chart = other.chart;
            world->context.snap = world->snap;
            other.snap = snap;
            other.chart = chart;
            world_clear(&other);
            return;
        }
        world_clear(&other);
    } while (true);
}

static void check_finding(const World *world, const RbBookFinding *finding, int *claims)
{
    const RbOrder order = order_of(world, world->first);
    if (finding->kind == RB_BOOK_NEVER_MATCHES) {
        claims[0]++;
        ck_assert_msg((order.matched >> finding->rule & 1) == 0, "%s", finding->sentence);
    }
    /* An adjustment is required whatever read its rule names. */
    const RbRule *rule =
        finding->rule >= 0 ? world->first->rules->pdata[finding->rule] : NULL;
    const bool missing = finding->kind == RB_BOOK_MISSING_READ && rule != NULL &&
                         rule->action != RB_DO_REQUIRE_ADJUSTMENT;
    if (finding->kind == RB_BOOK_SHADOWED || missing) {
        g_autoptr(RbConcept) without = rb_concept_copy(world->first);
        g_ptr_array_remove_index(without->rules, (guint)finding->rule);
        const RbOrder other = order_of(world, without);
        claims[finding->kind == RB_BOOK_SHADOWED ? 1 : 2]++;
        if (!is_same_order(&order, &other)) {
            for (guint i = 0; i < world->first->rules->len; i++) {
                g_autofree char *text =
                    rb_book_rule_text(world->first->rules->pdata[i], world->terms);
                g_print("  %u. %s%s\n", i + 1, text,
                        order.matched >> i & 1 ? " (matched)" : "");
            }
            ck_abort_msg("%s", finding->sentence);
        }
    }
}

START_TEST(test_findings__are_true_of_the_engine)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(31));
    int claims[3] = { 0 };
    const int runs = rb_test_is_long() ? LONG_RUN : rb_test_some(SHORT_RUN);
    for (int i = 0; i < runs; i++) {
        World world;
        world_make(&world, &random);
        if (world.chart->call.kind != RB_CALL_SINGLE) {
            world_clear(&world);
            continue;
        }
        g_autoptr(GPtrArray) findings =
            rb_book_check(world.first, world.terms, &world.footwork);
        for (int k = 0; k < PICTURES && findings->len > 0; k++) {
            for (guint f = 0; f < findings->len; f++) {
                check_finding(&world, findings->pdata[f], claims);
            }
            change_picture(&world, &random);
        }
        world_clear(&world);
    }
    for (int i = 0; i < 3; i++) {
        ck_assert_int_gt(claims[i], 100);
    }
}
END_TEST

/* Two rules said to be in conflict do meet: in some picture both match. */
START_TEST(test_findings__rules_in_conflict_meet)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(32));
    g_autoptr(RbConcept) concept = rb_concept_new("a", "A");
    g_ptr_array_add(concept->reads, rb_read_new(1, RB_ROUTE_OUT));
    for (int i = 0; i < 2; i++) {
        RbRule *rule = rb_rule_new(RB_DO_CONVERT, 1);
        rule->route = i == 0 ? RB_ROUTE_GO : RB_ROUTE_FADE;
        const RbCondition condition = { .kind = i == 0 ? RB_IF_TECHNIQUE : RB_IF_FAMILY,
                                        .value =
                                            i == 0 ? RB_TECHNIQUE_SQUAT : RB_FAMILY_MAN };
        g_array_append_val(rule->conditions, condition);
        g_ptr_array_add(concept->rules, rule);
    }
    int met = 0;
    for (int i = 0; i < 4000 && met == 0; i++) {
        World world;
        world_make(&world, &random);
        if (world.chart->call.kind == RB_CALL_SINGLE) {
            g_autoptr(GPtrArray) findings = rb_book_check(concept, world.terms, NULL);
            ck_assert_uint_ge(findings->len, 1);
            const RbOrder order = order_of(&world, concept);
            met += order.matched == 3 && order.rungs[0].route == RB_ROUTE_FADE ? 1 : 0;
        }
        world_clear(&world);
    }
    ck_assert_int_eq(met, 1);
}
END_TEST

TCase *rb_case_findings(void)
{
    TCase *tcase = rb_case_new("findings");
    tcase_add_test(tcase, test_findings__are_true_of_the_engine);
    tcase_add_test(tcase, test_findings__rules_in_conflict_meet);
    return tcase;
}
