/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/chain.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/model/yardline.h"

#include "chain-private.h"

/* clang-format off */
static const RbWord field_table[] = {
    [RB_CHAIN_SPOT] = { "spot", "Spot" },
    [RB_CHAIN_DOWN] = { "down", "Down" },
    [RB_CHAIN_DISTANCE] = { "distance", "Distance" },
    [RB_CHAIN_POSSESSION] = { "possession", "Possession" },
    [RB_CHAIN_SCORE] = { "score", "Score" },
    [RB_CHAIN_QUARTER] = { "quarter", "Quarter" },
    [RB_CHAIN_CLOCK] = { "clock", "Clock" },
    [RB_CHAIN_NUMBER] = { "number", "Number" },
    [RB_CHAIN_VALUE] = { "value", "Value" },
};
/* clang-format on */

const RbWords rb_chain_field_words = { N_("field"), field_table,
                                       G_N_ELEMENTS(field_table) };

void rb_finding_free(RbFinding *finding)
{
    if (finding == NULL) {
        return;
    }
    g_free(finding->sentence);
    g_free(finding);
}

static void free_finding(void *finding)
{
    rb_finding_free(finding);
}

static RbChainLink *link_at(const GPtrArray *links, guint i)
{
    return i < links->len ? g_ptr_array_index(links, i) : NULL;
}

/* By number, then id. */
static int compare_links(const void *a, const void *b)
{
    const RbSnap *one = (*(RbChainLink *const *)a)->snap;
    const RbSnap *two = (*(RbChainLink *const *)b)->snap;
    if (one->number != two->number) {
        return one->number < two->number ? -1 : 1;
    }
    return (one->id.value > two->id.value) - (one->id.value < two->id.value);
}

/* Faults between two snaps; none where one of them is missing. */
static int cost(const RbChainGame *game, const RbChainLink *a, const RbChainLink *b)
{
    RbExpected expected;
    RbMismatch mismatches[RB_MISMATCHES_MAX];
    if (a == NULL || b == NULL) {
        return 0;
    }
    const RbSituation *s = &a->facts.situation;
    const RbSituation *t = &b->facts.situation;
    const int backwards =
        s->quarter > 0 && t->quarter > 0 &&
        (t->quarter < s->quarter || (t->quarter == s->quarter && t->clock_s >= 0 &&
                                     s->clock_s >= 0 && t->clock_s > s->clock_s));
    return backwards +
           rb_chain_compare(game, &a->facts, &b->facts, &expected, mismatches);
}

static void add_number(GPtrArray *findings, const RbChainLink *link, int expected)
{
    rb_chain_add(findings, link->snap, RB_CHAIN_NUMBER, expected, link->snap->number,
                 "two snaps have this number; this one should be %d", expected);
}

/* Two snaps with one number: they are played in the order that fits better, or one of them
 * belongs elsewhere and is taken out. Returns: (transfer full) (nullable): the one taken out. */
static RbChainLink *settle_pair(const RbChainGame *game, GPtrArray *links, guint i,
                                GPtrArray *findings)
{
    RbChainLink *before = i > 0 ? link_at(links, i - 1) : NULL;
    RbChainLink *one = link_at(links, i);
    RbChainLink *two = link_at(links, i + 1);
    RbChainLink *after = link_at(links, i + 2);
    const int keep =
        cost(game, before, one) + cost(game, one, two) + cost(game, two, after);
    const int turn =
        cost(game, before, two) + cost(game, two, one) + cost(game, one, after);
    const int only_one = cost(game, before, one) + cost(game, one, after);
    const int only_two = cost(game, before, two) + cost(game, two, after);
    const int least = MIN(MIN(keep, turn), MIN(only_one, only_two));
    if (keep == least || turn == least) {
        if (keep != least) {
            links->pdata[i] = two;
            links->pdata[i + 1] = one;
        }
        add_number(findings, link_at(links, i + 1), one->snap->number + 1);
        return NULL;
    }
    return g_ptr_array_steal_index(links, only_one == least ? i + 1 : i);
}

/* A snap taken out goes where a number is missing and it fits. */
static void put_back(const RbChainGame *game, GPtrArray *links, RbChainLink *link,
                     GPtrArray *findings)
{
    for (guint i = 0; i < links->len; i++) {
        const RbChainLink *before = link_at(links, i);
        const RbChainLink *after = link_at(links, i + 1);
        const int gap = after != NULL ? after->snap->number - before->snap->number : 2;
        if (gap >= 2 && cost(game, before, link) + cost(game, link, after) == 0) {
            add_number(findings, link, before->snap->number + 1);
            g_ptr_array_insert(links, (int)i + 1, link);
            return;
        }
    }
    const RbChainLink *last = link_at(links, links->len - 1);
    add_number(findings, link, last->snap->number + 1);
    g_free(link);
}

