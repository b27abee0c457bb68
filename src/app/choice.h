/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/model/vocabulary.h"

/* A drop-down of words. What it stands for is a number, not the place in the list. While it is
 * set from here, it says nothing. Closed, it takes letters (the word that begins so) and the up
 * and down arrows. */
#define RB_TYPE_CHOICE (rb_choice_get_type())
G_DECLARE_FINAL_TYPE(RbChoice, rb_choice, RB, CHOICE, GtkWidget)

/* label: what is chosen, for those who do not see it. Signal "changed": by the user. */
RbChoice *rb_choice_new(const char *label);
void rb_choice_set_label(RbChoice *choice, const char *label);
/* Begins a new list, which is shown from the next set or get on. */
void rb_choice_clear(RbChoice *choice);
void rb_choice_add(RbChoice *choice, gint64 value, const char *word);
/* The words of a set from `first` on; of a vocabulary those of a kind that are not hidden. */
void rb_choice_add_words(RbChoice *choice, const RbWords *words, int first);
void rb_choice_add_terms(RbChoice *choice, const GPtrArray *terms, RbTermKind kind);
/* The first entry when none has that value. */
void rb_choice_set(RbChoice *choice, gint64 value);
gint64 rb_choice_get(RbChoice *choice); /* 0 when empty */
