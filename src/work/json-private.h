/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/json.h"

/* Pieces that several answers share. Each returns: (transfer full). */

/* {"filter"} to be filled. */
json_t *rb_json_selection(const RbSelection *selection);
json_t *rb_json_cells(const RbLadder *ladder);
/* null when nothing was found. */
json_t *rb_json_break(const RbBreak *found);
