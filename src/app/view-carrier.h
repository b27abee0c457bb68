/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/measuring.h"

/* Carries a view of the field along its film in the background: the newest wish counts. */
typedef struct RbViewCarrier RbViewCarrier;

/* On the main thread. carried: (nullable): it could not be done. */
typedef void (*RbViewCarried)(int64_t frame, const RbCarriedView *carried, void *data);

/* news: it is further on its way. data: borrowed until rb_view_carrier_free(). */
RbViewCarrier *rb_view_carrier_new(RbViewCarried carried, void (*news)(void *data),
                                   void *data);
void rb_view_carrier_free(RbViewCarrier *carrier); /* NULL is allowed */
/* path: of the film. from: the frame of the calibration. */
void rb_view_carrier_want(RbViewCarrier *carrier, const char *path, RbRules rules,
                          const RbCalibration *calibration, int64_t from, int64_t to);
void rb_view_carrier_stop(RbViewCarrier *carrier);
/* Stops, and lets go of the film and of what was carried so far. */
void rb_view_carrier_forget(RbViewCarrier *carrier);
/* Of the way, 0 to 1; negative while that is not known. */
double rb_view_carrier_get_progress(const RbViewCarrier *carrier);
/* Ends the threads; at the end of the program. */
void rb_view_carrier_end(void);
