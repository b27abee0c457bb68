/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdint.h>

/* One frame of a film with a line of words under it. The frame is fetched by a worker; of several
 * that are asked in a row the newest is shown. */
#define RB_TYPE_STILL_VIEW (rb_still_view_get_type())
G_DECLARE_FINAL_TYPE(RbStillView, rb_still_view, RB, STILL_VIEW, GtkBox)

GtkWidget *rb_still_view_new(void);
/* film: (nullable): nothing is shown. words: (nullable): said under it and to screen readers. */
void rb_still_view_show(RbStillView *view, const char *film, int64_t frame,
                        const char *words);
