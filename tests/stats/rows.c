/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rows.h"

#include "rb/model/concept.h"

RbDropback rb_random_dropback(RbRandom *random, int kinds)
{
    RbDropback row = {
        .snap = { rb_random_int(random, 1, 1000000) },
        .concept = { rb_random_int(random, 0, kinds) },
        .coverage = { rb_random_int(random, 0, kinds) },
        .verdict = (RbVerdict)rb_random_int(random, 0, RB_VERDICTS - 1),
        .stage = (RbStage)rb_random_int(random, 0, RB_STAGES - 1),
        .stage_read = rb_random_int(random, 0, RB_READS_MAX),
        .result = (RbResult)rb_random_int(random, 0, RB_RESULT_NO_PLAY),
        .gain = rb_random_int(random, -20, 60),
        .success = rb_random_chance(random, 0.45),
        .has_points = rb_random_chance(random, 0.9),
        .pressured = rb_random_chance(random, 0.3),
        .release_ms = rb_random_int(random, -1, 4000),
        .in_ladder = rb_random_chance(random, 0.9),
    };
    row.points = row.has_points ? rb_random_int(random, -56, 56) / 8.0 : 0.0;
    return row;
}

RbDropback *rb_random_dropbacks(RbRandom *random, int n, int kinds)
{
    RbDropback *rows = g_new(RbDropback, n + 1);
    for (int i = 0; i < n; i++) {
        rows[i] = rb_random_dropback(random, kinds);
    }
    return rows;
}
