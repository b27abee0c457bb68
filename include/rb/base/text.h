/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Fills a sentence's gaps: rb_text_fill("{who} ran {route}.", "who", who, "route", route, NULL).
 * A translation may name the gaps in any order, or twice. A gap that no argument names stays as
 * it is; what is filled in is never searched for gaps itself. Returns: (transfer full). */
char *rb_text_fill(const char *pattern, ...) G_GNUC_NULL_TERMINATED;
