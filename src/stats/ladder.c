/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/ladder.h"

#include <string.h>

void rb_ladder_build(const RbDropback *rows, int n, RbLadder *ladder)
{
    memset(ladder, 0, sizeof *ladder);
    for (int i = 0; i < n; i++) {
        const RbDropback *row = &rows[i];
        if (!row->in_ladder) {
            continue;
        }
        g_assert(row->stage_read >= 0 && row->stage_read <= RB_READS_MAX);
        g_assert((int)row->stage >= 0 && (int)row->stage < RB_STAGES);
        RbLadderCell *cell = &ladder->cells[row->stage_read][row->stage];
        cell->dropbacks++;
        ladder->dropbacks++;
        if (row->has_points) {
            cell->pointed++;
            cell->points += row->points;
            ladder->pointed++;
            ladder->points += row->points;
        }
    }
}

bool rb_stage_is_failure(RbStage stage)
{
    return stage != RB_STAGE_NOT_JUDGED && stage != RB_STAGE_SUCCESS;
}
