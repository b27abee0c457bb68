/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/report.h"

/* Books `n` dropbacks with `points` together at a cell. */
void rb_book_cell(RbLadder *ladder, int read, RbStage stage, int n, double points);

/* The pairing the tests and pictures show: 20 dropbacks, breaks at read 2, eyes. */
RbLadder rb_example_ladder(void);
RbBreak rb_example_break(void);
