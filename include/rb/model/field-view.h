/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/base/rational.h"
#include "rb/model/ids.h"
#include "rb/model/words.h"

/* Pixels are kept in hundredths, from the left and top of the upright picture. */
#define RB_SIGHT_PART 100
#define RB_SIGHT_NAME_BYTES 40

/* A mark of the field that somebody clicked on a frame of film. */
typedef struct {
    RbFieldSightId id;
    RbFieldViewId view;
    char name[RB_SIGHT_NAME_BYTES]; /* of the point or line: see rb/field/calibration.h */
    int x;
    int y;
} RbFieldSight;

/* What a frame shows of the field: what all measures on it, and on the frames about it, stand
 * on. A plain value. */
typedef struct {
    RbFieldViewId id; /* from film and frame */
    RbFilmId film;
    int64_t frame;
    RbTime time;
    RbRules rules; /* whose field it is */
    int width;     /* of the upright picture, pixels */
    int height;
    GArray *sights; /* owned, of RbFieldSight; never NULL */
} RbFieldView;

RbFieldViewId rb_field_view_id(RbFilmId film, int64_t frame);
RbFieldView *rb_field_view_new(RbFilmId film, int64_t frame);
RbFieldView *rb_field_view_copy(const RbFieldView *view);
void rb_field_view_free(RbFieldView *view); /* NULL is allowed */
/* name: cut to what a sight holds. x, y: pixels. */
void rb_field_view_add(RbFieldView *view, const char *name, double x, double y);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFieldView, rb_field_view_free)
