/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/filter.h"
#include "rb/work/library.h"

/* Filters that the staff keeps by name. They are shared like all else, travel in the names
 * (rb_names_filters()), and "filter=NAME" means one wherever a filter is written. */

/* Keeps a filter; one of the same name in any case is replaced. One action. words: (out)
 * (nullable) (transfer full): what was done. */
bool rb_library_save_filter(RbLibrary *library, const char *name, const RbFilter *filter,
                            char **words, GError **error);
/* name: as typed. words: as above. */
bool rb_library_remove_filter(RbLibrary *library, const char *name, char **words,
                              GError **error);

/* What a person typed, any case. Returns: (transfer full) (nullable): NULL with a sentence that
 * names what there is, or says that a newer version kept it. */
RbFilter *rb_names_parse_filter(const RbNames *names, const char *name, GError **error);
