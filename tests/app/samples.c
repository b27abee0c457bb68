/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "samples.h"

static RbSnap *sample_snap(int number, int down, int distance, int yards_to_goal,
                           RbPlay play, RbResult result, int gain)
{
    RbSnap *snap = rb_snap_new((RbSnapId){ number }, (RbGameId){ 1 }, number);
    snap->situation.quarter = 1 + number / 12;
    snap->situation.down = down;
    snap->situation.distance = distance;
    snap->situation.yards_to_goal = yards_to_goal;
    snap->situation.hash = RB_HASH_LEFT;
    snap->situation.offense = (RbTeamId){ number > 8 && number < 13 ? 2 : 1 };
    snap->play = play;
    snap->result = result;
    snap->has_gain = RB_YES;
    snap->gain = gain;
    return snap;
}

GPtrArray *rb_sample_snaps(void)
{
    static const struct {
        int down;
        int distance;
        RbPlay play;
        RbResult result;
        int gain;
    } rows[] = {
        { 1, 10, RB_PLAY_DROPBACK, RB_RESULT_COMPLETE, 8 },
        { 2, 2, RB_PLAY_RUN, RB_RESULT_RUN, 3 },
        { 1, 10, RB_PLAY_ACTION, RB_RESULT_INCOMPLETE, 0 },
        { 2, 10, RB_PLAY_QUICK, RB_RESULT_COMPLETE, 2 },
        { 3, 8, RB_PLAY_DROPBACK, RB_RESULT_SACK, -7 },
        { 4, 15, RB_PLAY_PUNT, RB_RESULT_KICKED, 0 },
        { 1, 10, RB_PLAY_DROPBACK, RB_RESULT_COMPLETE, 22 },
        { 1, 10, RB_PLAY_DROPBACK, RB_RESULT_INTERCEPTED, 0 },
    };
    GPtrArray *snaps = g_ptr_array_new_with_free_func((GDestroyNotify)rb_snap_free);
    for (int i = 0; i < 24; i++) {
        const int k = i % (int)G_N_ELEMENTS(rows);
        g_ptr_array_add(snaps, sample_snap(i + 1, rows[k].down, rows[k].distance, 65,
                                           rows[k].play, rows[k].result, rows[k].gain));
    }
    return snaps;
}

void rb_sample_judgment(RbChart *chart, RbJudgment *judgment)
{
    static const RbRung rungs[] = {
        { .slot = 1,
          .route = RB_ROUTE_CURL,
          .runner = RB_RUNNER_1,
          .clock_ms = 1900,
          .tolerance_ms = 200 },
        { .slot = 2,
          .route = RB_ROUTE_FLAT,
          .runner = RB_RUNNER_2,
          .clock_ms = 2300,
          .tolerance_ms = 200 },
        { .slot = 4,
          .route = RB_ROUTE_CHECK_DOWN,
          .runner = RB_RUNNER_BACK,
          .outlet = true,
          .clock_ms = 3000,
          .tolerance_ms = 300 },
        { .slot = 3,
          .route = RB_ROUTE_GO,
          .runner = RB_RUNNER_3,
          .dead = true,
          .clock_ms = -1 },
    };
    *judgment = (RbJudgment){ .verdict = RB_VERDICT_LATE,
                              .stage = RB_STAGE_CLOCK,
                              .stage_read = 2,
                              .right_slot = 2,
                              .ball_slot = 2 };
    judgment->order.n = 4;
    judgment->order.live = 3;
    for (int i = 0; i < 4; i++) {
        judgment->order.rungs[i] = rungs[i];
    }
    chart->looks[0] = RB_LOOK_COVERED;
    chart->looks[1] = RB_LOOK_OPEN;
    chart->ball = RB_BALL_READ;
    chart->ball_read = 2;
    chart->release_ms = 2700;
}

const char *rb_sample_concept(const void *names, RbConceptId id)
{
    (void)names;
    static const char *const words[] = {
        "?", "Curl-flat", "Smash", "Four verticals", "Dig and drag", "Shallow cross"
    };
    return words[id.value];
}

const char *rb_sample_coverage(const void *names, RbTermId id)
{
    (void)names;
    static const char *const words[] = { "?",        "Cover 3", "Cover 1",
                                         "Quarters", "Cover 2", "Quarter-quarter-half",
                                         "Fire zone" };
    return words[id.value];
}