static void check_numbers(const RbChainGame *game, GPtrArray *links, GPtrArray *findings)
{
    g_autoptr(GPtrArray) out = g_ptr_array_new();
    for (guint i = 0; i + 1 < links->len; i++) {
        if (link_at(links, i)->snap->number == link_at(links, i + 1)->snap->number) {
            RbChainLink *taken = settle_pair(game, links, i, findings);
            if (taken != NULL) {
                g_ptr_array_add(out, taken);
                i--; /* a third one may follow */
            }
        }
    }
    for (guint i = 0; i < out->len; i++) {
        put_back(game, links, g_ptr_array_index(out, i), findings);
    }
}

static bool is_whole_play(const RbSnap *snap)
{
    return snap->has_gain == RB_YES && !rb_snap_is_wiped_out(snap) &&
           snap->penalties->len == 0;
}

char *rb_chain_after_text(const RbSnap *before)
{
    if (rb_snap_is_wiped_out(before) || before->penalties->len > 0) {
        return g_strdup(_("after the penalty"));
    }
    if (before->ending != RB_ENDING_NONE) {
        g_autofree char *label =
            g_ascii_strdown(rb_words_label(&rb_ending_words, (int)before->ending), -1);
        return g_strdup_printf(_("after the %s"), label);
    }
    switch (before->result) {
    case RB_RESULT_INCOMPLETE:
    case RB_RESULT_THROWN_AWAY:
        return g_strdup(_("after an incomplete pass"));
    case RB_RESULT_INTERCEPTED:
        return g_strdup(_("after the interception"));
    case RB_RESULT_KICK_GOOD:
    case RB_RESULT_KICK_MISSED:
    case RB_RESULT_KICKED:
        return g_strdup(_("after the kick"));
    case RB_RESULT_UNKNOWN:
    case RB_RESULT_COMPLETE:
    case RB_RESULT_SACK:
    case RB_RESULT_SCRAMBLE:
    case RB_RESULT_RUN:
    case RB_RESULT_NO_PLAY:
        break;
    }
    if (!is_whole_play(before)) {
        return g_strdup_printf(_("after snap %d"), before->number);
    }
    if (before->gain == 0) {
        return g_strdup(_("after no gain"));
    }
    return before->gain > 0 ? g_strdup_printf(_("after a gain of %d"), before->gain)
                            : g_strdup_printf(_("after a loss of %d"), -before->gain);
}

static void report_down(GPtrArray *findings, const RbChainLink *link,
                        const RbExpected *expected, const RbMismatch *mismatch,
                        const char *after)
{
    RbSituation due = expected->situation;
    if (!expected->is_exact) {
        due.phase = RB_PHASE_SCRIMMAGE;
        due.down = 1;
        due.distance = 10;
        due.yards_to_goal = link->facts.situation.yards_to_goal;
        due.distance = due.yards_to_goal > 0 ? MIN(10, due.yards_to_goal) : 10;
    }
    g_autofree char *want = rb_situation_down_text(&due);
    g_autofree char *have = rb_situation_down_text(&link->facts.situation);
    rb_chain_add(findings, link->snap, RB_CHAIN_DOWN, mismatch->expected, mismatch->found,
                 "it should be %s %s, but is %s", want, after, have);
}

static void report(GPtrArray *findings, const RbChainLink *before,
                   const RbChainLink *link, const RbExpected *expected,
                   const RbMismatch *mismatch)
{
    g_autofree char *after = rb_chain_after_text(&before->facts);
    const RbSnap *snap = link->snap;
    const int due = (int)mismatch->expected;
    const int found = (int)mismatch->found;
    switch (mismatch->field) {
    case RB_CHAIN_SPOT: {
        g_autofree char *want = rb_yardline_label(due);
        g_autofree char *have = rb_yardline_label(found);
        rb_chain_add(findings, snap, RB_CHAIN_SPOT, due, found,
                     "the spot should be %s %s, but is %s", want, after, have);
        break;
    }
    case RB_CHAIN_DOWN:
        report_down(findings, link, expected, mismatch, after);
        break;
    case RB_CHAIN_DISTANCE:
        rb_chain_add(findings, snap, RB_CHAIN_DISTANCE, due, found,
                     "the distance should be %d %s, but is %d", due, after, found);
        break;
    case RB_CHAIN_POSSESSION:
        rb_chain_add(findings, snap, RB_CHAIN_POSSESSION, mismatch->expected,
                     mismatch->found,
                     "the other team should have the ball %s; correct the team, or the "
                     "snap before",
                     after);
        break;
    case RB_CHAIN_SCORE:
        rb_chain_add(findings, snap, RB_CHAIN_SCORE, due, found,
                     "a score of %d should be %d %s", found, due, after);
        break;
    case RB_CHAIN_QUARTER:
    case RB_CHAIN_CLOCK:
    case RB_CHAIN_NUMBER:
    case RB_CHAIN_VALUE:
        g_assert_not_reached(); /* not found by comparing two snaps */
    }
}

/* What the snap would be with its findings set right: the snap after it may follow from
 * either, so that a fault is not found twice. */
