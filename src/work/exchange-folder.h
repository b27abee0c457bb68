/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/exchange.h"

/* The shared folder as a list of parcels. */

/* Every file whose name is a parcel's, by laptop, then from the first action on; the longer first
 * where two begin alike. False when the folder cannot be read. Returns: (transfer full):
 * GArray of RbParcelRange. */
GArray *rb_folder_list(const char *folder, GError **error);

/* Reads and checks one. gone: (out): true, with NULL and no error, when it is not there any
 * more: its laptop has put its work together anew. Returns: (transfer full). */
RbParcel *rb_folder_read(const char *folder, const RbParcelRange *range, bool *gone,
                         GError **error);

/* Writes aside, then under its name. */
bool rb_folder_write(const char *folder, const RbParcelRange *range, GBytes *bytes,
                     GError **error);
bool rb_folder_remove(const char *folder, const RbParcelRange *range, GError **error);