RbPairingView *rb_sample_pairing_view(void)
{
    static const int counts[5][6] = { { 14, 9, 8, 17, 3, 5 },
                                      { 12, 7, 6, 11, 2, 0 },
                                      { 10, 8, 9, 4, 1, 6 },
                                      { 11, 3, 5, 8, 0, 2 },
                                      { 7, 6, 4, 5, 2, 1 } };
    static const int hits[5][6] = { { 4, 5, 5, 12, 1, 3 },
                                    { 8, 3, 4, 5, 1, 0 },
                                    { 2, 4, 6, 2, 1, 3 },
                                    { 6, 2, 3, 4, 0, 1 },
                                    { 3, 4, 2, 2, 1, 0 } };
    RbTally cells[30];
    RbTally concepts[5] = { 0 };
    RbTally coverages[6] = { 0 };
    RbPairings pairings = { .cells = cells,
                            .n_cells = 30,
                            .concepts = concepts,
                            .n_concepts = 5,
                            .coverages = coverages,
                            .n_coverages = 6 };
    for (int i = 0; i < 5; i++) {
        for (int j = 0; j < 6; j++) {
            const RbTally cell = { .concept = { i + 1 },
                                   .coverage = { j + 1 },
                                   .dropbacks = counts[i][j],
                                   .successes = hits[i][j] };
            RbTally *sums[] = { &concepts[i], &coverages[j], &pairings.all };
            for (int k = 0; k < 3; k++) {
                sums[k]->dropbacks += cell.dropbacks;
                sums[k]->successes += cell.successes;
            }
            cells[i * 6 + j] = cell;
            concepts[i].concept = cell.concept;
            coverages[j].coverage = cell.coverage;
        }
    }
    return rb_pairing_view_new(&pairings, NULL, rb_sample_concept, rb_sample_coverage);
}

static void put(RbLadder *ladder, int read, RbStage stage, int n, double points)
{
    ladder->cells[read][stage] = (RbLadderCell){ n, n, points };
    ladder->dropbacks += n;
    ladder->pointed += n;
    ladder->points += points;
}

void rb_sample_ladder(RbLadder *ladder, RbBreak *found)
{
    *ladder = (RbLadder){ 0 };
    put(ladder, 1, RB_STAGE_SUCCESS, 4, 3.1);
    put(ladder, 1, RB_STAGE_EYES, 1, -0.4);
    put(ladder, 1, RB_STAGE_THROW, 1, -0.6);
    put(ladder, 2, RB_STAGE_SUCCESS, 1, 0.7);
    put(ladder, 2, RB_STAGE_EYES, 6, -4.1);
    put(ladder, 2, RB_STAGE_PROTECTION, 1, -1.2);
    put(ladder, 3, RB_STAGE_COVERED, 2, -0.9);
    put(ladder, 3, RB_STAGE_CLOCK, 1, -0.2);
    put(ladder, 0, RB_STAGE_NOT_JUDGED, 2, 0.1);
    *found = (RbBreak){ .found = true,
                        .read = 2,
                        .stage = RB_STAGE_EYES,
                        .dropbacks = 6,
                        .points = -4.1,
                        .excess = 2.8,
                        .share = 0.81,
                        .certainty = RB_CERTAINTY_LEANING,
                        .draws = RB_BREAK_DRAWS };
}

GtkWidget *rb_sample_strip(void)
{
    GtkWidget *strip = g_object_new(RB_TYPE_DRIVE_STRIP, NULL);
    g_autoptr(GPtrArray) snaps = rb_sample_snaps();
    g_autoptr(GPtrArray) tiles = rb_tiles_build(snaps, NULL, RB_RULES_COLLEGE);
    rb_drive_strip_set_tiles(RB_DRIVE_STRIP(strip), tiles);
    rb_drive_strip_set_chosen(RB_DRIVE_STRIP(strip), (RbSnapId){ 5 });
    return strip;
}

GtkWidget *rb_sample_track(void)
{
    static const RbTrackMark marks[] = {
        { RB_MARK_SET, 120 },     { RB_MARK_SNAP, 190 },    { RB_MARK_TOP, 290 },
        { RB_MARK_RELEASE, 310 }, { RB_MARK_ARRIVAL, 370 }, { RB_MARK_END, 430 }
    };
    GtkWidget *track = g_object_new(RB_TYPE_MARK_TRACK, NULL);
    rb_mark_track_set_span(RB_MARK_TRACK(track), 100, 460);
    rb_mark_track_set_marks(RB_MARK_TRACK(track), marks, (int)G_N_ELEMENTS(marks));
    rb_mark_track_set_frame(RB_MARK_TRACK(track), 250, "0:02.50, snap +1.00 s");
    return track;
}

GtkWidget *rb_sample_table(void)
{
    GtkWidget *table = g_object_new(RB_TYPE_PAIRING_TABLE, NULL);
    rb_pairing_table_take_view(RB_PAIRING_TABLE(table), rb_sample_pairing_view());
    rb_pairing_table_choose(RB_PAIRING_TABLE(table), (RbConceptId){ 1 }, (RbTermId){ 1 });
    return table;
}

GtkWidget *rb_sample_read_ladder(void)
{
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    RbJudgment judgment;
    rb_sample_judgment(chart, &judgment);
    g_autoptr(GPtrArray) rungs = rb_rung_views_build(NULL, 0, chart, &judgment);
    GtkWidget *ladder = g_object_new(RB_TYPE_READ_LADDER, NULL);
    rb_read_ladder_set_rungs(RB_READ_LADDER(ladder), rungs);
    return ladder;
}

GtkWidget *rb_sample_pairing_ladder(void)
{
    GtkWidget *ladder = g_object_new(RB_TYPE_PAIRING_LADDER, NULL);
    RbLadder figures;
    RbBreak found;
    const char *const reads[RB_READS_MAX + 1] = { NULL, "Curl", "Flat", "Check-down" };
    rb_sample_ladder(&figures, &found);
    rb_pairing_ladder_set(RB_PAIRING_LADDER(ladder), &figures, &found, reads);
    return ladder;
}
