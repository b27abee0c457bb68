/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/work/library.h"

/* The playbook in and out of a file of our own format (schema/playbook.schema.json). */

/* Reads and checks a file without touching a library. count: (out) (nullable): concepts. */
bool rb_playbook_check_file(const char *path, int *count, GError **error);

/* Concepts that differ from the library's become new revisions; none is removed. One journal
 * action. changed: (out) (nullable): how many were new or different. */
bool rb_library_import_playbook(RbLibrary *library, const char *path, int *changed,
                                GError **error);
/* Refuses a path where anything lies. */
bool rb_library_export_playbook(RbLibrary *library, const char *path, GError **error);
