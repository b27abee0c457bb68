/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Judges a chart with unknown tags: over every completion, in two nested searches. The outer
 * one runs through the pictures and gives the orders in force that are possible; there are
 * few, whatever the number of pictures. The inner one runs, once for each of those, through
 * what was seen and done. Outcomes are sets (bits) of verdicts, and later of stages. */
#include "inquiry.h"

/* Beyond this many pictures a chart is left ungraded: only a playbook made to break the
 * program gets there (the starter playbook stays under a thousand). */
enum { PICTURES_MAX = 1 << 18 };

/* What the outcomes of a search are. */
typedef enum {
    AIM_VERDICT,
    AIM_STAGE,
    AIM_READ, /* the read that the stage is booked on */
} Aim;

typedef struct {
    RbFacts facts;
    Aim aim;
    uint32_t rights;  /* slots of the right reads met, bit 0 for none */
    uint32_t reads;   /* slots a stage would be booked on */
    GArray *plans;    /* owned, nullable: of Seen */
    bool settled;     /* nothing that `plan` asks for is unknown */
    bool one_plan;    /* every picture gave `plan` */
    uint64_t matched; /* rules that matched in every picture */
    RbPlan plan;
} Search;

typedef struct {
    RbPlan plan;
    uint32_t outcomes;
} Seen;

static uint32_t bit(int value)
{
    return UINT32_C(1) << value;
}

static int slot_of(const RbRung *rung)
{
    return rung != NULL ? rung->slot : 0;
}

/* The fault is asked last, and all its values at once. */
static uint32_t record_open_fault(Search *search, const RbDecision *decision)
{
    RbDomain *domain = rb_domain_get(&search->facts, RB_VAR_FAULT);
    const uint32_t touched = bit(slot_of(decision->ball)) |
                             bit(slot_of(decision->right)) | bit(RB_FAULT_WHOLE);
    for (int i = 0; i < domain->n; i++) {
        const int64_t value = domain->values[i];
        const bool spoils = value != 0 && touched & bit((int)value);
        domain->outcomes[i] |= bit(spoils ? RB_VERDICT_SPOILED : (int)decision->verdict);
    }
    return bit(RB_VERDICT_SPOILED) | bit((int)decision->verdict);
}

/* The read of a stage: the right read, else the ball's, else the last of the order. */
static int read_of_stage(const RbPlan *plan, const RbDecision *decision)
{
    if (decision->right != NULL) {
        return decision->right->slot;
    }
    if (decision->ball != NULL) {
        return decision->ball->slot;
    }
    const RbOrder *order = &plan->order;
    return order->live > 0 ? order->rungs[order->live - 1].slot : 0;
}

static uint32_t judge_completion(Search *search, RbInquiry *inquiry, const RbPlan *plan)
{
    RbDecision decision;
    rb_decide(inquiry, plan, &decision);
    if (search->aim == AIM_VERDICT) {
        return decision.fault_open && plan->has_concept
                   ? record_open_fault(search, &decision)
                   : bit((int)decision.verdict);
    }
    rb_decide_right(inquiry, plan, &decision);
    const uint32_t read = bit(read_of_stage(plan, &decision));
    search->rights |= bit(slot_of(decision.right));
    search->reads |= read;
    return search->aim == AIM_READ ? read
                                   : bit((int)rb_stage_of(inquiry, plan, &decision));
}

/* Every completion of what was seen and done, against one order. */
static uint32_t judge_plan(Search *search, const RbPlan *plan)
{
    RbInquiry inquiry;
    rb_inquiry_init(&inquiry, &search->facts, true);
    uint32_t all = 0;
    do {
        const uint32_t outcomes = judge_completion(search, &inquiry, plan);
        rb_inquiry_record(&inquiry, RB_VAR_FIRST_JUDGED, RB_VAR_FAULT, outcomes);
        all |= outcomes;
    } while (rb_inquiry_next(&inquiry));
    return all;
}

static uint32_t judge_plan_once(Search *search, const RbPlan *plan)
{
    for (guint i = 0; search->plans != NULL && i < search->plans->len; i++) {
        const Seen *seen = &g_array_index(search->plans, Seen, i);
        if (rb_plan_equal(&seen->plan, plan)) {
            return seen->outcomes;
        }
    }
    const Seen seen = { *plan, judge_plan(search, plan) };
    if (search->plans == NULL) {
        search->plans = g_array_new(FALSE, FALSE, sizeof(Seen));
    }
    g_array_append_val(search->plans, seen);
    return seen.outcomes;
}

static void finish_plans(Search *search)
{
    search->one_plan = search->plans->len == 1;
    search->plan = g_array_index(search->plans, Seen, 0).plan;
    g_clear_pointer(&search->plans, g_array_unref);
}

/* Every picture gives the one order that was found before: what it is judged to be holds for each of
 * them, whatever is unknown of the picture. */
