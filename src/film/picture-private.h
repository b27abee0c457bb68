/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/picture.h"

#include "protocol.h"
#include "ring.h"

/* Makes the picture that a checked RbTellFrame describes. Takes over the slot: it is given
 * back when the last reference to the picture goes. */
RbPicture *rb_picture_new(RbRing *ring, const RbTellFrame *frame, RbTime time);

/* Gives the picture another number. Only while its one reference is the caller's. */
void rb_picture_renumber(RbPicture *picture, int64_t ordinal, int field);

/* Its number among all that can be shown of the film. per: numbers a frame: 1, or 2 by field. */
int64_t rb_picture_position(const RbPicture *picture, int per);

/* Adds what only the parent knows of it. Before anybody else has the picture. */
void rb_picture_doubt(RbPicture *picture, bool doubtful, bool approximate);
