/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Calls that fit the situation, and pictures that fit the coverage. How often and how: common
 * practice, no source. */
#include "season-private.h"

/* clang-format off */
typedef struct {
    const char *token;
    RbShell shell;      /* what it looks like when it is not hidden */
    RbShell disguise;   /* what it looks like when it is */
    RbTechnique usual;  /* of the corners, played */
    RbTechnique other;  /* less often */
    RbLeverage leverage;
    bool half_field;    /* a safety over each half */
    int rushers;
    double normal;      /* how often: normal downs, long ones, near the goal */
    double lengthy;
    double goal;
} Coverage;

static const Coverage coverages[SEASON_COVERAGES] = {
    [SEASON_COVER_0] = { "cover-0", RB_SHELL_NONE_DEEP, RB_SHELL_ONE_HIGH, RB_TECHNIQUE_PRESS,
                         RB_TECHNIQUE_OFF, RB_LEVERAGE_INSIDE, false, 6, 0.3, 0.3, 1.6 },
    [SEASON_COVER_1] = { "cover-1", RB_SHELL_ONE_HIGH, RB_SHELL_TWO_HIGH, RB_TECHNIQUE_PRESS,
                         RB_TECHNIQUE_OFF, RB_LEVERAGE_INSIDE, false, 5, 1.3, 0.9, 1.8 },
    [SEASON_ROBBER] = { "cover-1-robber", RB_SHELL_TWO_HIGH, RB_SHELL_ONE_HIGH,
                        RB_TECHNIQUE_PRESS, RB_TECHNIQUE_OFF, RB_LEVERAGE_OUTSIDE, false, 4,
                        0.6, 0.7, 0.6 },
    [SEASON_COVER_2] = { "cover-2", RB_SHELL_TWO_HIGH, RB_SHELL_ONE_HIGH, RB_TECHNIQUE_SQUAT,
                         RB_TECHNIQUE_HARD, RB_LEVERAGE_OUTSIDE, true, 4, 1.1, 1.0, 0.4 },
    [SEASON_TWO_MAN] = { "two-man", RB_SHELL_TWO_HIGH, RB_SHELL_ONE_HIGH, RB_TECHNIQUE_PRESS,
                         RB_TECHNIQUE_PRESS, RB_LEVERAGE_INSIDE, true, 4, 0.3, 1.1, 0.2 },
    [SEASON_COVER_3] = { "cover-3", RB_SHELL_ONE_HIGH, RB_SHELL_TWO_HIGH, RB_TECHNIQUE_OFF,
                         RB_TECHNIQUE_BAIL, RB_LEVERAGE_OUTSIDE, false, 4, 1.8, 1.0, 0.9 },
    [SEASON_QUARTERS] = { "quarters", RB_SHELL_TWO_HIGH, RB_SHELL_ONE_HIGH, RB_TECHNIQUE_OFF,
                          RB_TECHNIQUE_BAIL, RB_LEVERAGE_OUTSIDE, false, 4, 1.4, 1.3, 0.8 },
    [SEASON_FIRE_ZONE] = { "fire-zone", RB_SHELL_ONE_HIGH, RB_SHELL_TWO_HIGH, RB_TECHNIQUE_OFF,
                           RB_TECHNIQUE_BAIL, RB_LEVERAGE_INSIDE, false, 5, 0.7, 0.9, 0.8 },
    [SEASON_DROP_EIGHT] = { "drop-eight", RB_SHELL_THREE_HIGH, RB_SHELL_TWO_HIGH,
                            RB_TECHNIQUE_OFF, RB_TECHNIQUE_BAIL, RB_LEVERAGE_OUTSIDE, false, 3,
                            0.2, 0.8, 0.3 },
};

/* Tenths of a yard from corner to receiver, by technique. */
static const struct {
    int low;
    int high;
} cushions[] = {
    [RB_TECHNIQUE_UNKNOWN] = { 50, 70 },
    [RB_TECHNIQUE_PRESS] = { 8, 25 },
    [RB_TECHNIQUE_OFF] = { 60, 90 },
    [RB_TECHNIQUE_BAIL] = { 45, 80 },
    [RB_TECHNIQUE_SQUAT] = { 48, 68 },
    [RB_TECHNIQUE_HARD] = { 15, 40 },
};
/* clang-format on */

