/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A game broken in one place: what the chain check finds can be set right by a proposal. */
#include <stdio.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/model/repair.h"

#include "game-log.h"
#include "suite.h"

TCase *rb_case_repair(void);

#define WHOLE_GAME "chain/whole-game.tsv"

static const RbTeamId teams[2] = { { 1 }, { 2 } };

typedef enum {
    BREAK_SPOT,
    BREAK_GAIN,
    BREAK_DOWN,
    BREAK_DISTANCE,
    BREAK_TEAM,
    BREAK_QUARTER,
    BREAK_ENDING,
    BREAK_SWAP,
    BREAK_MISSING,
    BREAK_TWICE,
    BREAKS,
} Break;

static const char *const break_names[BREAKS] = { "spot",     "gain", "down",
                                                 "distance", "team", "quarter",
                                                 "ending",   "swap", "missing",
                                                 "twice" };

/* Returns: (transfer full): the log with one fault at `at`. */
static GPtrArray *break_log(const GPtrArray *clean, Break kind, guint at,
                            RbRandom *random)
{
    GPtrArray *log = log_copy(clean);
    RbSnap *snap = log->pdata[at];
    RbSnap *next = log->pdata[at + 1];
    const int off =
        rb_random_int(random, 1, 7) * (rb_random_chance(random, 0.5) ? 1 : -1);
    switch (kind) {
    case BREAK_SPOT:
        snap->situation.yards_to_goal =
            CLAMP(snap->situation.yards_to_goal + off, 11, 99);
        break;
    case BREAK_GAIN:
        snap->gain += off;
        break;
    case BREAK_DOWN:
        snap->situation.down = snap->situation.down % 4 + 1;
        break;
    case BREAK_DISTANCE:
        snap->situation.distance = MAX(1, snap->situation.distance + off);
        break;
    case BREAK_TEAM:
        snap->situation.offense.value = 3 - snap->situation.offense.value;
        break;
    case BREAK_QUARTER:
        snap->situation.quarter = snap->situation.quarter % 4 + 1;
        break;
    case BREAK_ENDING:
        snap->ending =
            snap->ending == RB_ENDING_NONE ? RB_ENDING_FUMBLE_LOST : RB_ENDING_NONE;
        break;
    case BREAK_SWAP: {
        const int number = snap->number;
        snap->number = next->number;
        next->number = number;
        break;
    }
    case BREAK_MISSING:
        g_ptr_array_remove_index(log, at);
        break;
    case BREAK_TWICE: {
        RbSnap *copy = rb_snap_copy(snap);
        copy->id.value += 100000;
        for (guint i = at + 1; i < log->len; i++) {
            ((RbSnap *)log->pdata[i])->number++;
        }
        copy->number++;
        g_ptr_array_add(log, copy);
        break;
    }
    case BREAKS:
        break;
    }
    return log;
}

/* The log with the repair. Returns: (transfer full). */
static GPtrArray *mend(const GPtrArray *log, const RbRepair *repair)
{
    GPtrArray *all = log_new();
    for (guint i = 0; i < log->len; i++) {
        const RbSnap *snap = log->pdata[i];
        for (guint k = 0; k < repair->after->len; k++) {
            const RbSnap *after = repair->after->pdata[k];
            snap = after->id.value == snap->id.value ? after : snap;
        }
        if (snap->id.value != repair->removed.value) {
            g_ptr_array_add(all, rb_snap_copy(snap));
        }
    }
    return all;
}

static const RbSnap *find(const GPtrArray *log, RbSnapId id)
{
    for (guint i = 0; i < log->len; i++) {
        const RbSnap *snap = log->pdata[i];
        if (snap->id.value == id.value) {
            return snap;
        }
    }
    return NULL;
}

static bool same_facts(const RbSnap *a, const RbSnap *b)
{
    return a->situation.down == b->situation.down &&
           a->situation.distance == b->situation.distance &&
           a->situation.yards_to_goal == b->situation.yards_to_goal &&
           a->situation.offense.value == b->situation.offense.value &&
           a->situation.quarter == b->situation.quarter && a->gain == b->gain &&
           a->result == b->result && a->ending == b->ending && a->number == b->number;
}

/* True when the repair brings back the clean log; a snap that was lost cannot be told whole. */
static bool is_right(const GPtrArray *clean, const GPtrArray *log, Break kind, guint at,
                     const RbRepair *repair)
{
    const RbSnap *lost = clean->pdata[at];
    if (kind == BREAK_MISSING) {
        const RbSnap *added = repair->after->len > 0 ? repair->after->pdata[0] : NULL;
        return repair->kind == RB_REPAIR_ADD && added->number == lost->number;
    }
    if (kind == BREAK_TWICE) {
        return repair->kind == RB_REPAIR_REMOVE;
    }
    g_autoptr(GPtrArray) mended = mend(log, repair);
    bool same = mended->len == clean->len;
    for (guint i = 0; same && i < clean->len; i++) {
        const RbSnap *snap = clean->pdata[i];
        const RbSnap *now = find(mended, snap->id);
        same = now != NULL && same_facts(now, snap);
    }
    return same;
}

