/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/ladder-chart.h"
#include "rb/report/mirror-chart.h"

#define RB_MIRROR_PARTS_MAX ((RB_READS_MAX + 1) * RB_STAGES)

/* The lines of the chart: every part that either side has. Returns how many. */
int rb_mirror_parts(const RbMirrorChart *chart, RbLadderPart parts[RB_MIRROR_PARTS_MAX]);
