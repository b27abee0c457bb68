/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "session.h"

/* Where chosen snaps go: a new cut-up, or behind the last clip of a fixed one that is there. Enter
 * on the name makes it, Enter on a row of the list adds to that one; Escape does nothing. */
#define RB_TYPE_CUTUP_PICK (rb_cutup_pick_get_type())
G_DECLARE_FINAL_TYPE(RbCutupPick, rb_cutup_pick, RB, CUTUP_PICK, GtkPopover)

RbCutupPick *rb_cutup_pick_new(void);
void rb_cutup_pick_set_session(RbCutupPick *pick, RbSession *session);
/* snaps: (transfer full): of RbSnapId, in the order of the clips. name: of a new cut-up. */
void rb_cutup_pick_open(RbCutupPick *pick, GArray *snaps, const char *name);
