/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/reel.h"
#include "rb/work/intake.h"

RbIntake *rb_intake_new(void);

/* What the pictures tell: which clips of unnamed angles are of which camera, and which show what
 * another one shows; then the numbers in the names. Needs files and clips. */
void rb_intake_tell_apart(RbIntake *intake, bool tight_first);

bool rb_intake_row_is_snap(const RbIntakeRow *row);
/* What the row of a snap is called by the clips that it has. */
void rb_intake_row_set_kind(RbIntakeRow *row);
void rb_intake_sort_rows(RbIntake *intake);

/* How much a clip looks unlike the others of its angle: 1 like most, more is stranger. */
double rb_intake_strangeness(const RbIntake *intake, int clip);

/* A small picture of a frame; an end of the film that cannot be decoded leaves it as it is, which is
 * no reason to refuse. cancel: (nullable). */
void rb_intake_take_picture(RbReel *reel, int64_t frame, uint8_t *pixels,
                            RbCancel *cancel);