static void correct(RbChainLink *link, const RbExpected *expected,
                    const RbMismatch *mismatches, int n)
{
    RbSituation *s = &link->corrected.situation;
    link->corrected = link->facts;
    link->has_corrected = n > 0;
    for (int i = 0; i < n; i++) {
        switch (mismatches[i].field) {
        case RB_CHAIN_SPOT:
        case RB_CHAIN_DOWN:
        case RB_CHAIN_DISTANCE:
            s->yards_to_goal = expected->is_exact || expected->is_kick
                                   ? expected->situation.yards_to_goal
                                   : s->yards_to_goal;
            s->down = expected->is_exact ? expected->situation.down : 1;
            s->distance = expected->is_exact     ? expected->situation.distance
                          : s->yards_to_goal > 0 ? MIN(10, s->yards_to_goal)
                                                 : 10;
            break;
        case RB_CHAIN_POSSESSION:
            s->offense = expected->team;
            s->score_offense = expected->situation.score_offense;
            s->score_defense = expected->situation.score_defense;
            break;
        case RB_CHAIN_SCORE:
            if (s->score_offense == mismatches[i].found) {
                s->score_offense = (int)mismatches[i].expected;
            } else {
                s->score_defense = (int)mismatches[i].expected;
            }
            break;
        case RB_CHAIN_QUARTER:
        case RB_CHAIN_CLOCK:
        case RB_CHAIN_NUMBER:
        case RB_CHAIN_VALUE:
            break;
        }
    }
}

/* Blanks of a snap that continues a series are what they must be. */
static void fill(RbSituation *s, const RbExpected *expected)
{
    const RbSituation *due = &expected->situation;
    if (s->offense.value == 0) {
        s->offense = expected->team;
    }
    if (expected->is_exact && s->phase == RB_PHASE_SCRIMMAGE) {
        s->yards_to_goal = s->yards_to_goal > 0 ? s->yards_to_goal : due->yards_to_goal;
        s->down = s->down > 0 ? s->down : due->down;
        s->distance = s->distance > 0 ? s->distance : due->distance;
    }
    if (!expected->score_may_grow && !expected->try_may_count &&
        s->offense.value == due->offense.value) {
        s->score_offense = s->score_offense >= 0 ? s->score_offense : due->score_offense;
        s->score_defense = s->score_defense >= 0 ? s->score_defense : due->score_defense;
    }
}

static void check_step(const RbChainGame *game, const RbChainLink *before,
                       RbChainLink *link, GPtrArray *findings)
{
    RbExpected expected;
    RbMismatch mismatches[RB_MISMATCHES_MAX];
    int n = rb_chain_compare(game, &before->facts, &link->facts, &expected, mismatches);
    if (n > 0 && before->has_corrected) {
        RbExpected other;
        RbMismatch fewer[RB_MISMATCHES_MAX];
        const int m =
            rb_chain_compare(game, &before->corrected, &link->facts, &other, fewer);
        if (m < n) {
            n = m;
            expected = other;
            memcpy(mismatches, fewer, sizeof mismatches);
        }
    }
    for (int i = 0; i < n; i++) {
        report(findings, before, link, &expected, &mismatches[i]);
    }
    fill(&link->facts.situation, &expected);
    correct(link, &expected, mismatches, n);
}

/* In a log of one team every snap is that team's. */
static void check_team(const RbChainGame *game, RbChainLink *link, GPtrArray *findings)
{
    const int64_t has = link->snap->situation.offense.value;
    const bool ours = has == game->teams[0].value;
    const bool theirs = has == game->teams[1].value;
    if (has == 0 || ours || (theirs && !game->ours_only)) {
        return;
    }
    rb_chain_add(findings, link->snap, RB_CHAIN_POSSESSION, game->teams[0].value, has,
                 theirs
                     ? _("the other team has the ball, but the log holds our snaps only")
                     : _("the team with the ball is neither of the game's two"));
    link->facts.situation.offense = game->ours_only ? game->teams[0] : (RbTeamId){ 0 };
}

static GPtrArray *make_links(const GPtrArray *snaps)
{
    GPtrArray *links = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < snaps->len; i++) {
        RbChainLink *link = g_new0(RbChainLink, 1);
        link->snap = g_ptr_array_index(snaps, i);
        link->facts = *link->snap;
        g_ptr_array_add(links, link);
    }
    g_ptr_array_sort(links, compare_links);
    return links;
}

GPtrArray *rb_chain_check(const GPtrArray *snaps, const RbTeamId teams[2], bool ours_only,
                          RbRules rules)
{
    const RbChainGame game = { { teams[0], teams[1] }, ours_only, rules };
    GPtrArray *findings = g_ptr_array_new_with_free_func(free_finding);
    g_autoptr(GPtrArray) links = make_links(snaps);
    for (guint i = 0; i < links->len; i++) {
        RbChainLink *link = link_at(links, i);
        rb_chain_check_values(link, rules, findings);
        check_team(&game, link, findings);
    }
    check_numbers(&game, links, findings);
    rb_chain_check_time(links, findings);
    for (guint i = 1; i < links->len; i++) {
        check_step(&game, link_at(links, i - 1), link_at(links, i), findings);
    }
    return findings;
}
