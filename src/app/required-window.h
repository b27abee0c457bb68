/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* The tags that the staff requires of every dropback, each with a box: the rail asks them, and
 * where one is missing it is listed. Kept in the library. */
#define RB_TYPE_REQUIRED_WINDOW (rb_required_window_get_type())
G_DECLARE_FINAL_TYPE(RbRequiredWindow, rb_required_window, RB, REQUIRED_WINDOW, GtkWindow)

void rb_required_window_open(GtkWindow *parent, RbSession *session);
