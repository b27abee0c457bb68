/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* The filter of the desk against another: each measure on both sides, the difference with its
 * interval, and both ladders. */
#define RB_TYPE_COMPARE_VIEW (rb_compare_view_get_type())
G_DECLARE_FINAL_TYPE(RbCompareView, rb_compare_view, RB, COMPARE_VIEW, GtkWidget)

void rb_compare_view_set_session(RbCompareView *view, RbSession *session);
