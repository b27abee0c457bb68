/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Sentences that are kept and read later, maybe by somebody of another language, as the history's
 * are: told in no language, and made when they are shown, in the reader's.
 *
 * A told text is plain text that may hold messages: the English text that the catalogues know and
 * what fills its places. It may be put together with other text, told or not, like any string; a
 * message's %s takes told text too. What is kept is that text behind the English sentence, for
 * programs that do not know of it:
 *
 *   English sentence RS told text           RS, STX, US, ETX: the control characters of ECMA-48
 *   message: STX kind US field US field … ETX
 *     =  English text, what fills it …
 *     @  context, English text, what fills it …
 *     #  English text of one, of many, their number, what fills it …
 *     _  told text to be in lower case
 *
 * A field is told text itself. Text from another laptop may hold anything: it is never given to a
 * function of printf's kind as a format, depth and length are bounded, and what cannot be read shows
 * the English sentence before it. Text without these characters, as kept before, shows as it is.
 *
 * What is passed as a message is the English one, a literal, with places of printf: %s, %d, %i, %u
 * and their sizes, %.2f (with a point in every language), in the order of the arguments; a
 * translation may number them. NULL for %s is "". The list of translations finds these by name
 * (po/meson.build). Each returns: (transfer full). */
char *rb_told(const char *message, ...) G_GNUC_PRINTF(1, 2);
char *rb_told_in(const char *context, const char *message, ...) G_GNUC_PRINTF(2, 3);
/* count: which form a language takes; it fills a place only where it is an argument too. */
char *rb_told_many(const char *one, const char *many, unsigned long count, ...)
    __attribute__((format(printf, 1, 4), format(printf, 2, 4)));
/* A word of a table, marked for translation there; it has no places. */
char *rb_told_word(const char *word);
char *rb_told_lower(const char *told);

/* Adds to a list within a sentence: ", " stands before all but the first. */
void rb_told_list(GString *told, const char *next);

/* What is to be kept of a told text. Returns: (transfer full). */
char *rb_told_to_keep(const char *told);
/* A told or kept text in the reader's language: valid UTF-8, whatever was given. Returns: (transfer
 * full). */
char *rb_told_show(const char *text);
