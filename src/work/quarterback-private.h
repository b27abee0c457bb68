/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/quarterback.h"

/* The selection's rows that count. Returns: (transfer full): GArray of RbDropback. */
GArray *rb_quarterback_counted(const RbSelection *selection);

/* His habits. Returns: (transfer full): GPtrArray of RbHabit. */
GPtrArray *rb_quarterback_habits(const RbSelection *selection);
