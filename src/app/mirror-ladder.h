/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/stats/ladder.h"

/* Two ladders about one spine; see rb/report/mirror-chart.h. */
#define RB_TYPE_MIRROR_LADDER (rb_mirror_ladder_get_type())
G_DECLARE_FINAL_TYPE(RbMirrorLadder, rb_mirror_ladder, RB, MIRROR_LADDER, GtkWidget)

/* Copied. said: the whole in words, for a screen reader. */
void rb_mirror_ladder_set(RbMirrorLadder *mirror, const RbLadder ladders[2],
                          const char *said);
