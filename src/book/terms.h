/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/book/condition.h"
#include "rb/book/playbook.h"

#include "place.h"

/* Words of the staff in the file: the token, or "#" and the id. */
char *rb_book_term_print(RbTermId id, RbTermKind kind, const GPtrArray *terms);
bool rb_book_term_parse(const RbNode *node, RbTermKind kind, const GPtrArray *terms,
                        RbTermId *id, GError **error);
