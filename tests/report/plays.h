/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/diagram.h"

/* The field of the college rules: width 160 feet, hash lines 60 feet from the sidelines, tops of
 * the numbers 9 yards from them, numbers 6 feet tall (NCAA Football Rules, 1-2-1). */
RbDiagramField rb_example_field(void);
/* An out by #1, a pivot by #2 and the back: common practice, no source. */
RbConcept *rb_example_concept(void);
/* Two high, the left corner squat at 6.5 yards, the right one off at 8. */
RbPictureShown rb_example_shown(void);
/* Against a squat corner the out clears out, so the pivot comes first. */
RbOrder rb_example_order(const RbConcept *concept, RbSide side);
