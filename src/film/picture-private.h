/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/picture.h"

#include "protocol.h"
#include "ring.h"

/* Makes the picture that a checked RbTellFrame describes. Takes over the slot: it is given
 * back when the last reference to the picture goes. */
RbPicture *rb_picture_new(RbRing *ring, const RbTellFrame *frame, RbTime time);

/* Gives the picture another number. Only while its one reference is the caller's. */
void rb_picture_renumber(RbPicture *picture, int64_t ordinal);
