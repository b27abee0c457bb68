/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Fills a sentence's gaps: rb_text_fill("{who} ran {route}.", "who", who, "route", route, NULL).
 * A translation may name the gaps in any order, or twice. A gap that no argument names stays as
 * it is; what is filled in is never searched for gaps itself. Returns: (transfer full). */
char *rb_text_fill(const char *pattern, ...) G_GNUC_NULL_TERMINATED;

/* Text as it must stand in a manual page's source: what man-pages(7) and groff(7) give a meaning, a
 * backslash, a hyphen, a dot or quote at the start of a line, is escaped. Returns: (transfer full). */
char *rb_text_to_roff(const char *text);