static void judge_one_plan(Search *search)
{
    RbInquiry nothing_asked;
    rb_inquiry_init(&nothing_asked, &search->facts, true);
    rb_inquiry_record(&nothing_asked, RB_VAR_SIDE, RB_VAR_FIRST_JUDGED,
                      judge_plan(search, &search->plan));
}

static void run_search(Search *search, Aim aim)
{
    search->aim = aim;
    search->rights = 0;
    search->reads = 0;
    search->matched = UINT64_MAX;
    rb_facts_forget_outcomes(&search->facts);
    if (search->settled) {
        search->facts.outcomes = judge_plan(search, &search->plan);
        return;
    }
    if (search->one_plan) {
        judge_one_plan(search);
        return;
    }
    RbInquiry inquiry;
    rb_inquiry_init(&inquiry, &search->facts, true);
    for (int i = 0; i < PICTURES_MAX; i++) {
        RbPlan plan;
        rb_plan_make(&inquiry, &plan);
        search->matched &= plan.order.matched;
        rb_inquiry_record(&inquiry, RB_VAR_SIDE, RB_VAR_FIRST_JUDGED,
                          judge_plan_once(search, &plan));
        if (!rb_inquiry_next(&inquiry)) {
            finish_plans(search);
            return;
        }
    }
    g_clear_pointer(&search->plans, g_array_unref);
    search->facts.outcomes |= bit(0);
    search->one_plan = false;
}

static bool is_single(uint32_t set)
{
    return set != 0 && (set & (set - 1)) == 0;
}

static int only_member(uint32_t set)
{
    return __builtin_ctz(set);
}

static int size_of(uint32_t set)
{
    return __builtin_popcount(set);
}

/* How many outcomes the answers to one tag leave. */
typedef struct {
    int worst; /* by the answer that leaves most: 1 when every answer settles it */
    int best;
} Worth;

static Worth worth_of(const RbFacts *facts, RbVar var)
{
    const RbDomain *domain = &facts->domain[var];
    Worth worth = { 0, 33 };
    for (int i = 0; i < domain->n; i++) {
        const int left = size_of(domain->outcomes[i] | facts->unasked[var]);
        worth.worst = MAX(worth.worst, left);
        worth.best = MIN(worth.best, left);
    }
    return worth;
}

/* The tag to ask for: the one whose worst answer leaves the fewest outcomes; of those the one
 * whose best answer does; then in the order of RbVar. */
static RbTag settling_tag(const RbFacts *facts)
{
    Worth best = { 33, 33 };
    RbTag tag = { RB_TAG_CONCEPT, 0, RB_SIDE_UNKNOWN };
    for (int var = 0; var < RB_VARS; var++) {
        if (!facts->asked[var]) {
            continue;
        }
        const Worth worth = worth_of(facts, (RbVar)var);
        if (worth.worst < best.worst ||
            (worth.worst == best.worst && worth.best < best.best)) {
            best = worth;
            tag = rb_var_tag((RbVar)var);
        }
    }
    return tag;
}

/* What is told of the order and the ball whatever else is unknown. */
static void fill_known(Search *search, RbJudgment *judgment)
{
    const RbPlan *plan = &search->plan;
    RbInquiry inquiry;
    rb_inquiry_init(&inquiry, &search->facts, false);
    rb_plan_make(&inquiry, &search->plan);
    judgment->order = plan->order;
    search->settled = !inquiry.missed;
    int64_t ball = 0;
    if (!rb_inquiry_ask(&inquiry, RB_VAR_BALL, &ball)) {
        return;
    }
    if (ball == RB_BALL_TO_HOT) {
        ball = plan->order.hot_slot != 0 ? plan->order.hot_slot : plan->hot_named;
    }
    for (int i = 0; i < plan->order.n; i++) {
        if (plan->order.rungs[i].slot == ball) {
            judgment->ball_slot = (int)ball;
        }
    }
}

/* The ordinary chart: all that the judgment asks for is known, and nothing need be tried. */
static bool judge_known(Search *search, RbJudgment *judgment)
{
    const RbPlan *plan = &search->plan;
    RbInquiry inquiry;
    RbDecision decision;
    rb_inquiry_init(&inquiry, &search->facts, true);
    rb_decide(&inquiry, plan, &decision);
    if (inquiry.n > 0 || decision.fault_open) {
        return false;
    }
    rb_decide_right(&inquiry, plan, &decision);
    const RbStage stage = rb_stage_of(&inquiry, plan, &decision);
    if (inquiry.n > 0) {
        return false;
    }
    judgment->verdict = decision.verdict;
    judgment->stage = stage;
    judgment->stage_read =
        stage == RB_STAGE_NOT_JUDGED ? 0 : read_of_stage(plan, &decision);
    judgment->right_slot = slot_of(decision.right);
    return true;
}

/* When every picture that is possible gives one order, that order is in force, whatever is
 * unknown. Routes and runners, which no verdict needs, stay as far as they are known. */
