/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/work/snapshot.h"

/* The snaps behind a figure. Enter or a press opens one on its film; several can be chosen.
 * Signal "opened" (gint64 snap). */
#define RB_TYPE_SNAP_LIST (rb_snap_list_get_type())
G_DECLARE_FINAL_TYPE(RbSnapList, rb_snap_list, RB, SNAP_LIST, GtkWidget)

/* snaps: of RbSnapId. filmed: (nullable): not known; ids (int64_t *) of those that have film. */
void rb_snap_list_set(RbSnapList *list, const RbSnapshot *snapshot, const GArray *snaps,
                      GHashTable *filmed);
/* Those chosen with Shift or Ctrl when they are more than one, else all. part: (out): not all.
 * Returns: (transfer full): of RbSnapId. */
GArray *rb_snap_list_dup_snaps(RbSnapList *list, bool *part);
void rb_snap_list_focus(RbSnapList *list);
