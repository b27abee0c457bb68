/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "season-rows.h"

#include "rb/read/verdict.h"
#include "rb/stats/points.h"
#include "rb/stats/success.h"

static RbDropback row_of(const RbSeason *season, const RbSeasonSnap *entry)
{
    const RbSnap *snap = entry->snap;
    const RbChart *chart = entry->chart;
    const RbReadSettings settings = rb_read_settings_default();
    const RbReadContext context = {
        .snap = snap,
        .first = rb_season_find_concept(season, chart->call.first),
        .terms = season->terms,
        .footwork = rb_footwork_defaults(),
    };
    bool known = false;
    RbDropback row = { .snap = snap->id, .game = snap->game, .result = snap->result };
    row.success = rb_success_snap(rb_success_profile_default(), snap, &known);
    row.has_points =
        rb_points_added(rb_points_model_default(), snap, RB_RULES_COLLEGE, &row.points);
    row.concept = rb_chart_concept(chart);
    row.coverage = chart->played.coverage;
    row.in_ladder = rb_snap_is_dropback(snap);
    RbJudgment judgment;
    rb_judge(&context, chart, row.success, &settings, &judgment);
    row.verdict = judgment.verdict;
    row.stage = judgment.stage;
    row.stage_read = judgment.stage_read;
    row.right_read = judgment.right_slot;
    row.ball_read = judgment.ball_slot;
    row.ending = snap->ending;
    row.gain = snap->gain;
    row.pressured = chart->pressure == RB_PRESSURE_CAME;
    row.release_ms = chart->release_ms;
    return row;
}

GArray *season_rows(const RbSeason *season)
{
    GArray *rows = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    for (guint g = 0; g < season->games->len; g++) {
        const RbSeasonGame *game = g_ptr_array_index(season->games, g);
        for (guint i = 0; i < game->snaps->len; i++) {
            const RbSeasonSnap *entry = g_ptr_array_index(game->snaps, i);
            if (entry->chart != NULL) {
                const RbDropback row = row_of(season, entry);
                g_array_append_val(rows, row);
            }
        }
    }
    return rows;
}

GArray *season_rows_of(const GArray *rows, RbConceptId concept, RbTermId coverage,
                       bool other)
{
    GArray *chosen = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    for (guint i = 0; i < rows->len; i++) {
        const RbDropback *row = &g_array_index(rows, RbDropback, i);
        const bool same =
            row->concept.value == concept.value && row->coverage.value == coverage.value;
        if (same != other) {
            g_array_append_val(chosen, *row);
        }
    }
    return chosen;
}
