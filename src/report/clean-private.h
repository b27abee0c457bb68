/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* What may stand in a table, a drawing or a page: valid UTF-8, white space as plain spaces, and
 * U+FFFD for control characters and for the invisible ones that turn the direction of text.
 * NULL is "". Returns: (transfer full). */
char *rb_text_clean(const char *text);
