/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/fieldwork.h"

/* The view of the field on the frame that is looked at: that of the marks, or carried there in the
 * background. Kept views are taken up, the nearest first. Main thread. */
typedef struct RbMeasureSight RbMeasureSight;

/* changed: the view of the frame is there, or further on its way. */
RbMeasureSight *rb_measure_sight_new(void (*changed)(void *data), void *data);
void rb_measure_sight_free(RbMeasureSight *sight); /* NULL is allowed */

/* work: borrowed until _end(). path: of the film. */
void rb_measure_sight_begin(RbMeasureSight *sight, RbFieldwork *work, const char *path,
                            int64_t frame);
void rb_measure_sight_end(RbMeasureSight *sight);

/* The marks are others now; they stand on `frame`. */
void rb_measure_sight_marked(RbMeasureSight *sight, int64_t frame);
/* Forgets the marks: the next ones stand where they are clicked. */
void rb_measure_sight_begin_anew(RbMeasureSight *sight);
/* Another frame is looked at. views: (nullable): those that are kept, of RbFieldView, of any film;
 * taken up unless somebody clicks marks or measures. */
void rb_measure_sight_look(RbMeasureSight *sight, int64_t frame, RbFilmId film,
                           const GPtrArray *views);
/* Gives up carrying; the frame has no view then. False when nothing was carried. */
bool rb_measure_sight_stop(RbMeasureSight *sight);

/* True while the view is on its way; clicks wait for it. */
bool rb_measure_sight_is_waiting(const RbMeasureSight *sight);
/* True when marks of another frame are in the way of new ones here. */
bool rb_measure_sight_is_elsewhere(const RbMeasureSight *sight);
/* The frame of the marks, -1 none. */
int64_t rb_measure_sight_get_marked(const RbMeasureSight *sight);
/* What to do now, or what is waited for. Returns: (transfer full). */
char *rb_measure_sight_get_sentence(const RbMeasureSight *sight);