static void adopt_order(const Search *search, RbJudgment *judgment)
{
    const RbOrder known = judgment->order;
    judgment->order = search->plan.order;
    judgment->order.matched = known.matched | search->matched;
    judgment->order.required_side = known.required_side;
    judgment->order.picked_by = known.picked_by;
    for (int i = 0; i < judgment->order.n; i++) {
        RbRung *rung = &judgment->order.rungs[i];
        for (int k = 0; k < known.n; k++) {
            if (known.rungs[k].slot == rung->slot) {
                rung->route = known.rungs[k].route;
                rung->runner = known.rungs[k].runner;
                rung->side = known.rungs[k].side;
            }
        }
    }
}

/* A failure whose read is open is booked nowhere until that is settled: on another read it would
 * point at the wrong break. A success, and what was wrong before the snap, stand whatever the reads
 * were: then the ball's read is taken. */
static void book_stage(Search *search, RbStage stage, RbJudgment *judgment)
{
    judgment->stage = stage;
    if (stage == RB_STAGE_NOT_JUDGED) {
        return;
    }
    if (is_single(search->reads)) {
        judgment->stage_read = only_member(search->reads);
    } else if (stage == RB_STAGE_SUCCESS || stage == RB_STAGE_BEFORE_SNAP) {
        const RbOrder *order = &judgment->order;
        judgment->stage_read = judgment->ball_slot != 0 ? judgment->ball_slot
                               : order->live > 0 ? order->rungs[order->live - 1].slot
                                                 : 0;
    } else {
        judgment->stage = RB_STAGE_NOT_JUDGED;
        run_search(search, AIM_READ);
        judgment->settle = settling_tag(&search->facts);
    }
}

static void judge_stage(Search *search, RbJudgment *judgment)
{
    const RbFacts *facts = &search->facts;
    run_search(search, AIM_STAGE);
    judgment->right_slot = is_single(search->rights) ? only_member(search->rights) : 0;
    if (is_single(facts->outcomes)) {
        book_stage(search, (RbStage)only_member(facts->outcomes), judgment);
    } else {
        judgment->settle = settling_tag(facts);
    }
}

static void judge_unknown(Search *search, RbJudgment *judgment)
{
    const RbFacts *facts = &search->facts;
    run_search(search, AIM_VERDICT);
    if (search->one_plan && search->plan.has_concept) {
        adopt_order(search, judgment);
    }
    if (!is_single(facts->outcomes) || facts->outcomes == bit(RB_VERDICT_UNGRADED)) {
        judgment->settle = settling_tag(facts);
        return;
    }
    judgment->verdict = (RbVerdict)only_member(facts->outcomes);
    judge_stage(search, judgment);
}

RbReadSettings rb_read_settings_default(void)
{
    return (RbReadSettings){ .held_after_last_ms = 1000 };
}

static void start_search(Search *search, const RbReadContext *context,
                         const RbChart *chart, bool success,
                         const RbReadSettings *settings)
{
    rb_facts_init(&search->facts, context, chart);
    search->facts.success = success;
    search->plans = NULL;
    search->one_plan = false;
    if (settings != NULL) {
        search->facts.settings = *settings;
    }
}

/* Returns whether all that the judgment asks for is known. */
static bool judge_facts(Search *search, RbJudgment *judgment)
{
    *judgment =
        (RbJudgment){ .verdict = RB_VERDICT_UNGRADED, .stage = RB_STAGE_NOT_JUDGED };
    fill_known(search, judgment);
    if (search->settled && search->plan.has_concept && judge_known(search, judgment)) {
        return true;
    }
    judge_unknown(search, judgment);
    return false;
}

void rb_judge(const RbReadContext *context, const RbChart *chart, bool success,
              const RbReadSettings *settings, RbJudgment *judgment)
{
    Search search;
    start_search(&search, context, chart, success, settings);
    judge_facts(&search, judgment);
    rb_reasons_fill(&search.facts, judgment);
}

int rb_judge_open_tags(const RbReadContext *context, const RbChart *chart, bool success,
                       const RbReadSettings *settings, RbTag tags[RB_OPEN_TAGS_MAX])
{
    Search search;
    RbJudgment judgment;
    start_search(&search, context, chart, success, settings);
    if (judge_facts(&search, &judgment) || judgment.settle.kind == RB_TAG_NONE) {
        return 0;
    }
    if (judgment.settle.kind == RB_TAG_CONCEPT) {
        tags[0] = judgment.settle;
        return 1;
    }
    int n = 0;
    for (int var = 0; var < RB_VARS && n < RB_OPEN_TAGS_MAX; var++) {
        /* One that can be but one thing, as a measured one clear of every limit, is told. */
        if (search.facts.asked[var] && search.facts.domain[var].n > 1) {
            tags[n++] = rb_var_tag((RbVar)var);
        }
    }
    return n;
}