/* Of the dropbacks of a game, those among which the planted pairings are spread: fewer than
 * there are in nearly every game, so that none is missed. */
enum { SPREAD_OVER = 28 };

const char *rb_season_coverage_token(SeasonCoverage coverage)
{
    return coverages[coverage].token;
}

static bool is_lengthy(const RbSituation *s)
{
    return s->down >= 2 && s->distance >= 7;
}

static bool is_near_goal(const RbSituation *s)
{
    return s->yards_to_goal <= 10;
}

static SeasonConcept draw_concept(SeasonMaker *maker, const RbSituation *s)
{
    double weights[SEASON_CONCEPTS];
    for (int i = 0; i < SEASON_CONCEPTS; i++) {
        weights[i] = is_near_goal(s) ? rb_season_calls[i].goal
                     : is_lengthy(s) ? rb_season_calls[i].lengthy
                                     : rb_season_calls[i].normal;
    }
    return (SeasonConcept)rb_random_pick(&maker->random, weights, SEASON_CONCEPTS);
}

static SeasonCoverage draw_coverage(SeasonMaker *maker, const RbSituation *s)
{
    double weights[SEASON_COVERAGES];
    for (int i = 0; i < SEASON_COVERAGES; i++) {
        weights[i] = is_near_goal(s) ? coverages[i].goal
                     : is_lengthy(s) ? coverages[i].lengthy
                                     : coverages[i].normal;
    }
    return (SeasonCoverage)rb_random_pick(&maker->random, weights, SEASON_COVERAGES);
}

void rb_season_choose(SeasonMaker *maker, const RbSituation *situation,
                      SeasonConcept *concept, SeasonCoverage *coverage)
{
    const int left = MAX(2, SPREAD_OVER - maker->dropbacks);
    *concept = draw_concept(maker, situation);
    *coverage = draw_coverage(maker, situation);
    for (int i = 0; i < RB_SEASON_PLANTED; i++) {
        /* What a coordinator keeps calling, an opponent that has seen it keeps playing. */
        if (!is_near_goal(situation) &&
            rb_random_chance(&maker->random, (double)maker->wanted[i] / left)) {
            *concept = maker->pairs[i].concept;
            *coverage = maker->pairs[i].coverage;
            break;
        }
    }
}

void rb_season_count(SeasonMaker *maker, SeasonConcept concept, SeasonCoverage coverage)
{
    maker->dropbacks++;
    for (int i = 0; i < RB_SEASON_PLANTED; i++) {
        if (concept == maker->pairs[i].concept && coverage == maker->pairs[i].coverage) {
            maker->wanted[i]--;
        }
    }
}

static RbSide draw_side(SeasonMaker *maker)
{
    return rb_random_chance(&maker->random, 0.5) ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
}

static void set_formation(SeasonMaker *maker, RbSeasonSnap *entry, SeasonConcept concept)
{
    RbSnap *snap = entry->snap;
    RbSeasonTruth *truth = &entry->truth;
    const char *formation = "2x2";
    truth->receivers_left = 2;
    truth->receivers_right = 2;
    if (rb_season_calls[concept].trips) {
        const bool left = draw_side(maker) == RB_SIDE_LEFT;
        formation = left ? "3x1" : "1x3";
        truth->receivers_left = left ? 3 : 1;
        truth->receivers_right = left ? 1 : 3;
    }
    snap->strong = rb_strong_of_counts(truth->receivers_left, truth->receivers_right);
    const RbSide strong = rb_strong_side(snap->strong);
    const bool tight_end = rb_random_chance(&maker->random, 0.6);
    truth->tight_end = !tight_end                  ? RB_SIDE_UNKNOWN
                       : strong != RB_SIDE_UNKNOWN ? strong
                                                   : draw_side(maker);
    static const char *const motions[] = { "none", "jet", "short-in", "across" };
    static const double motion_weights[] = { 0.68, 0.1, 0.12, 0.1 };
    const int motion = rb_random_pick(&maker->random, motion_weights, 4);
    snap->formation = rb_season_term(RB_TERM_FORMATION, formation);
    snap->personnel = rb_season_term(RB_TERM_PERSONNEL, tight_end ? "11" : "10");
    snap->motion = rb_season_term(RB_TERM_MOTION, motions[motion]);
    snap->width =
        rb_random_chance(&maker->random, 0.15) ? RB_WIDTH_CONDENSED : RB_WIDTH_NORMAL;
    snap->play = rb_season_calls[concept].play;
    truth->backfield = RB_BACKFIELD_GUN;
    truth->drop_steps = rb_season_calls[concept].steps;
}

