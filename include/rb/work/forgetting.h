/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/library.h"

/* Taking a person's name out of a library for good: what a player or a member of the staff may ask
 * for. */

/* How many players and members of the staff bear this name, whatever its capitals; -1 with `error`. */
int rb_library_count_named(RbLibrary *library, const char *name, GError **error);

/* Removes the name of each of them everywhere: rows, notes, titles, history and backups, and with the
 * next exchange from the other laptops. Tags stay. Cannot be undone. forgotten: (out): how many. NOT_FOUND
 * when nobody has it. False with some done when a backup could not be; the error names it. */
bool rb_library_forget(RbLibrary *library, const char *name, int *forgotten,
                       GError **error);
