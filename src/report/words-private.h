/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <string.h>

#include "rb/report/ladder-chart.h"
#include "rb/report/words.h"

/* The stage as it stands in a sentence. */
const char *rb_stage_phrase(RbStage stage);
/* "4.1 points", without a sign. Returns: (transfer full). */
char *rb_size_text(double points);
/* Worth marking: something failed and cost more than the norm. found: (nullable). */
bool rb_break_is_shown(const RbBreak *found);
/* What stands beside the part: "breaks here", or "costs most" when it is not settled. */
const char *rb_break_mark(const RbBreak *found);
