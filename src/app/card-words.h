/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

/* What a title card says: a button that opens the list of what it can say.
 * Signals: "changed" (by the user), "looking" (gboolean: the list is open). */
#define RB_TYPE_CARD_WORDS (rb_card_words_get_type())
G_DECLARE_FINAL_TYPE(RbCardWords, rb_card_words, RB, CARD_WORDS, GtkWidget)

RbCardWords *rb_card_words_new(void);
/* card: (nullable): tokens apart by commas, see rb_card_parse(); NULL: no card. */
void rb_card_words_set(RbCardWords *words, const char *card);
/* Returns: (transfer full) (nullable). */
char *rb_card_words_dup(RbCardWords *words);