/* 0 nothing is found, 1 found without the right repair, 2 among the proposals, 3 the first. */
static int judge(const GPtrArray *clean, const GPtrArray *log, Break kind, guint at)
{
    g_autoptr(GPtrArray) findings = rb_chain_check(log, teams, false, RB_RULES_COLLEGE);
    int best = findings->len > 0 ? 1 : 0;
    for (guint i = 0; i < findings->len; i++) {
        g_autoptr(GPtrArray) repairs = rb_chain_repairs(
            log, teams, false, RB_RULES_COLLEGE, findings, findings->pdata[i]);
        for (guint k = 0; k < repairs->len; k++) {
            const RbRepair *repair = repairs->pdata[k];
            ck_assert_int_lt(repair->left, (int)findings->len);
            if (is_right(clean, log, kind, at, repair)) {
                best = MAX(best, k == 0 ? 3 : 2);
            }
        }
    }
    return best;
}

/* A place where the fault shows: a play of a series with its next one after it. */
static bool can_break(const GPtrArray *clean, guint at)
{
    const RbSnap *before = clean->pdata[at - 1];
    const RbSnap *snap = clean->pdata[at];
    const RbSnap *next = clean->pdata[at + 1];
    return snap->situation.down > 0 && before->situation.down > 0 &&
           next->situation.down > 1 && snap->has_gain == RB_YES &&
           snap->penalties->len == 0 && before->penalties->len == 0 &&
           next->penalties->len == 0 && snap->result == RB_RESULT_RUN;
}

START_TEST(test_repair__one_fault_is_found_and_the_right_repair_is_proposed)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(21));
    g_autoptr(GPtrArray) clean = log_read(WHOLE_GAME);
    for (int kind = 0; kind < BREAKS; kind++) {
        int counts[4] = { 0 };
        int tried = 0;
        for (guint at = 1; at + 1 < clean->len; at++) {
            if (!can_break(clean, at)) {
                continue;
            }
            g_autoptr(GPtrArray) log = break_log(clean, (Break)kind, at, &random);
            const int how = judge(clean, log, (Break)kind, at);
            counts[how]++;
            tried++;
            if (how == 1) {
                g_autoptr(GPtrArray) said =
                    rb_chain_check(log, teams, false, RB_RULES_COLLEGE);
                printf("%s\n", ((const RbFinding *)said->pdata[0])->sentence);
                fflush(stdout);
            }
            ck_assert_msg(how != 1, "%s at snap %d: found, but not mended",
                          break_names[kind], ((const RbSnap *)clean->pdata[at])->number);
        }
        printf("%s: %d tried, %d not found, %d proposed, of them %d first\n",
               break_names[kind], tried, counts[0], counts[2] + counts[3], counts[3]);
        ck_assert_int_gt(tried, 15);
        ck_assert_int_le(counts[0] * 5, tried);
    }
}
END_TEST

START_TEST(test_repair__says_what_it_does)
{
    g_autoptr(GPtrArray) clean = log_read(WHOLE_GAME);
    g_autoptr(GPtrArray) log = log_copy(clean);
    log_snap(log, 62)->gain = 5;
    g_autoptr(GPtrArray) findings = rb_chain_check(log, teams, false, RB_RULES_COLLEGE);
    ck_assert_uint_eq(findings->len, 1);
    g_autoptr(GPtrArray) repairs = rb_chain_repairs(log, teams, false, RB_RULES_COLLEGE,
                                                    findings, findings->pdata[0]);
    ck_assert_uint_gt(repairs->len, 0);
    const RbRepair *first = repairs->pdata[0];
    ck_assert_str_eq(first->sentence, "Set the gain of snap 62 to 2.");
    ck_assert_int_eq(first->left, 0);
}
END_TEST

START_TEST(test_repair__a_number_that_is_free_takes_the_missing_snap)
{
    g_autoptr(GPtrArray) log = log_read(WHOLE_GAME);
    for (guint i = 0; i < log->len; i++) {
        const RbSnap *snap = log->pdata[i];
        if (snap->number == 62) {
            g_ptr_array_remove_index(log, i);
            break;
        }
    }
    g_autoptr(GPtrArray) findings = rb_chain_check(log, teams, false, RB_RULES_COLLEGE);
    ck_assert_uint_gt(findings->len, 0);
    g_autoptr(GPtrArray) repairs = rb_chain_repairs(log, teams, false, RB_RULES_COLLEGE,
                                                    findings, findings->pdata[0]);
    bool added = false;
    for (guint i = 0; i < repairs->len; i++) {
        const RbRepair *repair = repairs->pdata[i];
        added = added || (repair->kind == RB_REPAIR_ADD && repair->after->len == 1 &&
                          strstr(repair->sentence, "Add a snap 62") != NULL);
    }
    ck_assert(added);
}
END_TEST

TCase *rb_case_repair(void)
{
    TCase *tc = rb_case_new("repair");
    tcase_add_test(tc, test_repair__one_fault_is_found_and_the_right_repair_is_proposed);
    tcase_add_test(tc, test_repair__says_what_it_does);
    tcase_add_test(tc, test_repair__a_number_that_is_free_takes_the_missing_snap);
    return tc;
}
