/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/read/verdict.h"

/* The concepts that the cases speak of, in a small text form of the tests' own:
 *
 *   concept TOKEN [full]
 *   read NUMBER ROUTE [by=RUNNER] [clock=SECONDS|gun/STEPS/HITCHES|centre/STEPS/HITCHES]
 *        [tol=SECONDS] [outlet] [clear-out] [other]
 *   rule ACTION [read=N] [to=ROUTE] [clear-out] [by=RUNNER] [side=left|right|strong|weak]
 *        [adjust=TERM] [if CONDITION [and CONDITION]…]
 *   pick free-access:YARDS | away-from-rotation | field | boundary
 *
 * A CONDITION is [not] KIND[@other|@left|@right][:VALUE]. Lines may be indented. */
GPtrArray *test_playbook_parse(const char *text, const GPtrArray *terms);
const RbConcept *test_playbook_find(const GPtrArray *concepts, const char *token);
