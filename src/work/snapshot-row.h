/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/stats/packed.h"

#include "judging.h"

/* A judged dropback as a row of the packed columns. chart: as judged. Borrows the snap's tags. */
RbPackedRow rb_packed_row_of(const RbNames *names, const RbSnap *snap,
                             const RbChart *chart, const RbJudged *judged);
