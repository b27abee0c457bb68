/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/cutups.h"

/* What to export and where, its progress, and Stop. The work is on a thread of its own. */
#define RB_TYPE_CUTUPS_EXPORT (rb_cutups_export_get_type())
G_DECLARE_FINAL_TYPE(RbCutupsExport, rb_cutups_export, RB, CUTUPS_EXPORT, GtkBox)

/* Called when the export begins. Returns: (transfer full) (nullable): what to export. */
typedef RbCutupPlan *(*RbCutupsExportPlan)(bool names, void *owner);
void rb_cutups_export_set(RbCutupsExport *panel, const char *name,
                          RbCutupsExportPlan plan, void *owner);
void rb_cutups_export_focus(RbCutupsExport *panel);
bool rb_cutups_export_is_running(RbCutupsExport *panel);
void rb_cutups_export_stop(RbCutupsExport *panel);
