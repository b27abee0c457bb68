/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* What stands where there is nothing to show: a heading, one sentence, and at most one action
 * (a detailed action name). Also long work: a bar, what it does, and Cancel. */
#define RB_TYPE_NOTICE (rb_notice_get_type())
G_DECLARE_FINAL_TYPE(RbNotice, rb_notice, RB, NOTICE, GtkWidget)

/* sentence, label, action: (nullable). */
void rb_notice_set(RbNotice *notice, const char *heading, const char *sentence,
                   const char *label, const char *action);

/* A second action beside the first one, until the next rb_notice_set(). */
void rb_notice_add_other(RbNotice *notice, const char *label, const char *action);

/* Shows the bar; fraction below 0: not known. what: (nullable). */
void rb_notice_set_progress(RbNotice *notice, double fraction, const char *what);
