/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/book/check.h"
#include "rb/book/condition.h"

/* Reasoning about conditions: what excludes, and what implies, what. It errs to the safe
 * side: a "no" can be a missed "yes", never the other way round. */

/* It can never hold: a number beyond what there is. */
bool rb_book_is_impossible(const RbCondition *condition);
/* Both can never hold together. One term list for the families of coverages. */
bool rb_book_excludes(const RbCondition *one, const RbCondition *other,
                      const GPtrArray *terms);
/* Whenever `given` holds, `wanted` does. */
bool rb_book_implies(const RbCondition *given, const RbCondition *wanted,
                     const GPtrArray *terms);
