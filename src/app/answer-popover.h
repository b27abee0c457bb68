/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/tagging.h"

/* The choices of one tag. Each has a key that chooses it, Enter accepts, Escape leaves; where
 * the tag is a number or words it is typed, and what does not fit is said on the spot.
 * Signal "answered" (char *field, char *value). */
#define RB_TYPE_ANSWER_POPOVER (rb_answer_popover_get_type())
G_DECLARE_FINAL_TYPE(RbAnswerPopover, rb_answer_popover, RB, ANSWER_POPOVER, GtkPopover)

RbAnswerPopover *rb_answer_popover_new(void);
/* sheet: borrowed until the popover closes or is asked again. */
void rb_answer_popover_ask(RbAnswerPopover *popover, const RbTaggable *field,
                           const RbSheet *sheet);
/* The same snap, read again while a question stands. */
void rb_answer_popover_set_sheet(RbAnswerPopover *popover, const RbSheet *sheet);

/* One key an answer: the first letter or digit of its label that no earlier answer has, else
 * the first free letter, 0 when all are taken. keys: (out), n of them. */
void rb_answer_keys(const GPtrArray *answers, gunichar *keys);
