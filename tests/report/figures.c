/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figures.h"

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