static void set_call(SeasonMaker *maker, RbSeasonSnap *entry, SeasonConcept concept)
{
    const RbConcept *called = g_ptr_array_index(maker->season->concepts, concept);
    RbChart *chart = entry->chart;
    chart->call.first = called->id;
    if (rb_season_calls[concept].mirrored) {
        chart->call.kind = RB_CALL_MIRRORED;
        return;
    }
    chart->call.kind = RB_CALL_SINGLE;
    const RbSide strong = rb_strong_side(entry->snap->strong);
    chart->call.first_side = strong != RB_SIDE_UNKNOWN ? strong : draw_side(maker);
    chart->side_worked = chart->call.first_side;
}

static RbTechnique draw_technique(SeasonMaker *maker, const Coverage *coverage)
{
    return rb_random_chance(&maker->random, 0.75) ? coverage->usual : coverage->other;
}

static RbSideShown show_side(SeasonMaker *maker, const Coverage *coverage,
                             RbTechnique played)
{
    /* One corner in eight shows something else before he does it. */
    const RbTechnique hidden =
        played == RB_TECHNIQUE_OFF ? RB_TECHNIQUE_PRESS : RB_TECHNIQUE_OFF;
    const RbTechnique shown = rb_random_chance(&maker->random, 0.875) ? played : hidden;
    /* Half yards, as they are tagged. Drawn one after the other: the order in which an
     * initializer's values are worked out is the compiler's. */
    const int halves =
        rb_random_int(&maker->random, cushions[shown].low / 5, cushions[shown].high / 5);
    const bool head_up = rb_random_chance(&maker->random, 0.15);
    return (RbSideShown){
        .technique = shown,
        .cushion_tenths = halves * 5,
        .split_tenths = -1,
        .leverage = head_up ? RB_LEVERAGE_HEAD_UP : coverage->leverage,
    };
}

static void set_rush(SeasonMaker *maker, RbChart *chart, const Coverage *coverage)
{
    RbPicturePlayed *played = &chart->played;
    const bool more = coverage->rushers >= 4 && rb_random_chance(&maker->random, 0.12);
    played->rushers = coverage->rushers + (more ? 1 : 0);
    const double free = played->rushers >= 6 ? 0.30 : played->rushers == 5 ? 0.08 : 0.01;
    played->unblocked = rb_random_chance(&maker->random, free) ? RB_YES : RB_NO;
    if (played->unblocked == RB_YES) {
        played->unblocked_side = draw_side(maker);
    }
}

static RbRotation draw_rotation(SeasonMaker *maker, double chance)
{
    if (!rb_random_chance(&maker->random, chance)) {
        return RB_ROTATION_NONE;
    }
    return rb_random_chance(&maker->random, 0.5) ? RB_ROTATION_LEFT : RB_ROTATION_RIGHT;
}

void rb_season_present(SeasonMaker *maker, RbSeasonSnap *entry, SeasonConcept concept,
                       SeasonCoverage index)
{
    const Coverage *coverage = &coverages[index];
    RbChart *chart = entry->chart;
    set_formation(maker, entry, concept);
    set_call(maker, entry, concept);
    const bool hidden = rb_random_chance(&maker->random, 0.15);
    chart->played.coverage = rb_season_term(RB_TERM_COVERAGE, coverage->token);
    chart->played.left = draw_technique(maker, coverage);
    chart->played.right = draw_technique(maker, coverage);
    chart->played.safety_left = coverage->half_field ? RB_YES : RB_NO;
    chart->played.safety_right = coverage->half_field ? RB_YES : RB_NO;
    chart->played.rotation = draw_rotation(maker, hidden ? 0.8 : 0.15);
    chart->shown.shell = hidden ? coverage->disguise : coverage->shell;
    chart->shown.rotation = draw_rotation(maker, 0.2);
    chart->shown.left = show_side(maker, coverage, chart->played.left);
    chart->shown.right = show_side(maker, coverage, chart->played.right);
    set_rush(maker, chart, coverage);
}
