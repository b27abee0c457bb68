/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/book/check.h"

/* Reasoning about conditions: what excludes, and what implies, what. It errs to the safe
 * side: a "no" can be a missed "yes", never the other way round. */

/* True when the action is decided before the snap, so that only what is shown can be known. */
bool rb_book_action_is_shown(RbActionKind action);
/* True when the condition speaks of what is seen only after the snap. */
bool rb_book_condition_is_played(RbConditionKind kind);

/* Both can never hold together. One term list for the families of coverages. */
bool rb_book_excludes(const RbCondition *a, const RbCondition *b, const GPtrArray *terms);
/* Whenever a holds, b does. */
bool rb_book_implies(const RbCondition *a, const RbCondition *b, const GPtrArray *terms);
