/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <string.h>

#include "rb/report/words.h"

/* The stage as it stands in a sentence. */
const char *rb_stage_phrase(RbStage stage);
/* "4.1 points", without a sign. Returns: (transfer full). */
char *rb_size_text(double points);
/* Worth marking: something failed and cost more than the norm. found: (nullable). */
bool rb_break_is_shown(const RbBreak *found);
