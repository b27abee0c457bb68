/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figures.h"

#include "rb/base/random.h"

void rb_book_cell(RbLadder *ladder, int read, RbStage stage, int n, double points)
{
    RbLadderCell *cell = &ladder->cells[read][stage];
    cell->dropbacks += n;
    cell->pointed += n;
    cell->points += points;
    ladder->dropbacks += n;
    ladder->pointed += n;
    ladder->points += points;
}

RbLadder rb_example_ladder(void)
{
    RbLadder ladder = { 0 };
    rb_book_cell(&ladder, 1, RB_STAGE_SUCCESS, 3, 3.4);
    rb_book_cell(&ladder, 1, RB_STAGE_PROTECTION, 1, -1.6);
    rb_book_cell(&ladder, 1, RB_STAGE_THROW, 1, -0.8);
    rb_book_cell(&ladder, 2, RB_STAGE_SUCCESS, 1, 0.9);
    rb_book_cell(&ladder, 2, RB_STAGE_EYES, 6, -4.1);
    rb_book_cell(&ladder, 2, RB_STAGE_CLOCK, 1, -0.4);
    rb_book_cell(&ladder, 2, RB_STAGE_CATCH, 1, -0.5);
    rb_book_cell(&ladder, 3, RB_STAGE_BEFORE_SNAP, 1, -0.2);
    rb_book_cell(&ladder, 3, RB_STAGE_TIPPED, 1, -0.2);
    rb_book_cell(&ladder, 3, RB_STAGE_COVERED, 2, -1.1);
    rb_book_cell(&ladder, 3, RB_STAGE_AFTER, 1, -0.2);
    rb_book_cell(&ladder, 0, RB_STAGE_NOT_JUDGED, 1, 0.2);
    return ladder;
}

RbBreak rb_example_break(void)
{
    return (RbBreak){ .found = true,
                      .read = 2,
                      .stage = RB_STAGE_EYES,
                      .dropbacks = 6,
                      .points = -4.1,
                      .excess = 2.8,
                      .share = 0.7,
                      .certainty = RB_CERTAINTY_LEANING,
                      .draws = RB_BREAK_DRAWS,
                      .seed = RB_BREAK_SEED };
}

static const char *const concepts[] = { "Curl-flat",      "Smash", "Stick",
                                        "Four verticals", "Mesh",  "Flood",
                                        "Shallow cross",  "Snag" };
static const char *const coverages[] = { "Cover 3", "Quarters",  "Cover 1", "Cover 2",
                                         "Two-man", "Fire zone", "Cover 0" };

static RbDropback draw_dropback(RbRandom *random, int concept, int coverage)
{
    static const RbStage stages[] = { RB_STAGE_EYES,  RB_STAGE_COVERED,
                                      RB_STAGE_THROW, RB_STAGE_CATCH,
                                      RB_STAGE_CLOCK, RB_STAGE_PROTECTION,
                                      RB_STAGE_AFTER };
    static const double weights[] = { 3, 3, 3, 2, 1, 2, 2 };
    const bool planted = concept == 1 && coverage == 4;
    const bool success = rb_random_chance(random, planted ? 0.25 : 0.48);
    RbStage stage = stages[rb_random_pick(random, weights, G_N_ELEMENTS(stages))];
    if (planted && rb_random_chance(random, 0.7)) {
        stage = RB_STAGE_EYES;
    }
    const int read = planted ? 2 : rb_random_int(random, 1, 3);
    return (RbDropback){
        .concept = { concept },
        .coverage = { coverage },
        .verdict = success ? RB_VERDICT_ON_READ : RB_VERDICT_PASSED_UP,
        .stage = success ? RB_STAGE_SUCCESS : stage,
        .stage_read = read,
        .result = success ? RB_RESULT_COMPLETE : RB_RESULT_INCOMPLETE,
        .gain = success ? rb_random_int(random, 4, 25) : 0,
        .success = success,
        .has_points = true,
        .points = rb_random_normal(random, success ? 1.2 : -0.9, 0.5),
        .in_ladder = true,
    };
}

RbDropbacks rb_example_season(uint64_t seed)
{
    RbRandom random;
    rb_random_seed(&random, seed);
    GArray *rows = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    for (int concept = 1; concept <= 8; concept ++) {
        for (int coverage = 1; coverage <= 7; coverage++) {
            int n = rb_random_int(&random, 0, 22 - coverage * 2 - concept);
            n = concept == 1 && coverage == 4 ? 16 : n;
            for (int i = 0; i < n; i++) {
                const RbDropback row = draw_dropback(&random, concept, coverage);
                g_array_append_val(rows, row);
            }
        }
    }
    const int n = (int)rows->len;
    return (RbDropbacks){ (RbDropback *)(void *)g_array_free(rows, FALSE), n };
}

static const char *concept_name(RbConceptId id, const void *data)
{
    (void)data;
    return id.value >= 1 && id.value <= 8 ? concepts[id.value - 1] : "?";
}

static const char *coverage_name(RbTermId id, const void *data)
{
    (void)data;
    return id.value >= 1 && id.value <= 7 ? coverages[id.value - 1] : "?";
}

RbReportNames rb_example_names(void)
{
    return (RbReportNames){ concept_name, coverage_name, NULL };
}

/* Looks into one pairing of the season. */
static void look_into(RbExampleReport *example, int i, int concept, int coverage)
{
    g_autoptr(GArray) rows = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    g_autoptr(GArray) others = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    for (int k = 0; k < example->season.n; k++) {
        const RbDropback *row = &example->season.rows[k];
        const bool own = row->concept.value == concept && row->coverage.value == coverage;
        g_array_append_vals(own ? rows : others, row, 1);
    }
    const RbDropback *own = (const RbDropback *)(const void *)rows->data;
    rb_ladder_build(own, (int)rows->len, &example->ladders[i]);
    rb_break_find(own, (int)rows->len, (const RbDropback *)(const void *)others->data,
                  (int)others->len, &example->breaks[i]);
    example->looked[i] = (RbReportPairing){
        .concept = { concept },
        .coverage = { coverage },
        .ladder = &example->ladders[i],
        .found = &example->breaks[i],
        .reads = { NULL, "Curl", "Flat", "Check-down" },
    };
}

void rb_example_report_init(RbExampleReport *example)
{
    *example = (RbExampleReport){ .season = rb_example_season(4) };
    rb_pairings_build(example->season.rows, example->season.n, &example->pairings);
    example->figures = g_new0(RbMeasured, example->pairings.n_cells + 1);
    rb_pairings_measure(&example->pairings, RB_MEASURE_SUCCESS, example->figures);
    look_into(example, 0, 1, 4);
    look_into(example, 1, 2, 1);
    example->looked[0].snaps = "Week 1 at Fairview: snaps 12, 34, 41. Week 3: snap 7.";
    example->report = (RbReport){
        .title = "Pairings, 2026 season",
        .team = "Harbor City Mariners",
        .filter = "3rd down",
        .made_on = "2026-11-02",
        .profile = rb_success_profile_default(),
        .pairings = &example->pairings,
        .figures = example->figures,
        .ladders = example->looked,
        .n_ladders = 2,
        .names = rb_example_names(),
    };
}

void rb_example_report_clear(RbExampleReport *example)
{
    rb_dropbacks_clear(&example->season);
    rb_pairings_clear(&example->pairings);
    g_free(example->figures);
}
