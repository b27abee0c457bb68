/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/book/playbook.h"

#include "place.h"

/* Adds the rule to the concept, whose reads must be there already. */
bool rb_book_parse_rule(const RbNode *node, const GPtrArray *terms, RbConcept *concept,
                        GError **error);
