/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/book/check.h"
#include "rb/book/condition.h"

/* Reasoning about conditions: what excludes, and what implies, what. It errs to the safe
 * side: a "no" can be a missed "yes", never the other way round. */

/* Both can never hold together. One term list for the families of coverages. */
bool rb_book_excludes(const RbCondition *a, const RbCondition *b, const GPtrArray *terms);
/* Whenever a holds, b does. */
bool rb_book_implies(const RbCondition *a, const RbCondition *b, const GPtrArray *terms);
