/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "thumb-view.h"

/* The stills in the rows of a long table that is scrolled: those in view get their pictures once the
 * table rests, so that scrolling costs nothing, and none has more pictures than the screen shows.
 * Shown or hidden by a setting (film-settings.h). Main thread. */
typedef struct RbSnapStills RbSnapStills;

RbSnapStills *rb_snap_stills_new(void);
void rb_snap_stills_free(RbSnapStills *stills); /* NULL is allowed */

/* window: ref taken: what the rows are scrolled in. Once. */
void rb_snap_stills_watch(RbSnapStills *stills, GtkScrolledWindow *window);
/* Whether any row has a film: without, no room is left for stills, as at the beginning. */
void rb_snap_stills_set_any(RbSnapStills *stills, bool any);
/* A new cell. Returns: (transfer floating). */
RbThumbView *rb_snap_stills_add(RbSnapStills *stills);
/* A row has come into this cell. film: (nullable): it has none. */
void rb_snap_stills_show(RbSnapStills *stills, RbThumbView *thumb, const char *film,
                         int64_t frame);
