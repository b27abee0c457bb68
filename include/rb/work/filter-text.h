/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/model/filter.h"
#include "rb/work/names.h"

/* Filters as people write them. The token of a field (rb_field_words) is its option on the
 * command line: --concept curl-flat --coverage cover-3 --down 3 --distance 7-10. Several
 * values of one field are given apart by commas or by repeating the option. */

/* Adds what `text` says about `field`. False with a sentence that names what there is. */
bool rb_filter_add_text(RbFilter *filter, const RbNames *names, RbField field,
                        const char *text, GError **error);

/* A whole filter in one line, for a saved filter, a script or a side of a comparison:
 * "concept=curl-flat, smash; down=3; distance=7-10; date=2026-09-01..2026-09-30". Blank: an empty
 * filter. "filter=NAME" takes in one that was saved. What rb_filter_print() wrote is read back the same, even when a thing it names is gone.
 * Returns: (transfer full) (nullable): with a sentence. */
RbFilter *rb_filter_parse_text(const RbNames *names, const char *text, GError **error);
/* The staff's own things stand as "#id", so that renaming them changes nothing.
 * Returns: (transfer full). */
char *rb_filter_print(const RbFilter *filter);

/* One value for people: "Curl-flat", "Week 3 at Harbor City", "3". Returns: (transfer full). */
char *rb_filter_value_text(const RbNames *names, RbField field, int64_t value);
/* One clause, as a chip shows it: "Coverage: Cover 3, Quarters", "Distance: 7 to 10".
 * Returns: (transfer full). */
char *rb_clause_text(const RbNames *names, const RbClause *clause);
/* The whole: "Curl-flat against Cover 3, 3rd down" is not tried; clauses joined by "; ", or
 * "All dropbacks". Returns: (transfer full). */
char *rb_filter_text(const RbNames *names, const RbFilter *filter);

/* The values a chip's menu offers for a field, in order: of int64_t. Empty for ranges.
 * Returns: (transfer full). */
GArray *rb_filter_choices(const RbNames *names, RbField field);
bool rb_field_is_range(RbField field);
