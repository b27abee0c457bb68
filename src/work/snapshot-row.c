/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "snapshot-row.h"

static uint8_t opened_of(const RbChart *chart)
{
    unsigned opened = 0;
    for (int i = 0; i < RB_READS_MAX; i++) {
        opened |= chart->looks[i] == RB_LOOK_OPEN ? 1U << i : 0U;
    }
    return (uint8_t)opened;
}

static RbDropback dropback_of(const RbSnap *snap, const RbChart *chart,
                              const RbJudged *judged)
{
    return (RbDropback){
        .snap = snap->id,
        .game = snap->game,
        .number = snap->number,
        .quarterback = snap->quarterback,
        .concept = rb_chart_concept(chart),
        .coverage = chart->played.coverage,
        .verdict = judged->judgment.verdict,
        .stage = judged->judgment.stage,
        .stage_read = judged->judgment.stage_read,
        .right_read = judged->judgment.right_slot,
        .ball_read = judged->judgment.ball_slot,
        .opened = opened_of(chart),
        .result = snap->result,
        .ending = snap->ending,
        .gain = snap->has_gain == RB_YES ? snap->gain : 0,
        .has_gain = snap->has_gain == RB_YES,
        .success = judged->success,
        .has_points = judged->has_points,
        .points = judged->points,
        .pressured = chart->pressure == RB_PRESSURE_CAME,
        .release_ms = chart->release_ms,
        .in_ladder = rb_snap_is_dropback(snap),
    };
}

/* "2026-09-12" as 20260912; 0 when there is no date. */
static int64_t date_number(const char *date)
{
    int64_t number = 0;
    for (const char *c = date; c != NULL && *c != '\0'; c++) {
        number = g_ascii_isdigit(*c) ? number * 10 + (*c - '0') : number;
    }
    return number;
}

static bool known(int64_t have, int64_t unknown, int64_t *value)
{
    *value = have;
    return have != unknown;
}

static RbTechnique technique_worked(const RbChart *chart)
{
    const bool left = chart->side_worked == RB_SIDE_LEFT;
    if (chart->side_worked == RB_SIDE_UNKNOWN) {
        return RB_TECHNIQUE_UNKNOWN;
    }
    const RbTechnique played = left ? chart->played.left : chart->played.right;
    const RbTechnique shown =
        left ? chart->shown.left.technique : chart->shown.right.technique;
    return played != RB_TECHNIQUE_UNKNOWN ? played : shown;
}

static RbFamily family_of(const RbNames *names, RbTermId coverage)
{
    const RbTerm *term = rb_names_find_term(names, coverage);
    return term != NULL ? term->family : RB_FAMILY_UNKNOWN;
}

static bool value_of(const RbNames *names, const RbSnap *snap, const RbChart *chart,
                     const RbDropback *row, RbField field, int64_t *value)
{
    const RbGame *game = rb_names_find_game(names, row->game);
    switch (field) {
    case RB_FIELD_GAME:
        return known(row->game.value, 0, value);
    case RB_FIELD_OPPONENT:
        return known(game->them.value, 0, value);
    case RB_FIELD_DATE:
        return known(date_number(game->played_on), 0, value);
    case RB_FIELD_DOWN:
        return known(snap->situation.down, 0, value);
    case RB_FIELD_DISTANCE:
        return known(snap->situation.distance, 0, value);
    case RB_FIELD_YARDS_TO_GOAL:
        return known(snap->situation.yards_to_goal, 0, value);
    case RB_FIELD_HASH:
        return known(snap->situation.hash, RB_HASH_UNKNOWN, value);
    case RB_FIELD_QUARTER:
        return known(MIN(snap->situation.quarter, 5), 0, value);
    case RB_FIELD_CLOSE:
        return known(rb_situation_is_close(&snap->situation), RB_YES_NO_UNKNOWN, value);
    case RB_FIELD_PERSONNEL:
        return known(snap->personnel.value, 0, value);
    case RB_FIELD_FORMATION:
        return known(snap->formation.value, 0, value);
    case RB_FIELD_MOTION:
        return known(snap->motion.value, 0, value);
    case RB_FIELD_QUARTERBACK:
        return known(snap->quarterback.value, 0, value);
    case RB_FIELD_CALL:
        return known(chart->call.kind, RB_CALL_UNKNOWN, value);
    case RB_FIELD_CONCEPT:
        return known(row->concept.value, 0, value);
    case RB_FIELD_SIDE_WORKED:
        return known(chart->side_worked, RB_SIDE_UNKNOWN, value);
    case RB_FIELD_SHELL:
        return known(chart->shown.shell, RB_SHELL_UNKNOWN, value);
    case RB_FIELD_COVERAGE:
        return known(row->coverage.value, 0, value);
    case RB_FIELD_FAMILY:
        return known(family_of(names, row->coverage), RB_FAMILY_UNKNOWN, value);
    case RB_FIELD_TECHNIQUE:
        return known(technique_worked(chart), RB_TECHNIQUE_UNKNOWN, value);
    case RB_FIELD_RUSHERS:
        return known(chart->played.rushers, -1, value);
    case RB_FIELD_PRESSURE:
        return known(chart->pressure, RB_PRESSURE_UNKNOWN, value);
    case RB_FIELD_RESULT:
        return known(row->result, RB_RESULT_UNKNOWN, value);
    case RB_FIELD_VERDICT:
        return known(row->verdict, -1, value);
    case RB_FIELD_STAGE:
        return known(row->stage, -1, value);
    case RB_FIELD_READ:
        return known(row->stage_read, -1, value);
    case RB_FIELD_COUNTS:
        return known(row->in_ladder ? RB_YES : RB_NO, RB_YES_NO_UNKNOWN, value);
    case RB_FIELD_OWN_TAG: /* has lists */
        return false;
    case RB_FIELDS:
        break;
    }
    g_assert_not_reached();
}

RbPackedRow rb_packed_row_of(const RbNames *names, const RbSnap *snap,
                             const RbChart *chart, const RbJudged *judged)
{
    RbPackedRow row = { .row = dropback_of(snap, chart, judged),
                        .own_tags = (const int64_t *)(const void *)snap->own_tags->data,
                        .n_own_tags = (int)snap->own_tags->len };
    for (int field = 0; field < RB_FIELDS; field++) {
        row.known[field] =
            value_of(names, snap, chart, &row.row, (RbField)field, &row.values[field]);
    }
    return row;
}
