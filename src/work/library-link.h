/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "library-private.h"

/* The library's side of its link. Returns: (transfer full). */
RbLibraryLink *rb_library_link_new(RbLibrary *library);
/* The library closes; on its own thread. Takes over the reference. */
void rb_library_link_cut(RbLibraryLink *link);
